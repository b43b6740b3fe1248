"""Writes to the decision log and about background work.

Work is claimed, carried on and ended by conditional UPDATEs that name the expected state and token. Such an UPDATE is
one atomic step on SQLite and, at READ COMMITTED, on PostgreSQL too; reading first and saving afterwards is not.
"""

import uuid
from datetime import datetime, timedelta
from typing import Any

from django.db import IntegrityError, transaction
from django.db.models import F, Model, Q, QuerySet
from django.db.models.functions import Coalesce

from roofops.record.access import Access, NotFound
from roofops.record.dispatch import send_on_commit
from roofops.record.models import LogEntry, Work, WorkSlot
from roofops.record.queries import OPEN_STATES

DEFAULT_LEASE = timedelta(seconds=60)
NOTE_LENGTH = 200


def log(
    access: Access,
    verb: str,
    subject: Model | tuple[str, Any],
    now: datetime,
    *,
    yard_id: int | None = None,
    forecast_ref: str = "",
    **data: Any,
) -> LogEntry:
    """Add one entry to the decision log and return it.

    Parameters
    ----------
    subject
        The row that the entry is about, or a pair (type, id) for what has no row.
    yard_id
        The yard whose people may read the entry; taken from the row when it has a `yard_id`.
    forecast_ref
        Which forecast the decision was made on.
    data
        Whatever explains the decision, as JSON; no names, addresses or phone numbers of homeowners.
    """
    if isinstance(subject, Model):
        subject_type, subject_id = subject._meta.label_lower, subject.pk
        yard_id = getattr(subject, "yard_id", None) if yard_id is None else yard_id
    else:
        subject_type, subject_id = subject
    return LogEntry.objects.create(
        at=now,
        actor=access.user,
        yard_id=yard_id,
        verb=verb,
        subject_type=subject_type,
        subject_id=str(subject_id),
        data=data,
        forecast_ref=forecast_ref,
    )


@transaction.atomic
def start_work(
    kind: str,
    params: dict[str, Any],
    now: datetime,
    access: Access,
    yard_id: int | None = None,
    dedupe_key: str = "",
) -> Work:
    """Queue background work and return its row; with a key that is already waiting or running, return that one's.

    Raises
    ------
    NotFound
        The yard is not seen by who asks.
    """
    if yard_id is not None:
        access.require(yard_id)
    same = Work.objects.filter(kind=kind, dedupe_key=dedupe_key, state__in=OPEN_STATES)
    try:
        with transaction.atomic():  # a savepoint: the failed INSERT must not spoil the caller's transaction
            work = Work.objects.create(
                kind=kind,
                params=params,
                yard_id=yard_id,
                started_by=access.user,
                dedupe_key=dedupe_key,
                created_at=now,
                sent_at=now,
            )
    except IntegrityError:
        return same.get()
    send_on_commit(work.pk)
    return work


def claim(work_id: int, now: datetime, lease: timedelta = DEFAULT_LEASE) -> uuid.UUID | None:
    """Take the work for one runner and return its token; None where another runner has it or it is over."""
    token = uuid.uuid4()
    lapsed = Q(state=Work.State.RUNNING, lease_until__lt=now)
    taken = Work.objects.filter(Q(state=Work.State.QUEUED) | lapsed, pk=work_id, cancel_requested=False).update(
        state=Work.State.RUNNING,
        token=token,
        lease_until=now + lease,
        runs=F("runs") + 1,
        started_at=Coalesce("started_at", now),
    )
    return token if taken else None


def report_progress(
    work_id: int,
    token: uuid.UUID,
    fraction: float,
    note: str,
    now: datetime,
    lease: timedelta = DEFAULT_LEASE,
) -> bool:
    """Store how far the runner is (0 to 1) and extend its lease; False = stop: cancelled, or another has the work."""
    return bool(
        _held(work_id, token)
        .filter(cancel_requested=False)
        .update(progress=min(max(fraction, 0.0), 1.0), progress_note=note[:NOTE_LENGTH], lease_until=now + lease)
    )


def finish(work_id: int, token: uuid.UUID, result: Any, now: datetime) -> bool:
    """Store the result and end the work; False where the runner no longer holds it or it was cancelled meanwhile."""
    return bool(
        _held(work_id, token)
        .filter(cancel_requested=False)
        .update(state=Work.State.DONE, result=result, progress=1.0, progress_note="", **_ended(now))
    )


def fail(work_id: int, token: uuid.UUID, error: str, now: datetime) -> bool:
    """End the work with the reason it failed; False where the runner no longer holds it."""
    return bool(_held(work_id, token).update(state=Work.State.FAILED, error=error, **_ended(now)))


def settle_cancel(work_id: int, token: uuid.UUID, now: datetime) -> bool:
    """End work that was asked to stop and has stopped; False where nobody asked or the runner does not hold it."""
    rows = _held(work_id, token).filter(cancel_requested=True)
    return bool(rows.update(state=Work.State.CANCELLED, **_ended(now)))


@transaction.atomic
def request_cancel(access: Access, work_id: int, now: datetime) -> None:
    """Cancel work that waits at once; ask running work to stop at its next step. Ended work stays as it is.

    Raises
    ------
    NotFound
        There is no such work in a yard that is seen.
    """
    rows = access.scope(Work.objects.filter(pk=work_id))
    if not rows.exists():
        raise NotFound("There is no such background work here.")
    rows.filter(state=Work.State.QUEUED).update(state=Work.State.CANCELLED, cancel_requested=True, **_ended(now))
    rows.filter(state=Work.State.RUNNING).update(cancel_requested=True)


def take_slot(name: str, now: datetime, every: timedelta) -> bool:
    """Say whether this tick of a timetable entry is ours; True only once in each interval, whoever asks."""
    step_s = int(every.total_seconds())
    slot = datetime.fromtimestamp(now.timestamp() // step_s * step_s, tz=now.tzinfo)
    _, made = WorkSlot.objects.get_or_create(name=name, slot=slot)
    return made


def _held(work_id: int, token: uuid.UUID) -> QuerySet[Work]:
    return Work.objects.filter(pk=work_id, token=token, state=Work.State.RUNNING)


def _ended(now: datetime) -> dict[str, Any]:
    return {"finished_at": now, "lease_until": None, "token": None}
