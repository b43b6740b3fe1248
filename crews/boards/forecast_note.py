"""Which forecast a figure stands on: source, issue, age. No figure is shown without it."""

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True)
class ForecastNote:
    """Where a verdict's sky comes from.

    why: code of what is wrong, empty when the forecast is usable (no_point, source_off, none, too_old, ...).
    """

    source: str  # nws, openmeteo, recorded; empty: none
    issued_at: datetime | None
    age_hours: float | None  # since issue
    checked_at: datetime | None  # when the source last answered soundly
    checked_hours: float | None
    usable_today: bool
    usable_beyond: bool
    attribution: str = ""
    invented: bool = False  # recorded demo weather; must be marked on the screen
    why: str = ""
    limit_hours: float | None = None  # the age limit that `why` speaks of
    failure: str = ""  # the last error of the source in words
    next_try_at: datetime | None = None
