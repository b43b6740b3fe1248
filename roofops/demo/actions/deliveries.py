"""The demo's trucks and inspectors: what came, what is confirmed, what is asked for."""

from datetime import datetime, time, timedelta

from jobs.actions import book_inspection, set_inspection_state, set_load_state
from jobs.models import Job, Load, LoadKind, LoadState, Yard
from roofops.demo.dates import Calendar
from roofops.demo.scenario.visits import LEFTOVERS, VISITS
from roofops.demo.story import JobStory
from roofops.record.access import Access

# Material and container came on the work day before the tear-off began.
CAME_AT = {LoadKind.MATERIALS: time(14, 10), LoadKind.DUMPSTER_DROP: time(15, 5)}
HAULED_AT = time(10, 15)
# After the plan is published the dispatcher settles the trucks of the coming days, one of them at a bad time.
SETTLED_DAYS = 2
TOO_LATE = timedelta(minutes=40)


def bring_what_came(office: Access, story: JobStory, job: Job, calendar: Calendar) -> None:
    """Mark material and container of a roof that is at work or done as come, and the container as hauled off."""
    first, last = min(r.work_day for r in story.reports), max(r.work_day for r in story.reports)
    for load in job.loads.filter(kind__in=CAME_AT):
        at = calendar.moment(first - 1, CAME_AT[LoadKind(load.kind)])
        set_load_state(office, load.pk, LoadState.CAME, at, slot_start=at)
    if story.status != "at_work":
        for load in job.loads.filter(kind=LoadKind.FINAL_HAUL):
            at = calendar.moment(last + 1, HAULED_AT)
            set_load_state(office, load.pk, LoadState.CAME, at, slot_start=at)


def book_visits(office: Access, jobs: dict[str, Job], calendar: Calendar) -> None:
    """Book the inspectors, note what they found, and ask for the pick-up of what was left over."""
    for visit in VISITS:
        job = jobs[visit.number]
        section = job.sections.get(name=visit.section).pk if visit.section else None
        start, end = calendar.moment(visit.work_day, visit.start), calendar.moment(visit.work_day, visit.end)
        called = min(start - timedelta(days=2), calendar.now)
        row = book_inspection(office, job.pk, visit.kind, start, end, called, section_id=section)
        if visit.result and end <= calendar.now:
            set_inspection_state(office, row.pk, visit.result, end, note=visit.note)
    for leftover in LEFTOVERS:
        load = Load(
            job=jobs[leftover.number],
            supplier=jobs[leftover.number].yard.suppliers.get(name=leftover.supplier),
            kind=LoadKind.LEFTOVERS,
            contents=[{"item": leftover.item, "count": leftover.count, "unit": leftover.unit}],
            weight_lb=leftover.weight_lb,
            not_before=calendar.moment(leftover.work_day, leftover.not_before),
            need_by=calendar.moment(leftover.work_day, leftover.need_by),
        )
        load.full_clean()
        load.save()
        asked = calendar.moment(leftover.work_day - 1, time(11, 20))
        slot = calendar.moment(leftover.work_day, leftover.slot)
        set_load_state(office, load.pk, leftover.state, asked, slot_start=slot)


def settle_trucks(office: Access, yard: Yard, calendar: Calendar, now: datetime) -> None:
    """Agree on the trucks that the published plan needs first: confirmed within their windows, the last one too late."""
    until = calendar.moment(SETTLED_DAYS, time(23, 0))
    waiting = list(
        Load.objects.filter(
            job__yard=yard, state=LoadState.PLANNED, not_before__isnull=False, need_by__gt=now, need_by__lt=until
        ).order_by("need_by", "pk")
    )
    for place, load in enumerate(waiting):
        assert load.not_before is not None
        assert load.need_by is not None
        if place == len(waiting) - 1:
            set_load_state(office, load.pk, LoadState.ASKED, now, slot_start=load.need_by + TOO_LATE)
            continue
        middle = load.not_before + (load.need_by - load.not_before) / 2
        slot = middle.replace(minute=middle.minute // 15 * 15, second=0, microsecond=0)
        set_load_state(office, load.pk, LoadState.CONFIRMED, now, slot_start=slot)
