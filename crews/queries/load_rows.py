"""One load with the window that plan and walk leave it, whether its slot fits, and the ways out if it does not."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta

from crews.boards.delivery import LoadItem, LoadRow, WayOut
from crews.boards.sky_strip import SkyHour
from crews.delivery_timing import TOLD_MINUTES, Fit, JobTimes, LoadAsk, fit_of, load_window, proposed_slot
from crews.models import Assignment
from crews.queries.roof_places import RoofDays
from crews.queries.skies import JobSky
from crews.queries.yards import YardDay
from crews.verdict.sky_hours import HOUR, sky_hours, whole_hour
from jobs.delivery_window import Place, Window
from jobs.models import Job, JobStatus, Load, LoadKind, LoadState, Placement

GONE = (LoadState.CAME, LoadState.CANCELLED)
DONE = (JobStatus.FINISHED, JobStatus.CLOSED_OUT)


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
    roofs: Mapping[int, RoofDays] = field(default_factory=dict)  # of jobs with a roof drop


def load_row(load: Load, context: LoadContext) -> LoadRow:
    """One load with its window, whether its slot fits, and what could be done."""
    job = context.jobs[load.job_id]
    times = context.times[load.job_id]
    found = load_window(LoadAsk(load.kind, load.placement, load.needed_for, load.weight_lb), times, job.layers)
    row = context.assigned.get(load.job_id)
    plain = _plain(load, job, row.crew.name if row else "")
    slot = _slot(load)
    nowhere = no_place(load, load.slot_start, context.roofs.get(load.job_id))
    fit = Fit("no_place") if nowhere else _fit(load, slot, found, plain.truck_payload_lb)
    sky = context.skies[load.job_id]
    hours = _hours(sky, context.day)
    proposal = _proposal(load, found, fit, context, hours, sky)
    return replace(
        plain,
        not_before=found.not_before,
        not_before_why=_not_before_why(load, found, times),
        need_by=found.need_by,
        need_by_why=_need_by_why(load, found),
        fit=fit.code,
        minutes=fit.minutes,
        no_place_why=nowhere,
        proposed_slot=proposal,
        ways_out=_ways(load, fit, proposal, slot),
        gust_at_slot_mph=_gust_at(hours, load.slot_start or proposal),
        gust_limit_mph=_gust_limit(load, sky),
        calls=context.calls.get(load.pk, ()),
    )


def _plain(load: Load, job: Job, crew_name: str) -> LoadRow:
    """What the load itself says, without any window."""
    slot = _slot(load)
    supplier = load.supplier
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
        crew_name=crew_name,
        state=load.state,
        slot_start=load.slot_start,
        slot_end=slot[1] if slot else None,
        supplier_name=supplier.name if supplier else "",
        supplier_phone=supplier.phone if supplier else "",
        truck_payload_lb=supplier.truck_payload_lb if supplier and load.kind == LoadKind.MATERIALS else 0,
        note=load.note,
        revision=load.revision,
        split=_split(load, job),
        laid=_laid(load, job),
        hazards=job.hazards,
    )


def _slot(load: Load) -> tuple[datetime, datetime] | None:
    if load.slot_start is None:
        return None
    return load.slot_start, load.slot_start + timedelta(minutes=load.slot_minutes)


def _fit(load: Load, slot: tuple[datetime, datetime] | None, found: Window, payload_lb: int) -> Fit:
    """How the slot lies in the window; a load that fits but weighs more than its truck may carry does not fit."""
    after_work = load.kind in (LoadKind.LEFTOVERS, LoadKind.FINAL_HAUL) and load.job.status in DONE
    if load.state in GONE or (after_work and slot is not None):
        return Fit("fits")
    fit = fit_of(slot, found)
    return Fit("overweight") if fit.code == "fits" and 0 < payload_lb < load.weight_lb else fit


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
    if fit.code not in ("too_early", "too_late", "no_slot", "no_place"):
        return None
    start, end = context.day.hours.span(context.day.day)
    limit = _gust_limit(load, sky)
    slot = proposed_slot(found, load.slot_minutes, context.now, start, end, hours, limit)
    return None if no_place(load, slot, context.roofs.get(load.job_id)) else slot


def no_place(load: Load, start: datetime | None, roof: RoofDays | None) -> str:
    """Why a roof drop has no lawful place on its roof at a slot (code of jobs.delivery_window), or ''.

    A roof that is not known carries nothing.
    """
    if start is None or not is_roof_drop(load):
        return ""
    if roof is None:
        return "unknown"
    verdict = roof.at(start, load.slot_minutes)
    return verdict.code if verdict.place is Place.GROUND else ""


def is_roof_drop(load: Load) -> bool:
    """True for materials that shall lie on the roof and are not there yet."""
    return load.kind == LoadKind.MATERIALS and load.placement == Placement.ROOF and load.state not in GONE


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
    if _is(found.not_before, times.dried_in):
        return "dried_in"
    if _is(found.not_before, times.first_tear_off):
        return "work_starts"
    if _is(found.not_before, times.finish):
        return "room"
    return "day_before" if load.kind == LoadKind.MATERIALS and load.placement == Placement.ROOF else ""


def _is(told: datetime, exact: datetime | None) -> bool:
    """True where a told moment is an exact one, but for the step in which it is told."""
    return exact is not None and abs(told - exact) < timedelta(minutes=TOLD_MINUTES)


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
