"""Reads of the log, of background work and of notices."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from django.db.models import QuerySet

from roofops.record.access import Access, NotFound
from roofops.record.models import Heartbeat, LogEntry, Notice, Work

WORKER_HEARTBEAT = "worker"
OPEN_STATES = (Work.State.QUEUED, Work.State.RUNNING)


@dataclass(frozen=True)
class BackgroundState:
    """How the background processes do; None = no heartbeat yet, or nothing waits.

    `working` = some work holds a live lease: a worker that is busy with long work may miss its heartbeat.
    """

    heartbeat_age: timedelta | None
    working: bool
    oldest_queued_age: timedelta | None


@dataclass(frozen=True)
class WorkView:
    """One piece of background work as a page shows it; `progress` is a share from 0 to 1."""

    id: int
    kind: str
    yard_id: int | None
    started_by_id: int | None
    state: str
    progress: float
    progress_note: str
    result: Any
    error: str
    cancel_requested: bool
    created_at: datetime
    finished_at: datetime | None

    @property
    def is_open(self) -> bool:
        """True while it waits or runs."""
        return self.state in OPEN_STATES


def background_state(now: datetime) -> BackgroundState:
    """Return the age of the worker's heartbeat and of the oldest work that still waits."""
    beat = Heartbeat.objects.filter(name=WORKER_HEARTBEAT).first()
    oldest = Work.objects.filter(state=Work.State.QUEUED).order_by("created_at").first()
    return BackgroundState(
        heartbeat_age=None if beat is None else now - beat.at,
        working=Work.objects.filter(state=Work.State.RUNNING, lease_until__gt=now).exists(),
        oldest_queued_age=None if oldest is None else now - oldest.created_at,
    )


def work(access: Access, work_id: int) -> WorkView:
    """Return one piece of work; raise NotFound where it is in no yard that is seen."""
    row = access.scope(Work.objects.filter(pk=work_id)).first()
    if row is None:
        raise NotFound("There is no such background work here.")
    return _work_view(row)


def latest_work(access: Access, kind: str, yard_id: int | None = None) -> WorkView | None:
    """Return the newest work of a kind, in one yard if it is given; None where there was none."""
    rows = access.scope(Work.objects.filter(kind=kind))
    if yard_id is not None:
        rows = rows.filter(yard_id=yard_id)
    row = rows.order_by("-created_at", "-pk").first()
    return None if row is None else _work_view(row)


def log_entries(
    access: Access, subject_type: str | None = None, subject_id: str | int | None = None
) -> QuerySet[LogEntry]:
    """Return the log of the yards that are seen, newest first, of one subject if it is given."""
    rows = access.scope(LogEntry.objects.select_related("actor"))
    if subject_type is not None:
        rows = rows.filter(subject_type=subject_type)
    if subject_id is not None:
        rows = rows.filter(subject_id=str(subject_id))
    return rows


def notices(access: Access, subject_type: str | None = None) -> QuerySet[Notice]:
    """Return the notices of the yards that are seen, newest first."""
    rows = access.scope(Notice.objects.all())
    return rows if subject_type is None else rows.filter(subject_type=subject_type)


def _work_view(row: Work) -> WorkView:
    return WorkView(
        id=row.pk,
        kind=row.kind,
        yard_id=row.yard_id,
        started_by_id=row.started_by_id,
        state=row.state,
        progress=row.progress,
        progress_note=row.progress_note,
        result=row.result,
        error=row.error,
        cancel_requested=row.cancel_requested,
        created_at=row.created_at,
        finished_at=row.finished_at,
    )
