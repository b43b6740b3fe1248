"""The afternoon's decisions about the next work day: the choice, the backup, and who has been told."""

from datetime import date, datetime

from django.db import transaction
from django.utils.translation import gettext as _

from crews.actions.decide import OFFICE
from crews.boards.tomorrow import CHOICES, PARTIES
from crews.models import DayChoice
from crews.queries.yards import local_day
from crews.refusals import Refused
from jobs.models import Job
from roofops.record import actions as record
from roofops.record.access import Access, NotFound

TICK_STATES = ("to_tell", "asked", "told", "not_needed")
BACKUP_LENGTH = 200


@transaction.atomic
def choose(
    access: Access,
    job_id: int,
    day: date,
    choice: str,
    now: datetime,
    move_to: date | None = None,
    backup: str | None = None,
) -> DayChoice:
    """Choose for one job and day: go, decide at 5:30 am, or move; '' takes the choice back.

    Raises Refused for a day that is over, a move without a day or onto a day when nobody may come.
    """
    job = _job(access, job_id)
    if choice not in ("", *CHOICES):
        raise Refused("choice", _("Choose Go, At 5:30 am or Move."))
    if day < local_day(now, job.yard.time_zone):
        raise Refused("past", _("That day is over."))
    if choice == "move":
        _check_move(job, day, move_to, now)
    row, _made = DayChoice.objects.select_for_update().get_or_create(job=job, day=day)
    changed = row.choice != choice or row.move_to != (move_to if choice == "move" else None)
    row.choice, row.move_to = choice, move_to if choice == "move" else None
    if backup is not None:
        row.backup = backup.strip()[:BACKUP_LENGTH]
    if changed:
        row.chosen_at, row.chosen_by = (now, access.user) if choice else (None, None)
        # What people were told no longer holds.
        row.told = {party: tick for party, tick in row.told.items() if tick.get("state") == "not_needed"}
    row.save()
    record.log(access, "chose", job, now, day=day, choice=choice, move_to=row.move_to)
    return row


@transaction.atomic
def tell(access: Access, job_id: int, day: date, party: str, state: str, now: datetime) -> DayChoice:
    """Tick who has been asked or told about a job's day: crew, homeowner, supplier, dumpster or inspector."""
    job = _job(access, job_id)
    if party not in PARTIES:
        raise Refused("party", _("Tell the crew, the homeowner, the supplier, the dumpster or the inspector."))
    if state not in TICK_STATES:
        raise Refused("state", _("A tick is to tell, asked, told or not needed."))
    row, _made = DayChoice.objects.select_for_update().get_or_create(job=job, day=day)
    row.told = {
        **row.told,
        party: {"state": state, "at": now.isoformat(), "by": access.user.pk if access.user else None},
    }
    row.save(update_fields=["told"])
    record.log(access, "told", job, now, day=day, party=party, state=state)
    return row


def _check_move(job: Job, day: date, move_to: date | None, now: datetime) -> None:
    if move_to is None:
        raise Refused("move_to", _("Name the day to move to."))
    if move_to == day:
        raise Refused("move_to", _("Move it to another day than the one it is on."))
    if move_to < local_day(now, job.yard.time_zone):
        raise Refused("move_to", _("A job cannot be moved into the past."))
    if move_to.isoformat() in job.blocked_dates:
        raise Refused("blocked", _("The homeowner has blocked that day."))


def _job(access: Access, job_id: int) -> Job:
    job = access.scope(Job.objects.select_related("yard")).filter(pk=job_id).first()
    if job is None:
        raise NotFound("There is no such job here.")
    access.require(job.yard_id, *OFFICE)
    return job
