"""Which of the forecasts at hand is believed: the first source, the second, the last good one with its age, or none."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum

from weather.hourly import Hourly
from weather.limits import Limits

HOUR = timedelta(hours=1)


class Why(StrEnum):
    """Why the chosen forecast is not used for today; pages turn it into a sentence with the ages beside it."""

    USED = ""
    NO_FORECAST = "no_forecast"
    CHECK_TOO_OLD = "check_too_old"
    ISSUE_TOO_OLD = "issue_too_old"
    TODAY_MISSING = "today_missing"


@dataclass(frozen=True)
class Held:
    """One stored forecast: the table, when it was issued, and when the source last confirmed it; UTC."""

    hourly: Hourly
    source: str
    issued_at: datetime
    checked_at: datetime
    forecast_id: int | None = None


@dataclass(frozen=True)
class Chosen:
    """The forecast to work with, its age since issue and since the last good check [h], and what it may be used for.

    hourly is None only where there is no forecast at all. usable_today and usable_beyond say whether it may open a roof
    today and on later days; where they are False every hour counts as unknown. failure: the source's last error.
    """

    hourly: Hourly | None
    source: str = ""
    issued_at: datetime | None = None
    checked_at: datetime | None = None
    age_hours: float | None = None
    checked_hours: float | None = None
    usable_today: bool = False
    usable_beyond: bool = False
    why: Why = Why.NO_FORECAST
    forecast_id: int | None = None
    attribution: str = ""
    failure: str = ""


def choose(forecasts: Sequence[Held], now: datetime, limits: Limits | None = None, failure: str = "") -> Chosen:
    """The forecast to work with.

    Parameters
    ----------
    forecasts : sequence of Held
        Best source first.
    now : datetime
        The present moment.
    limits : Limits, optional
        Holds the ages beyond which a forecast counts as unknown.
    failure : str
        The last error of the source, handed on.

    Returns
    -------
    Chosen
        The first that is usable today; else the first usable for later days; else the one checked last, which may be
        shown with its age but opens nothing.
    """
    ages = limits or Limits()
    candidates = [_weighed(held, now, ages, failure) for held in forecasts]
    if not candidates:
        return Chosen(hourly=None, failure=failure)
    today = [candidate for candidate in candidates if candidate.usable_today]
    beyond = [candidate for candidate in candidates if candidate.usable_beyond]
    return next(iter(today + beyond), min(candidates, key=lambda candidate: candidate.checked_hours or 0.0))


def _weighed(held: Held, now: datetime, limits: Limits, failure: str) -> Chosen:
    # A clock that is ahead of ours makes an age of zero, not a negative one.
    age_h = max((now - held.issued_at) / HOUR, 0.0)
    checked_h = max((now - held.checked_at) / HOUR, 0.0)
    is_fresh = age_h <= limits.forecast_issued_h
    holds_now = held.hourly.row_at(now) is not None
    usable_today = is_fresh and checked_h <= limits.forecast_checked_today_h and holds_now
    why = Why.USED
    if not usable_today:
        why = Why.ISSUE_TOO_OLD if not is_fresh else Why.CHECK_TOO_OLD if holds_now else Why.TODAY_MISSING
    return Chosen(
        hourly=held.hourly,
        source=held.source,
        issued_at=held.issued_at,
        checked_at=held.checked_at,
        age_hours=age_h,
        checked_hours=checked_h,
        usable_today=usable_today,
        usable_beyond=is_fresh and checked_h <= limits.forecast_checked_beyond_h,
        why=why,
        forecast_id=held.forecast_id,
        attribution=held.hourly.attribution,
        failure=failure,
    )
