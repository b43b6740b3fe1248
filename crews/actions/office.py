"""What people decide about a roof's day: accept, limit further, hold, release; and the crew lead's 'seen'."""

from dataclasses import replace
from datetime import date, datetime
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from crews.actions.decide import OFFICE, decide
from crews.actions.verdicts import Standing, add_version, basis_of, tell_crew
from crews.models import Decision
from crews.planner.verdict import Word
from crews.queries.day_inputs import DueRoof, OfficeOrder, due_roofs
from crews.queries.decisions import DayDecisions, day_decisions, verdict_of_row
from crews.queries.due import due_on
from crews.queries.rosters import crew_seen
from crews.queries.skies import SkyReader
from crews.queries.yards import local_day
from crews.refusals import Refused
from crews.verdict.day_verdict import judge_day, judge_within
from crews.verdict.ruling import SQUARES_STEP, with_past
from crews.verdict.ruling import in_force as tightest
from jobs.models import Job
from roofops.record import actions as record
from roofops.record.access import Access, NotFound, Role

REASON_LENGTH = 200


def accept(access: Access, decision_id: int, now: datetime) -> Decision:
    """Accept a verdict: a looser one that waits comes into force, one in force is marked as accepted.

    The sky is looked at once more first: what has become tighter meanwhile is not accepted.

    Raises
    ------
    NotFound, Forbidden
        The verdict is not seen, or the role may not (only a manager lets more happen).
    Refused
        Another version has taken its place, or its forecast is too old to open a roof.
    """
    row = _decision(access, decision_id)
    access.require(row.job.yard_id, Role.MANAGER)
    decide(_system_of(access), row.job.yard_id, now, [row.job_id])
    with transaction.atomic():
        Job.objects.select_for_update(of=("self",)).get(pk=row.job_id)
        row = Decision.objects.select_related("job").get(pk=decision_id)
        if not row.in_force and not row.waiting:
            raise Refused("changed", _("The verdict changed while you looked; look at the new one and accept that."))
        opens = row.verdict == Word.TEAR_OFF.value
        if row.waiting and opens and (row.valid_until is None or row.valid_until <= now):
            raise Refused("too_old", _("Its forecast is too old to open a roof; fetch a new one first."))
        came = row.waiting
        if came:
            Decision.objects.filter(job=row.job, day=row.day, in_force=True).update(in_force=False)
        row.in_force, row.waiting = True, False
        row.accepted_at, row.accepted_by = now, access.user
        row.save(update_fields=["in_force", "waiting", "accepted_at", "accepted_by"])
        _log(access, "accepted", row, now, basis=row.basis, at_once=row.bare_at_once_squares)
        if came:
            tell_crew(access, row, now)
    return row


def accept_all_unchanged(access: Access, yard_id: int, now: datetime) -> int:
    """Accept every verdict of today that is in force, changed nothing and waits for nothing; returns how many."""
    access.require(yard_id, Role.MANAGER)
    rows = Decision.objects.filter(job__yard_id=yard_id, in_force=True, accepted_at__isnull=True).select_related("job")
    count = 0
    for row in rows.select_related("job__yard"):
        if row.day != local_day(now, row.job.yard.time_zone):
            continue
        known = day_decisions([row.job_id], row.day)[row.job_id]
        if known.waiting is None and known.baseline is None:
            count += Decision.objects.filter(pk=row.pk, in_force=True, accepted_at__isnull=True).update(
                accepted_at=now, accepted_by=access.user
            )
            _log(access, "accepted", row, now, basis=row.basis, at_once=row.bare_at_once_squares)
    return count


@transaction.atomic
def limit_further(
    access: Access, job_id: int, day: date, squares: float, reason: str, now: datetime, at_once: float | None = None
) -> Decision:
    """Set a limit of the office's own for a roof's day: less in all, and less at once where it is given [squares].

    Raises Refused for more than what is in force, and without a reason.
    """
    _needs_reason(reason)
    roof, known, row = _today(access, job_id, day, now)
    if squares < 0 or (at_once is not None and at_once < 0):
        raise Refused("negative", _("A limit must not be below 0 squares."))
    if squares >= row.in_all_today_squares - SQUARES_STEP / 2 and at_once is None:
        raise Refused(
            "not_less",
            _("A limit of your own must be below the %(squares)s squares in force.")
            % {"squares": f"{row.in_all_today_squares:g}"},
        )
    if squares > row.in_all_today_squares + SQUARES_STEP / 2:
        raise Refused(
            "not_less",
            _("No more than the %(squares)s squares in force can be allowed in all.")
            % {"squares": f"{row.in_all_today_squares:g}"},
        )
    if at_once is not None and at_once > row.bare_at_once_squares + SQUARES_STEP / 2:
        raise Refused(
            "not_less",
            _("No more than the %(squares)s squares in force can be allowed at once.")
            % {"squares": f"{row.bare_at_once_squares:g}"},
        )
    order = replace(
        OfficeOrder.of(row),
        own_limit_squares=_less(row.own_limit_squares, squares),
        own_at_once_squares=_less(row.own_at_once_squares, at_once),
        reason=reason,
    )
    return _ordered(
        access, Standing(roof, day, order, now, basis_of(roof, order, now)), known, "limited", loosens_hold=False
    )


@transaction.atomic
def hold(access: Access, job_id: int, day: date, reason: str, now: datetime) -> Decision:
    """Stop opening on a roof until it is released; covering goes on. Raises Refused without a reason."""
    _needs_reason(reason)
    roof, known, row = _today(access, job_id, day, now)
    order = replace(OfficeOrder.of(row), held=True, reason=reason)
    return _ordered(
        access, Standing(roof, day, order, now, basis_of(roof, order, now)), known, "held", loosens_hold=False
    )


@transaction.atomic
def release(access: Access, job_id: int, day: date, reason: str, now: datetime) -> Decision:
    """Lift the office's own hold and limits; the verdict that the sky allows then is in force, accepted by who lifts.

    Raises Refused without a reason, and where nothing is held or limited.
    """
    _needs_reason(reason)
    access.require(_job(access, job_id).yard_id, Role.MANAGER)
    roof, known, row = _today(access, job_id, day, now)
    if not row.held and row.own_limit_squares is None and row.own_at_once_squares is None:
        raise Refused("not_held", _("Nothing is held or limited on this roof."))
    return _ordered(
        access,
        Standing(roof, day, OfficeOrder(), now, basis_of(roof, OfficeOrder(), now)),
        known,
        "released",
        loosens_hold=True,
        why=reason,
    )


def confirm_seen(access: Access, decision_id: int, now: datetime) -> Decision:
    """The crew lead (or the office on the phone for the lead) confirms having seen a version; the first time counts."""
    row = _decision(access, decision_id)
    if row.crew_id is not None:
        crew_seen(access, row.crew_id)
    elif access.role(row.job.yard_id) == Role.CREW_LEAD:
        raise NotFound("There is no such verdict here.")
    done = Decision.objects.filter(pk=row.pk, confirmed_at__isnull=True).update(
        confirmed_at=now, confirmed_by=access.user
    )
    if done:
        _log(access, "confirmed", row, now)
    row.refresh_from_db()
    return row


def _ordered(
    access: Access, standing: Standing, known: DayDecisions, verb: str, *, loosens_hold: bool, why: str = ""
) -> Decision:
    """Compute the verdict under an order of the office and put it in force in that person's name.

    The caller holds the job's lock since before it read what is in force.
    """
    inputs = standing.roof.inputs_with(standing.order)
    if inputs is None:
        raise Refused("no_roof", _("This job has no measured roof yet."))
    result = judge_day(inputs)
    verdict, run = result.verdict, result.run
    if known.in_force is not None:
        old = verdict_of_row(known.in_force)
        verdict = with_past(verdict, old, standing.now)
        if not loosens_hold:
            # What was in force meanwhile holds too: an order of the office never lets more happen.
            verdict = tightest(old, verdict, standing.now)
            run = judge_within(inputs, verdict)
    row = add_version(standing, known, verdict, run, in_force=True)
    row.accepted_at, row.accepted_by = standing.now, access.user
    row.save(update_fields=["accepted_at", "accepted_by"])
    _log(access, verb, row, standing.now, reason=why or standing.order.reason, in_all=row.in_all_today_squares)
    tell_crew(access, row, standing.now)
    return row


def _today(access: Access, job_id: int, day: date, now: datetime) -> tuple[DueRoof, DayDecisions, Decision]:
    """One roof of today with its verdict in force, looked at once more; the job is locked from here on."""
    job = _job(access, job_id)
    access.require(job.yard_id, *OFFICE)
    Job.objects.select_for_update(of=("self",)).get(pk=job_id)
    if day != local_day(now, job.yard.time_zone):
        raise Refused("other_day", _("Only today's roofs can be limited or held; for tomorrow choose on its page."))
    found = [due for due in due_on(job.yard_id, day) if due.job_id == job_id]
    if not found:
        raise Refused("not_due", _("This roof is not due today."))
    decide(_system_of(access), job.yard_id, now, [job_id])
    roof = due_roofs(job.yard, found, day, now, SkyReader(job.yard, now))[0]
    known = day_decisions([job_id], day)[job_id]
    if roof.failed:
        raise Refused("unreadable", _("The data of this roof cannot be read; it is kept closed until they are mended."))
    if known.in_force is None:
        raise Refused("no_roof", _("This job has no measured roof yet."))
    return roof, known, known.in_force


def _less(old: float | None, new: float | None) -> float | None:
    return min((value for value in (old, new) if value is not None), default=None)


def _needs_reason(reason: str) -> None:
    if not reason.strip():
        raise Refused("no_reason", _("Say why: the crew and the log will show it."))
    if len(reason) > REASON_LENGTH:
        raise Refused("reason_long", _("A reason holds at most %(n)s characters.") % {"n": REASON_LENGTH})


def _job(access: Access, job_id: int) -> Job:
    job = access.scope(Job.objects.select_related("yard")).filter(pk=job_id).first()
    if job is None:
        raise NotFound("There is no such job here.")
    return job


def _decision(access: Access, decision_id: int) -> Decision:
    row = access.scope(Decision.objects.select_related("job"), "job__yard_id").filter(pk=decision_id).first()
    if row is None:
        raise NotFound("There is no such verdict here.")
    return row


def _system_of(access: Access) -> Access:
    """The access in which verdicts are computed: the sky decides, not the person."""
    return access if access.everywhere else Access.system()


def _log(access: Access, verb: str, row: Decision, now: datetime, **data: Any) -> None:
    record.log(
        access,
        verb,
        row.job,
        now,
        forecast_ref=f"forecast:{row.forecast_id}" if row.forecast_id else "",
        decision=row.pk,
        version=row.version,
        **data,
    )
