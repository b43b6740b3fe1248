"""Heals what a crash or a lost message left behind: run every few seconds by the timetable."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db import transaction
from django.db.models import Q

from roofops.record.dispatch import send_on_commit
from roofops.record.models import Heartbeat, IdempotencyKey, Notice, Work, WorkSlot
from roofops.record.queries import WORKER_HEARTBEAT

# Work that takes its runner down with it is not handed out for ever.
MAX_RUNS = 5
# A message is sent again after 10 s, then after as long as the work has waited so far, at most 2 minutes.
RESEND_AFTER = timedelta(seconds=10)
RESEND_AT_MOST = timedelta(minutes=2)
NOTICE_CLAIM = timedelta(minutes=5)
KEEP_SLOTS = timedelta(days=1)
KEEP_WORK = timedelta(days=30)
# Longer than a phone may stay offline with an unsent report.
KEEP_KEYS = timedelta(days=14)


@dataclass(frozen=True)
class Swept:
    """What one sweep found, as counts of rows."""

    resent: int
    requeued: int
    failed: int
    cancelled: int
    uncertain_notices: int


def sweep(now: datetime) -> Swept:
    """Requeue work whose runner is gone, send lost messages again, give up poison work, and record the heartbeat."""
    Heartbeat.objects.update_or_create(name=WORKER_HEARTBEAT, defaults={"at": now})
    cancelled, failed, requeued = _settle_lapsed(now)
    resent = _resend(now)
    uncertain = Notice.objects.filter(state=Notice.State.CLAIMED, claimed_at__lt=now - NOTICE_CLAIM).update(
        state=Notice.State.UNCERTAIN
    )
    _forget(now)
    return Swept(resent, requeued, failed, cancelled, uncertain)


def _forget(now: datetime) -> None:
    """Delete rows that nobody needs any more."""
    ended = (Work.State.DONE, Work.State.FAILED, Work.State.CANCELLED)
    Work.objects.filter(state__in=ended, created_at__lt=now - KEEP_WORK).delete()
    WorkSlot.objects.filter(slot__lt=now - KEEP_SLOTS).delete()
    IdempotencyKey.objects.filter(created_at__lt=now - KEEP_KEYS).delete()


@transaction.atomic
def _settle_lapsed(now: datetime) -> tuple[int, int, int]:
    """End or requeue running work whose lease is over; return how many were cancelled, failed, requeued."""
    lapsed = Q(state=Work.State.RUNNING, lease_until__lt=now)
    over = {"finished_at": now, "lease_until": None, "token": None}
    cancelled = Work.objects.filter(lapsed, cancel_requested=True).update(state=Work.State.CANCELLED, **over)
    failed = Work.objects.filter(lapsed, runs__gte=MAX_RUNS).update(
        state=Work.State.FAILED, error=f"Its runner stopped {MAX_RUNS} times without an answer.", **over
    )
    requeued = 0
    for work_id in Work.objects.filter(lapsed).values_list("pk", flat=True):
        # The condition again: since the line above the runner may have come back and extended its lease.
        taken = Work.objects.filter(lapsed, pk=work_id).update(
            state=Work.State.QUEUED, token=None, lease_until=None, sent_at=now
        )
        if taken:
            send_on_commit(work_id)
            requeued += 1
    return cancelled, failed, requeued


@transaction.atomic
def _resend(now: datetime) -> int:
    """Send again what has waited since its last message; the gap grows so that a long queue does not fill up."""
    waiting = Work.objects.filter(state=Work.State.QUEUED, sent_at__lt=now - RESEND_AFTER)
    resent = 0
    for work_id, created_at, sent_at in waiting.values_list("pk", "created_at", "sent_at"):
        gap = min(max(RESEND_AFTER, sent_at - created_at), RESEND_AT_MOST)
        if now - sent_at < gap:
            continue
        if Work.objects.filter(pk=work_id, state=Work.State.QUEUED, sent_at=sent_at).update(sent_at=now):
            send_on_commit(work_id)
            resent += 1
    return resent
