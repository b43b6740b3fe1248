"""What the rows of several loads share, read in a bounded number of queries."""

from collections.abc import Mapping, Sequence
from datetime import datetime

from crews.boards.delivery import LoadRow
from crews.delivery_timing import JobTimes, times_of_plan, times_of_run, with_run
from crews.models import Assignment, Decision
from crews.plan_data import day_from_data
from crews.planner.problem import Run
from crews.queries.decisions import run_of_row
from crews.queries.load_rows import LoadContext, is_roof_drop, load_row
from crews.queries.roof_places import roofs_of
from crews.queries.roof_rows import name_of
from crews.queries.rows_read import RowsRead
from crews.queries.skies import SkyReader
from crews.queries.yards import YardDay, yard_day
from jobs.models import Job, Load, Yard
from jobs.queries import jobs_for
from roofops.record.access import Access
from roofops.record.models import LogEntry

CALLS_SHOWN = 6
# Changes of a load in the decision log are its calls.
CALL_SUBJECT = "jobs.load"


def load_rows(access: Access, job: Job, now: datetime, reader: SkyReader, read: RowsRead) -> tuple[LoadRow, ...]:
    """The loads of one job that was fetched with them, for its page; none that was cancelled."""
    loads = list(job.loads.all())
    context = load_context(access, job.yard, loads, yard_day(job.yard, now), now, reader, [job], read)
    return tuple(sorted((load_row(load, context) for load in loads), key=by_need))


def load_context(
    access: Access,
    yard: Yard,
    loads: Sequence[Load],
    day: YardDay,
    now: datetime,
    reader: SkyReader,
    known: Sequence[Job] = (),
    read: RowsRead | None = None,
) -> LoadContext:
    """Everything that the rows of some loads need; known: their jobs, read: other rows, where they are read already."""
    ids = sorted({load.job_id for load in loads})
    jobs = {job.pk: job for job in (known or jobs_for(access, yard_id=yard.pk).filter(pk__in=ids))}
    reader.load(jobs.values())
    rows = RowsRead() if read is None else read
    assigned = rows.planned(ids)
    today = yard_day(yard, now)
    runs = _runs(jobs, today, read)
    dropped = {load.job_id for load in loads if is_roof_drop(load)}
    return LoadContext(
        zone=yard.time_zone,
        day=day,
        now=now,
        times=_times(jobs, assigned, runs),
        assigned=assigned,
        jobs=jobs,
        skies={pk: reader.over_job(job, day.day, 1) for pk, job in jobs.items()},
        calls=_calls([load.pk for load in loads]),
        roofs=roofs_of({pk: job for pk, job in jobs.items() if pk in dropped}, assigned, runs, today, rows),
    )


def _runs(jobs: Mapping[int, Job], today: YardDay, read: RowsRead | None) -> dict[int, Run]:
    """Today's walks that are in force."""
    if read is None:
        rows = list(Decision.objects.filter(job_id__in=jobs, day=today.day, in_force=True))
    else:
        held = read.decisions(jobs, today.day).values()
        rows = [found.in_force for found in held if found.in_force is not None]
    return {row.job_id: run_of_row(row) for row in rows}


def _times(jobs: Mapping[int, Job], assigned: Mapping[int, Assignment], runs: Mapping[int, Run]) -> dict[int, JobTimes]:
    """Each job's moments: the plan's, with today's walk where one is in force."""
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


def _calls(load_ids: Sequence[int]) -> dict[int, tuple[tuple[datetime, str, str], ...]]:
    rows = LogEntry.objects.filter(subject_type=CALL_SUBJECT, subject_id__in=[str(pk) for pk in load_ids])
    found: dict[int, list[tuple[datetime, str, str]]] = {}
    for row in rows.select_related("actor").order_by("-at", "-pk"):
        found.setdefault(int(row.subject_id), []).append((row.at, row.data.get("after", row.verb), name_of(row.actor)))
    return {pk: tuple(calls[:CALLS_SHOWN]) for pk, calls in found.items()}


def by_need(row: LoadRow) -> tuple[bool, datetime | None, int]:
    """Sort key: needed soonest first."""
    moment = row.need_by or row.slot_start
    return moment is None, moment, row.load_id
