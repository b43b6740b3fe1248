"""Creating and editing jobs, their checklist, status and homeowner."""

from datetime import datetime
from typing import Any

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from jobs.actions.roof import recompute_phase_work, replace_roof
from jobs.job_data import JobData
from jobs.models import Contact, Job, JobStatus, ReadyItem, ReadyKind, Yard
from jobs.queries import job as visible_job
from jobs.queries.ready import NOT_NEEDED_UNLESS_SAID
from jobs.queries.typed import COPIED, roof_of
from jobs.roof_data import RoofData
from roofops.record.access import Access, NotFound, Role
from roofops.record.actions import log

OFFICE = (Role.MANAGER, Role.DISPATCHER)


class LostUpdate(ValueError):
    """Somebody else saved the job since this form was opened."""


class NumberTaken(ValueError):
    """Another job of the yard has this number."""


@transaction.atomic
def create_job(access: Access, yard: Yard, data: JobData, now: datetime) -> Job:
    """Save a new job with roof, work per phase, checklist and homeowner, and return it.

    Raises
    ------
    NotFound, Forbidden
        The yard is not seen, or the person is no manager or dispatcher there.
    NumberTaken
        The yard has a job of this number.
    """
    access.require(yard.pk, *OFFICE)
    if Job.objects.filter(yard=yard, number=data.number).exists():
        raise NumberTaken(_("The yard has a job %(number)s already.") % {"number": data.number})
    job = Job(yard=yard, created_at=now)
    _copy(job, data)
    try:
        with transaction.atomic():
            job.save()
    except IntegrityError as error:  # two people saved the same number at one moment
        raise NumberTaken(_("The yard has a job %(number)s already.") % {"number": data.number}) from error
    replace_roof(job, data.roof)
    _save_ready(access, job, data, now)
    _save_contact(job, data)
    log(
        access, "job_created", job, now, number=job.number, squares=round(sum(s.squares for s in data.roof.sections), 2)
    )
    return job


@transaction.atomic
def edit_job(access: Access, job_id: int, data: JobData, now: datetime, *, revision: int) -> Job:
    """Save changes to a job and return it; the work per phase is computed anew, reported work stays.

    Parameters
    ----------
    revision
        The revision that the form was opened on.

    Raises
    ------
    NotFound, Forbidden
        The job is not seen, or the person is no manager or dispatcher there.
    LostUpdate
        Somebody else saved the job in between; nothing is changed.
    NumberTaken, RoofInWork
        The number is taken; the roof contradicts reported work.
    """
    job = visible_job(access, job_id)
    access.require(job.yard_id, *OFFICE)
    # One conditional UPDATE decides who was first; reading and comparing would let two through.
    if not Job.objects.filter(pk=job.pk, revision=revision).update(revision=revision + 1):
        raise LostUpdate(
            _(
                "Somebody else saved this job while you had it open. Your entries are kept below; "
                "open the job again in another window, compare, and save once more."
            )
        )
    if Job.objects.filter(yard_id=job.yard_id, number=data.number).exclude(pk=job.pk).exists():
        raise NumberTaken(_("The yard has another job %(number)s.") % {"number": data.number})
    changed = sorted(name for name in COPIED if getattr(job, name) != getattr(data, name))
    job = Job.objects.get(pk=job.pk)
    _copy(job, data)
    job.save()
    if _same_roof(job, data.roof):
        # Layers, storeys or product may have changed; what was measured keeps its rows.
        recompute_phase_work(job)
    else:
        replace_roof(job, data.roof)
    _save_ready(access, job, data, now)
    _save_contact(job, data)
    log(access, "job_edited", job, now, number=job.number, changed=changed, revision=job.revision)
    return job


@transaction.atomic
def set_ready(access: Access, job_id: int, kind: str, state: str, now: datetime, *, note: str = "") -> ReadyItem:
    """Set one line of the ready-to-build checklist to "done", "owed" or "not_needed" and return it.

    Raises ValueError for another state or kind; NotFound, Forbidden as for `edit_job`.
    """
    job = visible_job(access, job_id)
    access.require(job.yard_id, *OFFICE)
    item = _set_ready(access, job, ReadyKind(kind), state, now, note)
    log(access, "ready_changed", job, now, kind=item.kind, state=state)
    return item


@transaction.atomic
def set_status(access: Access, job_id: int, status: str, now: datetime) -> Job:
    """Set a job's status and return the job. Raises ValueError for another word; NotFound, Forbidden as above."""
    job = visible_job(access, job_id)
    access.require(job.yard_id, *OFFICE)
    before, job.status = job.status, JobStatus(status).value
    job.save(update_fields=["status"])
    log(access, "job_status", job, now, before=before, after=job.status)
    return job


@transaction.atomic
def delete_contact(access: Access, job_id: int, now: datetime) -> None:
    """Delete the homeowner's data of a job; the log keeps that it was done, not what it was."""
    job = visible_job(access, job_id)
    access.require(job.yard_id, Role.MANAGER)
    deleted, _rows = Contact.objects.filter(job=job).delete()
    if not deleted:
        raise NotFound("There is no homeowner to delete.")
    log(access, "contact_deleted", job, now)


def _same_roof(job: Job, roof: RoofData) -> bool:
    return job.sections.exists() and roof_of(job) == roof


def _copy(job: Job, data: JobData) -> None:
    for name in COPIED:
        setattr(job, name, getattr(data, name))
    job.blocked_dates = [day.isoformat() for day in sorted(set(data.blocked_dates))]


def _save_contact(job: Job, data: JobData) -> None:
    if data.contact is not None:
        values = {name: getattr(data.contact, name) for name in ("name", "phone", "email", "language")}
        Contact.objects.update_or_create(job=job, defaults=values)


def _save_ready(access: Access, job: Job, data: JobData, now: datetime) -> None:
    """Save the named lines of the checklist, and every line that is not there yet as owed."""
    there = {item.kind: item for item in job.ready_items.all()}
    new: list[ReadyItem] = []
    for kind in ReadyKind:
        owed = "not_needed" if kind.value in NOT_NEEDED_UNLESS_SAID else "owed"
        item = there.get(kind.value)
        if item is None:
            item = ReadyItem(job=job, kind=kind.value)
            _apply(access, item, data.ready.get(kind.value, owed), now)
            new.append(item)
        elif kind.value in data.ready:
            _apply(access, item, data.ready[kind.value], now)
            item.save()
    ReadyItem.objects.bulk_create(new)


def _set_ready(access: Access, job: Job, kind: ReadyKind, state: str, now: datetime, note: str = "") -> ReadyItem:
    item = ReadyItem.objects.filter(job=job, kind=kind.value).first() or ReadyItem(job=job, kind=kind.value)
    _apply(access, item, state, now, note)
    item.save()
    return item


def _apply(access: Access, item: ReadyItem, state: str, now: datetime, note: str = "") -> None:
    """Give a line its state; a line that is done already keeps who did it and when."""
    if state not in ("done", "owed", "not_needed"):
        raise ValueError(
            _("“%(state)s” says nothing about the checklist; use done, owed or not_needed.") % {"state": state}
        )
    values: dict[str, Any] = {"needed": state != "not_needed", "note": note or item.note}
    if state == "done" and item.done_at is None:
        values |= {"done_at": now, "done_by": access.user}
    elif state != "done":
        values |= {"done_at": None, "done_by": None}
    for name, value in values.items():
        setattr(item, name, value)
