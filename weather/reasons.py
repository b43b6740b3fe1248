"""Why an hour is not allowed: a code, the forecast's number and the limit it meets."""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

MPH_PER_MS = 2.2369362920544  # 1 mile = 1609.344 m exactly
MM_PER_IN = 25.4


class Code(StrEnum):
    """What a reason is about."""

    RAIN = "rain"
    WET = "wet"
    THUNDER = "thunder"
    GUST = "gust"
    WIND = "wind"
    COLD = "cold"
    FROST = "frost"
    DEW = "dew"
    DARK = "dark"
    SNOW = "snow"
    HEAT = "heat"
    UNKNOWN = "unknown"
    ALERT = "alert"


@dataclass(frozen=True)
class Reason:
    """One reason with its number against its limit, both in `unit`; None is unknown or not a number.

    Units: "chance" (0 to 1), "mph", "°F", "min", "in". `note` is a token, not a sentence: "after_thunder" (the wait
    after the last thunder), "word" (a thunderstorm in the forecast's words), "membrane", "shingles", "wind_chill",
    "ice", "no_forecast", names of heat bands ("OSHA/NIOSH moderate, NWS caution"), or the columns that are missing.
    `until`: when it ends by itself, where known.
    """

    code: Code
    value: float | None = None
    limit: float | None = None
    unit: str = ""
    note: str = ""
    until: datetime | None = None


def to_f(celsius: float) -> float:
    """Degrees Fahrenheit of degrees Celsius."""
    return celsius * 1.8 + 32.0
