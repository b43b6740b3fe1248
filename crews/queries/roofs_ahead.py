"""The roofs of a day that is still ahead: each starts as today's run in force leaves it, not as it lies now."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime

from structlog import get_logger

from crews.models import Decision
from crews.planner.problem import RoofWork, Run
from crews.queries.day_inputs import DueRoof, OfficeOrder, due_roofs
from crews.queries.decisions import day_decisions, run_of_row, verdict_of_row
from crews.queries.due import Due, due_on
from crews.queries.rows_read import RowsRead
from crews.queries.skies import SkyReader
from crews.queries.yards import local_day
from crews.verdict.day_verdict import DayResult, judge_day, judge_within
from crews.verdict.roof_at_end import at_end, begins_as
from jobs.models import Yard

logger = get_logger(__name__)


def roofs_on(
    yard: Yard, found: Sequence[Due], day: date, now: datetime, reader: SkyReader, read: RowsRead | None = None
) -> list[DueRoof]:
    """The roofs of a yard's day; for a day ahead each begins where today's run in force ends."""
    read = RowsRead() if read is None else read
    roofs = due_roofs(yard, found, day, now, reader, read)
    today = local_day(now, yard.time_zone)
    if day <= today or not roofs:
        return roofs
    wanted = {due.job_id for due in found}
    due_now = [due for due in due_on(yard.pk, today) if due.job_id in wanted]
    stored = day_decisions([due.job_id for due in due_now], today)
    at_work = {roof.job.pk: roof for roof in due_roofs(yard, due_now, today, now, reader, read)}
    return [
        _carried(roof, at_work[roof.job.pk], stored[roof.job.pk].in_force, now) if roof.job.pk in at_work else roof
        for roof in roofs
    ]


def _carried(roof: DueRoof, today: DueRoof, row: Decision | None, now: datetime) -> DueRoof:
    """The roof of the day ahead with today's work done; as it lies now once today's shift is over."""
    shift = today.crew_day
    if roof.work is None or roof.inputs is None or today.work is None or today.inputs is None:
        return roof
    if shift is None or shift.end <= now:
        return roof
    until = roof.inputs.now if roof.crew_day is not None else roof.inputs.axis_start
    try:
        left = _left(today, row, max(until, now))
    except Exception:
        # What lies there now is no less than what today leaves: more to close, more old roof, nothing opened for it.
        logger.exception("roof_ahead_unreadable", job=roof.job.pk)
        return roof
    # Loads and visits hold the day ahead by its own clock; only what lies on the roof is taken over.
    work = replace(
        roof.work.work,
        sections=left.sections,
        ridges=left.ridges,
        started=left.started,
        wet_deck=left.wet_deck,
        opened_today_squares=0.0,
    )
    return replace(roof, work=replace(roof.work, work=work), inputs=replace(roof.inputs, work=work))


def _left(today: DueRoof, row: Decision | None, until: datetime) -> RoofWork:
    """What today leaves: by the run in force, or by a walk from now within its limits where reports overtook it."""
    assert today.work is not None
    work = today.work.work
    if row is not None:
        run = run_of_row(row)
        if begins_as(work, run):
            return at_end(work, run, until)
    return at_end(work, _run_from_now(today, row), until)


def _run_from_now(today: DueRoof, row: Decision | None) -> Run:
    inputs = today.inputs_with(OfficeOrder.of(row))
    assert inputs is not None
    if row is not None:
        return judge_within(inputs, verdict_of_row(row))
    result: DayResult = judge_day(inputs)
    return result.run
