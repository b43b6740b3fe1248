"""Rows of a roof turned into the work that is still to be done on it."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from django.db.models import Prefetch, QuerySet, prefetch_related_objects

from crews.holds import HOLDING_READY, NEVER, Coming, Visit, deck_hold, later_of, material_from, phase_holds
from crews.planner.problem import RidgeWork, RoofWork, SectionWork
from crews.queries.reports import JobReports
from crews.verdict.stop_line import plain_words, stop_place
from jobs.models import Inspection, Job, JobStatus, Load, LoadState
from jobs.phases import Phase
from jobs.production import RoofHours, phase_hours
from jobs.production_table import CLEAN_UP_MINUTES, FIRST_DAY_SET_UP_MINUTES, LATER_SET_UP_MINUTES
from jobs.queries import measured_roof, ready, with_roof
from jobs.roof_measure import EdgeKind, RoofMeasure, SectionMeasure
from roofops.record.access import Access

SMALL = 1e-6


@dataclass(frozen=True)
class JobWork:
    """One job with its measured roof, hours and remaining work; missing: open lines of its checklist."""

    job: Job
    roof: RoofMeasure
    hours: RoofHours
    work: RoofWork
    missing: tuple[str, ...]


def with_work(queryset: QuerySet[Job]) -> QuerySet[Job]:
    """Jobs with everything that `job_work` reads fetched along, however many jobs."""
    return with_roof(queryset).prefetch_related(*_day_rows())


def fetch_work(jobs: Sequence[Job]) -> None:
    """Fetch what `job_work` reads for jobs that were read with their roofs; what they hold already stays."""
    prefetch_related_objects(list(jobs), "sections", "edges", "details", *_day_rows())


def roof_work(access: Access, job: Job, reports: JobReports | None = None) -> RoofWork:
    """What is still to be done on one job, as the day's walk needs it.

    Raises NotFound for a yard that is not seen, ValueError for a job without sections.
    """
    access.require(job.yard_id)
    return job_work(with_work(Job.objects.filter(pk=job.pk)).get(), reports).work


def job_work(job: Job, reports: JobReports | None = None, *, for_plan: bool = False) -> JobWork:
    """The work of one job that was fetched through `with_work`.

    for_plan: loads, visits and checklist follow the plan then and do not hold it; what the day itself asks for is left
    out. Raises ValueError for a job without sections.
    """
    seen = reports or JobReports()
    roof = measured_roof(job)
    hours = phase_hours(roof)
    visits = () if for_plan else tuple(_visit(row) for row in job.inspections.all())
    missing = tuple(item.kind for item in ready(job))
    waits: dict[Phase, datetime] = {}
    if not for_plan:
        waits = later_of(material_from([_coming(row) for row in job.loads.all()]), phase_holds(visits))
        if HOLDING_READY & set(missing):
            waits[Phase.TEAR_OFF] = NEVER
    started = job.status == JobStatus.AT_WORK and any(s.old_squares < s.squares - SMALL for s in roof.sections)
    work = RoofWork(
        job_id=job.pk,
        sections=tuple(_section(roof, section, hours, visits, seen) for section in roof.sections),
        ridges=_ridges(roof, hours),
        first_day_set_up_minutes=FIRST_DAY_SET_UP_MINUTES,
        later_set_up_minutes=LATER_SET_UP_MINUTES,
        clean_up_minutes=CLEAN_UP_MINUTES,
        started=started,
        material_from=waits,
        wet_deck=seen.wet_deck and sum(s.bare_squares for s in roof.sections) > SMALL,
        opened_today_squares=opened_today(roof, seen),
    )
    return JobWork(job, roof, hours, work, missing)


def opened_today(roof: RoofMeasure, reports: JobReports) -> float:
    """Squares torn off since the day began, by the reports; 0 on a roof nobody reported on today."""
    total = 0.0
    for section in roof.sections:
        if section.section_id in reports.torn_before:
            torn = section.squares - section.old_squares
            total += max(0.0, torn - min(reports.torn_before[section.section_id], section.squares))
        elif section.section_id in reports.torn_today:
            total += max(0.0, section.squares - section.old_squares)
    return total


def _section(
    roof: RoofMeasure, section: SectionMeasure, hours: RoofHours, visits: Sequence[Visit], reports: JobReports
) -> SectionWork:
    found = hours.section(section.section_id)
    hold = deck_hold(visits, section.section_id)
    left = max(0.0, section.squares - section.shingled_squares) / section.squares
    to_close = (max(0.0, section.old_squares) + max(0.0, section.bare_squares)) / section.squares
    bare = max(0.0, section.bare_squares)
    return SectionWork(
        section_id=section.section_id,
        name=section.name,
        old_squares=max(0.0, section.old_squares),
        bare_squares=bare,
        dried_in_squares=max(0.0, section.dried_in_squares),
        shingled_squares=max(0.0, section.shingled_squares),
        eave_ft=section.eave_ft,
        run_ft=section.run_ft,
        pitch_in_12=section.pitch_in_12,
        hours_per_square=dict(found.hours_per_square),
        detail_closing_labor_hours=found.detail_closing_labor_hours * to_close,
        detail_field_labor_hours=found.detail_field_labor_hours * left,
        has_ice_barrier=found.hours_per_square.get(Phase.ICE_BARRIER, 0.0) > 0,
        deck_hold=hold is not None,
        deck_hold_from=hold.start if hold else None,
        deck_hold_until=hold.end if hold else None,
        stop_name=plain_words(stop_place(roof, section.section_id, section.squares)),
        tarped_squares=min(bare, reports.tarped.get(section.section_id, 0.0)),
    )


def _ridges(roof: RoofMeasure, hours: RoofHours) -> tuple[RidgeWork, ...]:
    lines = {edge.edge_id: edge for edge in roof.edges}
    return tuple(
        RidgeWork(
            edge_id=ridge.edge_id,
            name=ridge_name(roof, ridge.edge_id),
            length_ft=ridge.length_ft,
            open_ft=min(lines[ridge.edge_id].open_ft, ridge.length_ft),
            finished_ft=min(lines[ridge.edge_id].finished_ft, max(0.0, ridge.length_ft - lines[ridge.edge_id].open_ft)),
            labor_hours_per_ft=ridge.labor_hours_per_ft,
            cover_labor_hours_per_ft=ridge.cover_labor_hours_per_ft,
            vented=lines[ridge.edge_id].vented,
            section_ids=lines[ridge.edge_id].section_ids,
        )
        for ridge in hours.ridges
    )


def ridge_name(roof: RoofMeasure, edge_id: int) -> str:
    """What the crew would call a ridge or hip: by the slopes at its sides."""
    edge = next(edge for edge in roof.edges if edge.edge_id == edge_id)
    names = [roof.section(section_id).name for section_id in edge.section_ids]
    word = "hip" if edge.kind is EdgeKind.HIP else "ridge"
    return f"{word}, {' and '.join(names)}" if names else word


def stop_words(roof: RoofMeasure, section_id: int | None, squares_into: float) -> str:
    """The stop line in plain English for the log and the command line; '' where nothing is opened."""
    return "" if section_id is None else plain_words(stop_place(roof, section_id, squares_into))


def _visit(row: Inspection) -> Visit:
    return Visit(row.kind, row.state, row.hold_point, row.section_id, row.window_start, row.window_end)


def _coming(row: Load) -> Coming:
    return Coming(row.needed_for, row.state, slot_end(row))


def slot_end(row: Load) -> datetime | None:
    """When a load's slot ends; None without a slot."""
    return None if row.slot_start is None else row.slot_start + timedelta(minutes=row.slot_minutes)


def _day_rows() -> tuple[Any, ...]:
    return "ready_items", _visits(), _loads()


def _visits() -> "Prefetch[Any, Any, Any]":
    return Prefetch("inspections", queryset=Inspection.objects.order_by("window_start", "id"))


def _loads() -> "Prefetch[Any, Any, Any]":
    rows = Load.objects.exclude(state=LoadState.CANCELLED).select_related("supplier")
    return Prefetch("loads", queryset=rows.order_by("need_by", "id"))
