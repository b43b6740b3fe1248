"""Computing today's verdicts: what is tighter acts at once, what is looser waits for a person."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime

from django.db import transaction

from crews.actions.verdicts import Standing, add_version, refresh, tell_crew
from crews.day_verdict import NOT_DECIDED, DayInputs, DayResult, judge_day, judge_within, keep_closed
from crews.models import Decision
from crews.planner.verdict import DayVerdict, Word
from crews.queries.day_inputs import DueRoof, OfficeOrder, due_roofs
from crews.queries.decisions import DayDecisions, day_decisions, verdict_of_row
from crews.queries.due import AT_530, due_on
from crews.queries.skies import SkyReader
from crews.queries.yards import yard_day, yard_seen
from crews.ruling import in_force as tightest
from crews.ruling import loosens, tightens
from jobs.models import Job
from roofops.record.access import Access, Role

OFFICE = (Role.MANAGER, Role.DISPATCHER)


@dataclass(frozen=True)
class Decided:
    """What became of one roof's verdict. changed: a new version is in force; waits: a looser one waits for a person."""

    job_id: int
    decision_id: int
    changed: bool
    waits: bool


def decide(access: Access, yard_id: int, now: datetime, job_ids: Iterable[int] | None = None) -> list[Decided]:
    """Compute the verdict of every roof at work or due today in a yard, or of some of them, and store what changed.

    Raises NotFound or Forbidden where the yard is not seen or the role may not.
    """
    yard = yard_seen(access, yard_id)
    access.require(yard_id, *OFFICE)
    today = yard_day(yard, now)
    wanted = None if job_ids is None else set(job_ids)
    found = [due for due in due_on(yard_id, today.day) if wanted is None or due.job_id in wanted]
    roofs = due_roofs(yard, found, today.day, now, SkyReader(yard, now))
    return [
        decided
        for roof in roofs
        if roof.inputs is not None and (decided := _decide(access, roof, today.day, now)) is not None
    ]


def _decide(access: Access, roof: DueRoof, day: date, now: datetime) -> Decided | None:
    with transaction.atomic():
        # Two who decide at once take turns, and the second sees what the first stored.
        Job.objects.select_for_update(of=("self",)).get(pk=roof.job.pk)
        known = day_decisions([roof.job.pk], day)[roof.job.pk]
        if known.in_force is not None and roof.inputs is not None and _shift_is_over(roof, now):
            return Decided(roof.job.pk, known.in_force.pk, changed=False, waits=False)
        order = OfficeOrder.of(known.in_force)
        inputs = roof.inputs_with(order)
        assert inputs is not None
        return store(access, Standing(roof, day, order, now), known, inputs, judge_day(inputs))


def _shift_is_over(roof: DueRoof, now: datetime) -> bool:
    """True in the evening, when nothing is open: the day's last verdict stays as it was."""
    over = roof.crew_day is not None and roof.crew_day.end <= now
    return over and roof.work is not None and not any(s.bare_squares > 0 for s in roof.work.work.sections)


def store(access: Access, standing: Standing, known: DayDecisions, inputs: DayInputs, result: DayResult) -> Decided:
    """Store a computed verdict beside what is in force: tighter parts at once, looser ones in front of a person."""
    if known.in_force is None:
        return _first(access, standing, known, result)
    old, new, now = verdict_of_row(known.in_force), result.verdict, standing.now
    tight, loose = tightens(new, old, now), loosens(new, old, now)
    row, changed = known.in_force, False
    if tight:
        held = tightest(old, new, now)
        run = judge_within(inputs, held) if loose else result.run
        row, changed = add_version(standing, known, held, run, in_force=True), True
        tell_crew(access, row, now)
    else:
        held = replace(tightest(old, new, now), reasons=new.reasons)
        refresh(row, standing, held, judge_within(inputs, held) if loose else result.run)
    if loose:
        _wait_for_person(standing, known, result)
    elif known.waiting is not None and not changed:
        Decision.objects.filter(pk=known.waiting.pk).update(waiting=False)
    return Decided(row.job_id, row.pk, changed=changed, waits=loose)


def _first(access: Access, standing: Standing, known: DayDecisions, result: DayResult) -> Decided:
    """The day's first version holds at once, unless the office put the decision off to the morning itself."""
    put_off = standing.roof.due.choice == AT_530 and result.verdict.verdict is Word.TEAR_OFF
    verdict: DayVerdict = keep_closed(result, NOT_DECIDED) if put_off else result.verdict
    row = add_version(standing, known, verdict, result.run, in_force=True)
    tell_crew(access, row, standing.now)
    if put_off:
        add_version(standing, known, result.verdict, result.run, in_force=False, waiting=True)
    return Decided(row.job_id, row.pk, changed=True, waits=put_off)


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
