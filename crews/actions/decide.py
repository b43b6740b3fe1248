"""Computing today's verdicts: what is tighter acts at once, what is looser waits for a person."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, datetime, time
from zoneinfo import ZoneInfo

from django.db import OperationalError, transaction
from structlog import get_logger

from crews.actions.unreadable import keep_unreadable_closed
from crews.actions.verdicts import Decided, Standing, add_version, basis_of, basis_of_row, refresh, tell_crew
from crews.models import Decision
from crews.planner.verdict import DayVerdict, Word
from crews.queries.day_inputs import DueRoof, OfficeOrder, due_roofs
from crews.queries.decisions import DayDecisions, Stamp, day_decisions, verdict_of_row
from crews.queries.due import AT_530, due_on
from crews.queries.skies import SkyReader
from crews.queries.yards import yard_day, yard_seen
from crews.verdict.changes import Basis, Trigger, trigger_of
from crews.verdict.day_verdict import NOT_DECIDED, DayInputs, DayResult, judge_day, judge_within, keep_closed
from crews.verdict.ruling import in_force as tightest
from crews.verdict.ruling import loosens, tightens, with_past
from jobs.models import Job
from roofops.record.access import Access, Role

logger = get_logger(__name__)

OFFICE = (Role.MANAGER, Role.DISPATCHER)
# Wall time of the morning's round; from then on only a person lets more happen.
MORNING_ROUND = time(5, 0)


def decide(access: Access, yard_id: int, now: datetime, job_ids: Iterable[int] | None = None) -> list[Decided]:
    """Compute the verdict of every roof at work or due today in a yard, or of some of them, and store what changed.

    Raises NotFound or Forbidden where the yard is not seen or the role may not.
    """
    yard = yard_seen(access, yard_id)
    access.require(yard_id, *OFFICE)
    today = yard_day(yard, now)
    wanted = None if job_ids is None else set(job_ids)
    found = [due for due in due_on(yard_id, today.day) if wanted is None or due.job_id in wanted]
    reader = SkyReader(yard, now)
    before = {pk: known.stamp for pk, known in day_decisions([due.job_id for due in found], today.day).items()}
    decided = [
        _decide_or_close(access, roof, today.day, now, reader, before[roof.job.pk])
        for roof in due_roofs(yard, found, today.day, now, reader)
    ]
    return [one for one in decided if one is not None]


def _decide_or_close(
    access: Access, roof: DueRoof, day: date, now: datetime, reader: SkyReader, before: Stamp
) -> Decided | None:
    """One roof's verdict; where its data cannot be read or judged it is unknown and kept closed, and the rest go on."""
    try:
        if not roof.failed:
            return _decide(access, roof, day, now, reader, before)
    except OperationalError:
        # The database was busy, the roof is sound: what is in force holds, at most until its forecast is too old.
        logger.exception("decide_failed", job=roof.job.pk)
        return None
    except Exception:
        logger.exception("decide_failed", job=roof.job.pk)
    try:
        return keep_unreadable_closed(access, roof, day, now)
    except Exception:
        logger.exception("decide_failed", job=roof.job.pk, closed=False)
        return None


def _decide(
    access: Access, roof: DueRoof, day: date, now: datetime, reader: SkyReader, before: Stamp
) -> Decided | None:
    with transaction.atomic():
        # Two who decide at once take turns, and the second sees what the first stored.
        Job.objects.select_for_update(of=("self",)).get(pk=roof.job.pk)
        known = day_decisions([roof.job.pk], day)[roof.job.pk]
        if known.stamp != before:
            # Somebody decided since the roof was read: it is read again, so that no older sky or report has a say.
            reader = SkyReader(roof.job.yard, now)
            [roof] = due_roofs(roof.job.yard, [roof.due], day, now, reader)
        if roof.inputs is None:
            return None if known.in_force is None else keep_unreadable_closed(access, roof, day, now)
        order = OfficeOrder.of(known.in_force)
        inputs = roof.inputs_with(order)
        assert inputs is not None
        standing = Standing(roof, day, order, now, basis_of(roof, order, now))
        if known.in_force is None:
            return _first(access, standing, known, judge_day(inputs))
        return _again(access, standing, known, inputs, reader)


def _first(access: Access, standing: Standing, known: DayDecisions, result: DayResult) -> Decided:
    """The day's first version holds at once, unless the office put the decision off to the morning itself."""
    put_off = standing.roof.due.choice == AT_530 and result.verdict.verdict is Word.TEAR_OFF
    verdict: DayVerdict = keep_closed(result, NOT_DECIDED) if put_off else result.verdict
    row = add_version(standing, known, verdict, result.run, in_force=True)
    tell_crew(access, row, standing.now)
    if put_off:
        add_version(standing, known, result.verdict, result.run, in_force=False, waiting=True)
    return Decided(row.job_id, row.pk, changed=True, waits=put_off)


def _again(access: Access, standing: Standing, known: DayDecisions, inputs: DayInputs, reader: SkyReader) -> Decided:
    """A later computation: nothing for time alone, like with like for a new forecast, in full for all else."""
    row = known.in_force
    assert row is not None
    waits = known.waiting is not None
    before = basis_of_row(row)
    why = Trigger.OTHER if before is None else _trigger(standing, row, before)
    if before is not None and (why is Trigger.TIME or _shift_is_over(standing)):
        _keep_valid(row, inputs.valid_until)
        return Decided(row.job_id, row.pk, changed=False, waits=waits)
    result = judge_day(inputs)
    result = replace(result, verdict=with_past(result.verdict, verdict_of_row(row), standing.now))
    if _is_before_the_round(standing, row):
        return _overnight(access, standing, known, result)
    if before is not None and why is Trigger.SKY and not _sky_is_tighter(standing, inputs, result, before, reader):
        standing = replace(standing, basis=replace(standing.basis, full_at=before.full_at))
        return _not_tighter(standing, known, inputs, result)
    return store(access, standing, known, inputs, result)


def _is_before_the_round(standing: Standing, row: Decision) -> bool:
    """Before the morning's round nobody is on a roof: a verdict that no person touched simply follows the sky."""
    zone = ZoneInfo(standing.roof.job.yard.time_zone)
    early = standing.now.astimezone(zone).time() < MORNING_ROUND
    return early and not _lies_open(standing.roof) and row.accepted_at is None and standing.roof.due.choice != AT_530


def _overnight(access: Access, standing: Standing, known: DayDecisions, result: DayResult) -> Decided:
    row = known.in_force
    assert row is not None
    changed = not _same_figures(verdict_of_row(row), result.verdict)
    if changed:
        row = add_version(standing, known, result.verdict, result.run, in_force=True)
        tell_crew(access, row, standing.now)
    else:
        refresh(row, standing, result.verdict, result.run)
    return Decided(row.job_id, row.pk, changed=changed, waits=False)


def _trigger(standing: Standing, row: Decision, before: Basis) -> Trigger:
    entries = [entry.at for entry in standing.roof.reports.entries if entry.at <= standing.now]
    return trigger_of(
        standing.basis,
        before,
        opens=row.verdict == Word.TEAR_OFF.value,
        dry_in_by=row.dry_in_by,
        last_report=max(entries, default=None),
        now=standing.now,
    )


def _sky_is_tighter(standing: Standing, inputs: DayInputs, result: DayResult, before: Basis, reader: SkyReader) -> bool:
    """Whether the new forecast asks for more care than the last one does at this same moment."""
    roof = standing.roof
    sky = None if before.forecast_id is None else reader.as_forecast_by(roof.job, standing.day, before.forecast_id)
    if sky is None:
        return True
    return tightens(result.verdict, judge_day(replace(inputs, sky=sky)).verdict, standing.now)


def _shift_is_over(standing: Standing) -> bool:
    """True in the evening, when nothing is open: the day's last verdict stays as it was."""
    roof = standing.roof
    over = roof.crew_day is not None and roof.crew_day.end <= standing.now
    return over and roof.work is not None and not _lies_open(roof)


def _lies_open(roof: DueRoof) -> bool:
    """Whether rain could get in, or would without a tarp."""
    if roof.work is None:
        return False
    work = roof.work.work
    return any(s.bare_squares > 0 for s in work.sections) or any(ridge.open_ft > 0 for ridge in work.ridges)


def _keep_valid(row: Decision, until: datetime | None) -> None:
    """The same forecast was confirmed by its source: the verdict holds for longer."""
    if until is not None and row.valid_until is not None and until > row.valid_until:
        row.valid_until = until
        row.save(update_fields=["valid_until"])


def store(access: Access, standing: Standing, known: DayDecisions, inputs: DayInputs, result: DayResult) -> Decided:
    """Store a computed verdict beside what is in force: tighter parts at once, looser ones in front of a person."""
    row = known.in_force
    assert row is not None
    old, new, now = verdict_of_row(row), result.verdict, standing.now
    if not tightens(new, old, now):
        return _not_tighter(standing, known, inputs, result)
    loose = loosens(new, old, now)
    held = tightest(old, new, now)
    row = add_version(standing, known, held, judge_within(inputs, held) if loose else result.run, in_force=True)
    tell_crew(access, row, now)
    if loose:
        _wait_for_person(standing, known, result)
    return Decided(row.job_id, row.pk, changed=True, waits=loose)


def _not_tighter(standing: Standing, known: DayDecisions, inputs: DayInputs, result: DayResult) -> Decided:
    """What is in force stays, on the newest forecast; what is looser is put in front of a person."""
    row = known.in_force
    assert row is not None
    old, new, now = verdict_of_row(row), result.verdict, standing.now
    loose = loosens(new, old, now)
    held = replace(old, bands=tightest(old, new, now).bands, reasons=new.reasons, valid_until=new.valid_until)
    held = replace(held, p_wet=new.p_wet, bare_now_squares=new.bare_now_squares)
    refresh(row, standing, held, judge_within(inputs, held) if loose else result.run)
    if loose:
        _wait_for_person(standing, known, result)
    elif known.waiting is not None:
        Decision.objects.filter(pk=known.waiting.pk).update(waiting=False)
    return Decided(row.job_id, row.pk, changed=False, waits=loose)


def _wait_for_person(standing: Standing, known: DayDecisions, result: DayResult) -> None:
    """Put the looser verdict in front of a person; one that waits already is brought up to date."""
    waiting = Decision.objects.filter(job=standing.roof.job, day=standing.day, waiting=True).first()
    if waiting is not None and _same_figures(verdict_of_row(waiting), result.verdict):
        refresh(waiting, standing, result.verdict, result.run)
    else:
        add_version(standing, known, result.verdict, result.run, in_force=False, waiting=True)


def _same_figures(one: DayVerdict, other: DayVerdict) -> bool:
    return (one.verdict, one.bare_at_once_squares, one.in_all_today_squares, one.dry_in_by) == (
        other.verdict,
        other.bare_at_once_squares,
        other.in_all_today_squares,
        other.dry_in_by,
    )
