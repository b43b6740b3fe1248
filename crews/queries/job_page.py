"""The Job page: what joins a roof with its crew, plan, sky and log."""

from collections.abc import Sequence
from datetime import datetime

from crews.boards.job import (
    CrewSpeed,
    DelayLine,
    InspectionLine,
    JobBoard,
    LogLine,
    PhaseLine,
    ReadyLine,
    RidgeLine,
    SectionLine,
)
from crews.boards.today import TodayRow
from crews.models import Assignment, DelayDay, ProgressEntry
from crews.planner.problem import Run
from crews.progress import SlopeAreas, done_share
from crews.queries.day_inputs import due_roofs
from crews.queries.due import Due, due_on
from crews.queries.lines import UNITS
from crews.queries.load_context import load_rows
from crews.queries.reports import may_report
from crews.queries.roof_rows import judged_today, leads_of, name_of, notices_of, photos_of, today_row
from crews.queries.roof_work import ridge_name
from crews.queries.rosters import learned_speed
from crews.queries.rows_read import RowsRead
from crews.queries.skies import SkyReader
from crews.queries.strips import axis_of
from crews.queries.yards import YardDay, yard_day, zone_of
from jobs.models import Job, JobStatus, ReadyItem
from jobs.phases import Phase
from jobs.queries import job as visible_job
from jobs.queries import measured_roof
from jobs.roof_measure import EdgeKind, RoofMeasure
from roofops.record.access import Access, Role
from roofops.record.models import LogEntry

LOG_LINES = 60
OFFICE = (Role.MANAGER, Role.DISPATCHER)


def job_page(access: Access, job_id: int, now: datetime, *, job: Job | None = None) -> JobBoard:
    """The whole page of one job; job: the same job where the caller has read it already.

    Raises NotFound where it is not seen; a crew lead sees the own crew's roofs only.
    """
    job = visible_job(access, job_id) if job is None or job.pk != job_id else job
    may_report(access, job)
    today = yard_day(job.yard, now)
    reader = SkyReader(job.yard, now)
    read = RowsRead([job])
    row, run = _today(job, today, now, reader, read)
    planned = read.planned([job.pk]).get(job.pk)
    roof = measured_roof(job) if job.sections.all() else None
    office = access.may_see(job.yard_id, *OFFICE)
    return JobBoard(
        job_id=job.pk,
        yard_id=job.yard_id,
        zone=zone_of(job),
        now=now,
        day=today.day,
        today=row,
        forecast=reader.over_job(job, today.day, 1).note,
        sections=_sections(roof, run, row) if roof else (),
        ridges=_ridges(roof) if roof else (),
        phases=_phases(job, roof),
        finish_p50=planned.finish_p50 if planned else None,
        finish_p90=planned.finish_p90 if planned else None,
        crew_speed=_speed(planned),
        inspections=_inspections(job),
        loads=load_rows(access, job, now, reader, read) if office else (),
        ready=_ready(job),
        delays=tuple(
            DelayLine(d.day, d.hours_lost, d.reason, d.value, d.limit, UNITS.get(d.reason, ""))
            for d in DelayDay.objects.filter(job=job).order_by("-day")
        ),
        log=_log(job, read, today),
        own_limits=reader.own_limits(job),
        planned_start=planned.start if planned else None,
        crew_name=planned.crew.name if planned else (row.job.crew_name if row else ""),
        may_report=job.status in (JobStatus.SIGNED, JobStatus.AT_WORK),
        may_edit=office,
    )


def _today(
    job: Job, today: YardDay, now: datetime, reader: SkyReader, read: RowsRead
) -> tuple[TodayRow | None, Run | None]:
    found: list[Due] = [due for due in due_on(job.yard_id, today.day) if due.job_id == job.pk]
    if not found:
        return None, None
    [one] = judged_today(due_roofs(job.yard, found, today.day, now, reader, read), today.day, now, read)
    axis = axis_of([one.roof], today.day, today.axis())
    notices = notices_of([one.row] if one.row else [])
    row = today_row(
        one, today.day, axis, now, leads=leads_of([one.roof]), notices=notices, photos=photos_of([job.pk], today)
    )
    return row, one.run


def _sections(roof: RoofMeasure, run: Run | None, row: TodayRow | None) -> tuple[SectionLine, ...]:
    opens = row is not None and row.line.verdict == "tear_off" and run is not None
    order = {pk: n for n, pk in enumerate(opening_order(roof, run), start=1)} if opens else {}
    stop = (run.stop_section_id, run.stop_squares_into_section) if opens and run is not None else (None, 0.0)
    return tuple(
        SectionLine(
            section_id=s.section_id,
            name=s.name,
            pitch_in_12=s.pitch_in_12,
            squares=s.squares,
            old_squares=s.old_squares,
            bare_squares=s.bare_squares,
            dried_in_squares=s.dried_in_squares,
            shingled_squares=s.shingled_squares,
            order=order.get(s.section_id),
            stop_squares=stop[1] if s.section_id == stop[0] else None,
            state=SlopeAreas(s.old_squares, s.bare_squares, s.dried_in_squares, s.shingled_squares).state,
        )
        for s in roof.sections
    )


def opening_order(roof: RoofMeasure, run: Run | None) -> list[int]:
    """Slopes in the order of today's opening: what is bare now first, then as the walk opens them."""
    bare = [s.section_id for s in roof.sections if s.bare_squares > 0.05]
    opened = list(run.opened_section_ids) if run else []
    return list(dict.fromkeys([*bare, *opened]))


def _ridges(roof: RoofMeasure) -> tuple[RidgeLine, ...]:
    lines = (*roof.edges_of(EdgeKind.RIDGE), *roof.edges_of(EdgeKind.HIP))
    return tuple(
        RidgeLine(e.edge_id, ridge_name(roof, e.edge_id), e.length_ft, e.open_ft, e.finished_ft, e.vented)
        for e in lines
    )


def _phases(job: Job, roof: RoofMeasure | None) -> tuple[PhaseLine, ...]:
    """Labor-hours planned, and done as far as the areas say: a measurement that changes changes both."""
    shares = _shares(roof) if roof else {}
    done: dict[str, float] = {}
    planned: dict[str, float] = {}
    for row in job.phase_work.all():
        share = shares.get((row.section_id, row.phase), 0.0)
        done[row.phase] = done.get(row.phase, 0.0) + row.planned_labor_hours * share
        planned[row.phase] = planned.get(row.phase, 0.0) + row.planned_labor_hours
    return tuple(PhaseLine(p.value, done.get(p.value, 0.0), planned[p.value]) for p in Phase if p.value in planned)


def _shares(roof: RoofMeasure) -> dict[tuple[int | None, str], float]:
    """Share done of each slope and phase; the ridge counts as one."""
    shares: dict[tuple[int | None, str], float] = {}
    for s in roof.sections:
        areas = SlopeAreas(s.old_squares, s.bare_squares, s.dried_in_squares, s.shingled_squares)
        shares.update({(s.section_id, phase.value): done_share(phase, areas) for phase in Phase})
    length = roof.length_ft(EdgeKind.RIDGE, EdgeKind.HIP)
    finished = sum(edge.finished_ft for edge in roof.edges)
    shares[None, Phase.RIDGE.value] = min(1.0, finished / length) if length else 0.0
    return shares


def _speed(planned: Assignment | None) -> CrewSpeed | None:
    if planned is None:
        return None
    rates = tuple(planned.crew.rates.all())
    jobs = max((rate.jobs_counted for rate in rates), default=0)
    return CrewSpeed(planned.crew.name, 1.0 / learned_speed(rates), jobs) if jobs else None


def _inspections(job: Job) -> tuple[InspectionLine, ...]:
    names = {section.pk: section.name for section in job.sections.all()}
    return tuple(
        InspectionLine(
            id=row.pk,
            kind=row.kind,
            section=names.get(row.section_id or 0, ""),
            state=row.state,
            hold_point=row.hold_point,
            window_start=row.window_start,
            window_end=row.window_end,
            call_ahead_hours=row.call_ahead_hours,
            note=row.note,
        )
        for row in job.inspections.all()
    )


def _ready(job: Job) -> tuple[ReadyLine, ...]:
    rows: Sequence[ReadyItem] = list(job.ready_items.all())
    return tuple(ReadyLine(row.pk, row.kind, row.needed, row.done_at, row.note) for row in rows)


def _log(job: Job, read: RowsRead, today: YardDay) -> tuple[LogLine, ...]:
    """Reports and decisions together, newest first; reports are shown from their own rows."""
    entries = [row for row in read.reports([job.pk], today.start)[job.pk].entries if row.device != "baseline"]
    reports = [_report_line(row) for row in entries[::-1][:LOG_LINES]]
    logged = LogEntry.objects.filter(subject_type="jobs.job", subject_id=str(job.pk)).exclude(verb="reported")
    decided = [_decision_line(row) for row in logged.select_related("actor").order_by("-at", "-pk")[:LOG_LINES]]
    return tuple(sorted([*reports, *decided], key=lambda line: line.at, reverse=True)[:LOG_LINES])


def _report_line(row: ProgressEntry) -> LogLine:
    flags = [name for name in ("more_than_measured", "differs", "correction") if getattr(row, name)]
    return LogLine(
        at=row.at,
        who=row.by_name or name_of(row.by),
        code=row.kind,
        section=row.section.name if row.section else "",
        before=row.done_before,
        after=row.done_after,
        text=row.note,
        flags=tuple(flags),
    )


def _decision_line(row: LogEntry) -> LogLine:
    data = row.data
    text = " ".join(str(data[name]) for name in ("verdict", "reason", "choice", "because") if data.get(name))
    after = data.get("in_all")
    return LogLine(row.at, name_of(row.actor), row.verb, after=float(after) if after is not None else None, text=text)
