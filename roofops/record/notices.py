"""The outbox of notices: made once per verdict and recipient, claimed before sending, marked afterwards.

A crash between sending and marking leaves a claimed notice behind; the sweep makes it 'uncertain', because sending it
again might tell a person twice and not sending might leave them untold: a person decides.
"""

import uuid
from datetime import datetime

from roofops.record.models import Notice


def add_notice(
    *,
    recipient: tuple[str, str | int],
    channel: str,
    subject: tuple[str, str | int],
    verdict_version: str,
    body: str,
    yard_id: int | None,
    now: datetime,
) -> int:
    """Put a notice into the outbox and return its id; the same verdict for the same recipient adds no second one."""
    key = ":".join(str(part) for part in (*recipient, channel, *subject, verdict_version))
    notice, _ = Notice.objects.get_or_create(
        key=key,
        defaults={
            "recipient_kind": recipient[0],
            "recipient_id": str(recipient[1]),
            "channel": channel,
            "subject_type": subject[0],
            "subject_id": str(subject[1]),
            "verdict_version": verdict_version,
            "body": body,
            "yard_id": yard_id,
            "created_at": now,
        },
    )
    return notice.pk


def claim_notice(notice_id: int, now: datetime) -> uuid.UUID | None:
    """Take a new notice for sending and return its token; None where somebody has taken it before."""
    token = uuid.uuid4()
    taken = Notice.objects.filter(pk=notice_id, state=Notice.State.NEW).update(
        state=Notice.State.CLAIMED, token=token, claimed_at=now
    )
    return token if taken else None


def mark_sent(notice_id: int, token: uuid.UUID, now: datetime) -> bool:
    """Record that the notice went out; also where the sweep has called it uncertain meanwhile."""
    open_states = (Notice.State.CLAIMED, Notice.State.UNCERTAIN)
    rows = Notice.objects.filter(pk=notice_id, token=token, state__in=open_states)
    return bool(rows.update(state=Notice.State.SENT, sent_at=now))


def mark_failed(notice_id: int, token: uuid.UUID, error: str) -> bool:
    """Record that the notice surely did not go out, and why."""
    rows = Notice.objects.filter(pk=notice_id, token=token, state=Notice.State.CLAIMED)
    return bool(rows.update(state=Notice.State.FAILED, error=error))
