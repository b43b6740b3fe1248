"""Deliveries: each load of a day with the window that plan and walk leave it, and the ways out if it does not fit."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.db.models import Q

from crews.delivery_board import DeliveryBoard, LoadItem, LoadRow, WayOut
from crews.delivery_timing import (
    Fit,
    JobTimes,
    LoadAsk,
    fit_of,
    load_window,
    proposed_slot,
    times_of_plan,
    times_of_run,
    with_run,
)
from crews.models import Assignment, Decision, PlanState
from crews.plan_data import day_from_data
from crews.queries.decisions import run_of_row
from crews.queries.roof_rows import name_of
from crews.queries.skies import JobSky, SkyReader
from crews.queries.yards import YardDay, on_day, yard_day, yard_seen
from crews.sky_hours import HOUR, sky_hours, whole_hour
from crews.sky_strip import SkyHour
from jobs.delivery_window import Window
from jobs.models import Job, Load, LoadKind, LoadState, Placement, Yard
from jobs.queries import jobs_for, loads_of
from roofops.record.access import Access, Role
from roofops.record.models import LogEntry

DAYS_OFFERED = 3
BUNDLES_PER_STACK = 4
GONE = (LoadState.CAME, LoadState.CANCELLED)
CALLS_SHOWN = 6
# Verbs of the decision log that are calls about a load.
CALL_SUBJECT = "jobs.load"


@dataclass(frozen=True)
class LoadContext:
    """What the rows of several loads share."""

    zone: str
    day: YardDay
    now: datetime
    times: Mapping[int, JobTimes]  # by job
    assigned: Mapping[int, Assignment]
    jobs: Mapping[int, Job]
    skies: Mapping[int, JobSky]
    calls: Mapping[int, tuple[tuple[datetime, str, str], ...]]


def deliveries(access: Access, yard_id: int, day: date, now: datetime) -> DeliveryBoard:
    """The whole page of one day for the office; Forbidden for a crew lead, NotFound where the yard is not seen."""
    yard = yard_seen(access, yard_id)
    access.require(yard_id, Role.MANAGER, Role.DISPATCHER)
    on = on_day(yard, day)
    reader = SkyReader(yard, now)
    loads = list(_loads_on(yard, on))
    context = load_context(access, yard, loads, on, now, reader)
    rows = sorted((load_row(load, context) for load in loads), key=_order)
    sky = reader.over_yard(day, 1)
    axis = on.axis()
    first = whole_hour(axis[0])
    table = sky.chosen.hourly if sky.chosen.usable_beyond or sky.chosen.usable_today else None
    drops = sum(1 for r in rows if r.kind == LoadKind.MATERIALS and r.placement == Placement.ROOF)
    return DeliveryBoard(
        yard_id=yard.pk,
        yard_name=yard.name,
        company=yard.company,
        zone=yard.time_zone,
        day=day,
        now=now,
        days=_days(yard_day(yard, now), day),
        rows=tuple(rows),
        hours=sky_hours(sky.work_hours, table, first, max(1, round((axis[1] - first) / HOUR))),
        forecast=sky.note,
        drops_used=drops,
        drops_limit=yard.roof_drops_per_day,
        sunrise=sky.suns[0].sunrise,
        sunset=sky.suns[0].sunset,
        axis_start=axis[0],
        axis_end=axis[1],
        may_change=access.may_see(yard_id, Role.MANAGER, Role.DISPATCHER),
    )


def _loads_on(yard: Yard, day: YardDay) -> Sequence[Load]:
    """Loads whose slot is on the day, or that must come on it; what came or was cancelled on the day stays in view."""
    slot = Q(slot_start__gte=day.start, slot_start__lt=day.end)
    need = Q(slot_start__isnull=True, need_by__gte=day.start, need_by__lt=day.end) & ~Q(state__in=GONE)
    moved = Q(need_by__gte=day.start, need_by__lt=day.end) & ~Q(state__in=GONE)
    rows = Load.objects.filter(slot | need | moved, job__yard=yard).exclude(state=LoadState.CANCELLED)
    return list(rows.select_related("job__yard", "supplier").distinct().order_by("need_by", "slot_start", "id"))


def load_rows(access: Access, job: Job, now: datetime, reader: SkyReader) -> tuple[LoadRow, ...]:
    """The loads of one job, for its page."""
    loads = list(loads_of(access, [job.pk]).exclude(state=LoadState.CANCELLED))
    context = load_context(access, job.yard, loads, yard_day(job.yard, now), now, reader)
    return tuple(sorted((load_row(load, context) for load in loads), key=_order))


def load_context(
    access: Access, yard: Yard, loads: Sequence[Load], day: YardDay, now: datetime, reader: SkyReader
) -> LoadContext:
    """Everything that the rows of some loads need, in a bounded number of queries."""
    ids = sorted({load.job_id for load in loads})
    jobs = {job.pk: job for job in jobs_for(access, yard_id=yard.pk).filter(pk__in=ids)}
    reader.load(jobs.values())
    rows = Assignment.objects.filter(job_id__in=ids, plan__state=PlanState.PUBLISHED).select_related("crew")
    assigned = {row.job_id: row for row in rows}
    return LoadContext(
        zone=yard.time_zone,
        day=day,
        now=now,
        times=_times(yard, jobs, assigned, now),
        assigned=assigned,
        jobs=jobs,
        skies={pk: reader.over_job(job, day.day, 1) for pk, job in jobs.items()},
        calls=_calls([load.pk for load in loads]),
    )


def _times(
    yard: Yard, jobs: Mapping[int, Job], assigned: Mapping[int, Assignment], now: datetime
) -> dict[int, JobTimes]:
    """Each job's moments: the plan's, with today's walk where one is in force."""
    today = yard_day(yard, now)
    runs = {
        row.job_id: run_of_row(row) for row in Decision.objects.filter(job_id__in=jobs, day=today.day, in_force=True)
    }
    found: dict[int, JobTimes] = {}
    for pk, job in jobs.items():
        old = sum(s.old_squares for s in job.sections.all())
        row = assigned.get(pk)
        times = JobTimes()
        if row is not None and not row.pencilled:
            times = times_of_plan([day_from_data(day) for day in row.days], old, row.finish_p50)
        if pk in runs and runs[pk].steps:
            times = with_run(times, times_of_run(runs[pk]))
        found[pk] = times
    return found


def load_row(load: Load, context: LoadContext) -> LoadRow:
    """One load with its window, whether its slot fits, and what could be done."""
    job = context.jobs[load.job_id]
    times = context.times[load.job_id]
    ask = LoadAsk(load.kind, load.placement, load.needed_for, load.weight_lb)
    found = load_window(ask, times, job.layers)
    slot = (
        None if load.slot_start is None else (load.slot_start, load.slot_start + timedelta(minutes=load.slot_minutes))
    )
    fit = Fit("fits") if load.state in GONE else fit_of(slot, found)
    payload = load.supplier.truck_payload_lb if load.supplier and load.kind == LoadKind.MATERIALS else 0
    if fit.code == "fits" and 0 < payload < load.weight_lb and load.state not in GONE:
        fit = Fit("overweight")
    sky = context.skies[load.job_id]
    hours = _hours(sky, context.day)
    proposal = _proposal(load, found, fit, context, hours, sky)
    row = context.assigned.get(load.job_id)
    return LoadRow(
        load_id=load.pk,
        kind=load.kind,
        placement=load.placement,
        items=tuple(
            LoadItem(str(item.get("item", "")), float(item.get("count", 0)), str(item.get("unit", "")))
            for item in load.contents
        ),
        weight_lb=load.weight_lb,
        container_yd3=load.container_yd3,
        job_id=job.pk,
        job_number=job.number,
        short_name=job.short_name,
        street=job.street,
        crew_name=row.crew.name if row else "",
        state=load.state,
        slot_start=load.slot_start,
        slot_end=slot[1] if slot else None,
        not_before=found.not_before,
        not_before_why=_not_before_why(load, found, times),
        not_before_section="",
        need_by=found.need_by,
        need_by_why=_need_by_why(load, found),
        need_by_section="",
        fit=fit.code,
        minutes=fit.minutes,
        proposed_slot=proposal,
        ways_out=_ways(load, fit, proposal, slot),
        supplier_name=load.supplier.name if load.supplier else "",
        supplier_phone=load.supplier.phone if load.supplier else "",
        truck_payload_lb=payload,
        note=load.note,
        revision=load.revision,
        gust_at_slot_mph=_gust_at(hours, load.slot_start or proposal),
        gust_limit_mph=_gust_limit(load, sky),
        split=_split(load, job),
        laid=_laid(load, job),
        hazards=job.hazards,
        calls=context.calls.get(load.pk, ()),
    )


def _hours(sky: JobSky, day: YardDay) -> tuple[SkyHour, ...]:
    table = sky.chosen.hourly if sky.chosen.usable_today or sky.chosen.usable_beyond else None
    first = whole_hour(day.start)
    return sky_hours(sky.work_hours, table, first, max(1, round((day.end - first) / HOUR)))


def _gust_limit(load: Load, sky: JobSky) -> float | None:
    """Only a roof-top drop has one: nothing is lifted over people above the closing wind."""
    return sky.limits.closing_wind_mph if load.placement == Placement.ROOF else None


def _gust_at(hours: Sequence[SkyHour], moment: datetime | None) -> float | None:
    if moment is None:
        return None
    return next((hour.gust_mph for hour in hours if hour.start <= moment < hour.start + HOUR), None)


def _proposal(
    load: Load, found: Window, fit: Fit, context: LoadContext, hours: Sequence[SkyHour], sky: JobSky
) -> datetime | None:
    if fit.code not in ("too_early", "too_late", "no_slot"):
        return None
    start, end = context.day.hours.span(context.day.day)
    limit = _gust_limit(load, sky)
    return proposed_slot(found, load.slot_minutes, context.now, start, end, hours, limit)


def _ways(
    load: Load, fit: Fit, proposal: datetime | None, slot: tuple[datetime, datetime] | None
) -> tuple[WayOut, ...]:
    if fit.code in ("fits", "not_planned"):
        return ()
    ways = [WayOut("move_slot", proposal)] if proposal is not None else []
    if load.placement == Placement.ROOF:
        ways.append(WayOut("ground"))
    if fit.code == "too_late" and slot is not None:
        ways.append(WayOut("later_start", slot[1]))
    return tuple(ways)


def _not_before_why(load: Load, found: Window, times: JobTimes) -> str:
    if found.not_before is None:
        return ""
    if times.dried_in is not None and found.not_before == times.dried_in:
        return "dried_in"
    if times.first_tear_off is not None and found.not_before == times.first_tear_off:
        return "work_starts"
    if found.not_before == times.finish:
        return "room"
    return "day_before" if load.kind == LoadKind.MATERIALS and load.placement == Placement.ROOF else ""


def _need_by_why(load: Load, found: Window) -> str:
    if found.need_by is None:
        return ""
    if load.kind == LoadKind.DUMPSTER_SWAP:
        return "full"
    if load.kind in (LoadKind.FINAL_HAUL, LoadKind.LEFTOVERS):
        return "clean_up"
    return load.needed_for or "tear_off"


def _split(load: Load, job: Job) -> tuple[tuple[str, int], ...]:
    """Bundles for each of the two largest slopes: a roof-top load never lies on one alone."""
    if load.placement != Placement.ROOF:
        return ()
    bundles = sum(int(item.get("count", 0)) for item in load.contents if item.get("unit") == "bundle")
    slopes = sorted(job.sections.all(), key=lambda s: -s.squares)[:2]
    if not bundles or len(slopes) < 2:
        return ()
    half = (bundles + 1) // 2
    return (slopes[0].name, half), (slopes[1].name, bundles - half)


def _laid(load: Load, job: Job) -> tuple[float, float] | None:
    """Squares of shingles that are laid, of all; for a load of materials."""
    if load.kind != LoadKind.MATERIALS:
        return None
    sections = job.sections.all()
    return sum(s.shingled_squares for s in sections), sum(s.squares for s in sections)


def _calls(load_ids: Sequence[int]) -> dict[int, tuple[tuple[datetime, str, str], ...]]:
    rows = LogEntry.objects.filter(subject_type=CALL_SUBJECT, subject_id__in=[str(pk) for pk in load_ids])
    found: dict[int, list[tuple[datetime, str, str]]] = {}
    for row in rows.select_related("actor").order_by("-at", "-pk"):
        found.setdefault(int(row.subject_id), []).append((row.at, row.data.get("after", row.verb), name_of(row.actor)))
    return {pk: tuple(calls[:CALLS_SHOWN]) for pk, calls in found.items()}


def _order(row: LoadRow) -> tuple[bool, datetime | None, int]:
    moment = row.need_by or row.slot_start
    return moment is None, moment, row.load_id


def _days(today: YardDay, chosen: date) -> tuple[date, ...]:
    """The days offered at the top: today and the next work days, and the chosen one if it is another."""
    days = [today.day]
    while len(days) < DAYS_OFFERED:
        days.append(today.hours.next_workday(days[-1]))
    return tuple(days) if chosen in days else (*days, chosen)
