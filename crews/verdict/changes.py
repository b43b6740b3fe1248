"""What a new computation of a verdict was caused by: the sky, something else, or nothing but the time that passed.

A walk from now finds less each minute in which nobody reports, although the crew is most likely at work as planned. So
time alone makes no new verdict, and a new forecast is compared with the last one at the same moment. After hours of
silence, though, a roof that may be opened is judged by what was last reported, and nothing else.
"""

import hashlib
import json
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum

# A crew that reports nothing for so long is taken at its last report [roofops default, no source].
SILENCE = timedelta(hours=3)


class Trigger(StrEnum):
    """Why a verdict is computed again."""

    TIME = "time"  # nothing changed
    SKY = "sky"  # only the forecast is another
    OTHER = "other"  # people, progress, limits, orders, loads, ... or long silence


@dataclass(frozen=True)
class Basis:
    """What a verdict was computed from: the forecast with its usability, everything else as a digest, and when."""

    forecast_id: int | None
    usable: bool
    others: str
    full_at: datetime


def digest_of(values: dict[str, object]) -> str:
    """A short digest of named values; the same values give the same digest."""
    text = json.dumps(values, sort_keys=True, default=str)
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def trigger_of(
    new: Basis, old: Basis, *, opens: bool, dry_in_by: datetime | None, last_report: datetime | None, now: datetime
) -> Trigger:
    """What makes a new computation differ from the last one.

    opens, dry_in_by: of the verdict in force. last_report: the crew's latest word of today.
    """
    if new.others != old.others or new.usable != old.usable:
        return Trigger.OTHER
    if dry_in_by is not None and old.full_at < dry_in_by <= now:
        return Trigger.OTHER
    heard = old.full_at if last_report is None else max(old.full_at, last_report)
    if opens and now - heard > SILENCE:
        return Trigger.OTHER
    return Trigger.SKY if new.forecast_id != old.forecast_id else Trigger.TIME
