"""The demo's trucks and inspectors: what came, what is confirmed, what is asked for."""

from datetime import datetime, time, timedelta

from jobs.actions import book_inspection, set_inspection_state, set_load_state
from jobs.models import Job, Load, LoadKind, LoadState, Yard
from roofops.demo.dates import Calendar
from roofops.demo.scenario.visits import TRUCKS, VISITS, TruckStory
from roofops.demo.story import JobStory
from roofops.record.access import Access

# Material and container came on the work day before the tear-off began.
CAME_AT = {LoadKind.MATERIALS: time(14, 10), LoadKind.DUMPSTER_DROP: time(15, 5)}
HAULED_AT = time(10, 15)
ASKED_AT = time(11, 20)
# After the plan is published the dispatcher settles the trucks of the coming days, one of them at a bad time.
SETTLED_DAYS = 4
TOO_LATE = timedelta(minutes=55)
BEFORE_NEED = timedelta(minutes=45)
FIRST_TRUCK, LAST_TRUCK = time(7, 30), time(16, 0)


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
    """Book the inspectors, note what they found, and ask for the trucks that no takeoff speaks of."""
    for visit in VISITS:
        job = jobs[visit.number]
        section = job.sections.get(name=visit.section).pk if visit.section else None
        start, end = calendar.moment(visit.work_day, visit.start), calendar.moment(visit.work_day, visit.end)
        called = min(start - timedelta(days=2), calendar.now)
        row = book_inspection(office, job.pk, visit.kind, start, end, called, section_id=section)
        if visit.result and end <= calendar.now:
            set_inspection_state(office, row.pk, visit.result, end, note=visit.note)
    for truck in TRUCKS:
        _ask_for(office, truck, jobs[truck.number], calendar)


def _ask_for(office: Access, truck: TruckStory, job: Job, calendar: Calendar) -> None:
    load = Load(
        job=job,
        supplier=job.yard.suppliers.get(name=truck.supplier),
        kind=truck.kind,
        placement=truck.placement,
        needed_for=truck.needed_for,
        contents=[{"item": truck.item, "count": truck.count, "unit": truck.unit}],
        weight_lb=truck.weight_lb,
        not_before=calendar.moment(truck.work_day, truck.not_before),
        need_by=calendar.moment(truck.work_day, truck.need_by),
    )
    load.full_clean()
    load.save()
    slot = calendar.moment(truck.work_day, truck.slot)
    asked = min(calendar.moment(truck.work_day - 1, ASKED_AT), calendar.now)
    set_load_state(office, load.pk, truck.state, asked, slot_start=slot)
    came = slot + timedelta(minutes=load.slot_minutes)
    if truck.state == LoadState.CONFIRMED and came <= calendar.now:
        set_load_state(office, load.pk, LoadState.CAME, came)


def settle_trucks(office: Access, yard: Yard, calendar: Calendar, now: datetime) -> None:
    """Agree on the trucks that the published plan needs first: each within its window, but the last too late."""
    until = calendar.moment(SETTLED_DAYS, time(23, 0))
    waiting = list(
        Load.objects.filter(
            job__yard=yard, state=LoadState.PLANNED, not_before__isnull=False, need_by__gt=now, need_by__lt=until
        ).order_by("need_by", "pk")
    )
    for load in waiting[:-1]:
        slot = _slot_within(load, calendar)
        if slot is not None:
            set_load_state(office, load.pk, LoadState.CONFIRMED, now, slot_start=slot)
    for load in waiting[-1:]:
        if load.need_by is not None:
            set_load_state(office, load.pk, LoadState.ASKED, now, slot_start=_quarter(load.need_by) + TOO_LATE)


def _slot_within(load: Load, calendar: Calendar) -> datetime | None:
    """A slot in the working hours of a work day, as late in the load's window as fits; None where none fits."""
    assert load.not_before is not None
    assert load.need_by is not None
    slot = _quarter(load.need_by - BEFORE_NEED).astimezone(calendar.zone)
    while slot >= load.not_before:
        if slot.weekday() in calendar.weekdays and FIRST_TRUCK <= slot.time() <= LAST_TRUCK:
            return slot
        slot -= timedelta(minutes=15)
    return None


def _quarter(moment: datetime) -> datetime:
    return moment.replace(minute=moment.minute // 15 * 15, second=0, microsecond=0)
