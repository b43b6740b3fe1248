"""The data of one sky-over-roof strip: hours of sky above, bands of permission, roof areas below.

Everything is in the units of the screen (mph, degrees Fahrenheit, inches) except moments, which are UTC; `zone` names
the zone in which clock times are shown. None is unknown and never zero.
"""

from dataclasses import dataclass
from datetime import date, datetime

RAIN_MM_PER_IN = 25.4
MPH_PER_MS = 2.236936


@dataclass(frozen=True)
class SkyHour:
    """One hour of sky over a roof; it holds on [start, start + 1 h)."""

    start: datetime
    rain_chance: float | None = None  # 0 to 1, as the source said it
    rain_period_h: float | None = None  # length of the block that the chance speaks of [h]
    rain_in: float | None = None  # [in]
    snow_in: float | None = None  # [in]
    wind_mph: float | None = None
    gust_mph: float | None = None
    temp_f: float | None = None
    dew_point_f: float | None = None
    humidity: float | None = None  # 0 to 1
    heat_index_f: float | None = None
    thunder_chance: float | None = None  # 0 to 1; None: this office does not forecast it
    thunder: bool = False  # flagged
    wet: bool = False  # flagged for rain
    roof_wet: bool = False  # rain, dew or frost still lies on it
    frost: bool = False
    heat: bool = False  # a caution, never a stop
    dark: bool = False
    known: bool = True
    tear_off_allowed: bool = False
    reasons: tuple[str, ...] = ()  # codes of what stops a tear-off in this hour


@dataclass(frozen=True)
class Band:
    """One span of the verdict band: what may be done then, and the code of what decides it."""

    start: datetime
    end: datetime
    kind: str  # tear_off, no_tear_off, stay_off, unknown
    code: str = ""  # rain, wet, thunder, gust, frost, dark, ... ; empty: nothing stops it


@dataclass(frozen=True)
class AreaPoint:
    """The roof at one break point [squares]; straight lines between. recorded: reported, else planned."""

    at: datetime
    old: float
    bare: float
    tarped: float
    dried_in: float
    shingled: float
    open_ridge_ft: float = 0.0
    recorded: bool = False


@dataclass(frozen=True)
class Strip:
    """All that one strip draws.

    no_forecast: code of why there is no usable sky (no_point, source_off, none, too_old, ...), empty when there
    is one; nothing of the sky may be drawn then. dry_in_was: the limit before the change that nobody accepted yet.
    """

    day: date
    zone: str
    start: datetime
    end: datetime
    now: datetime | None  # None: the strip shows another day
    sunrise: datetime
    sunset: datetime
    hours: tuple[SkyHour, ...]
    bands: tuple[Band, ...]
    areas: tuple[AreaPoint, ...]
    squares: float
    dry_in_by: datetime | None = None
    dry_in_was: datetime | None = None
    gust_limit_mph: float | None = None
    rain_limit: float | None = None
    no_forecast: str = ""
    no_forecast_hours: float | None = None  # age of the last one [h]
    no_forecast_limit_hours: float | None = None
    ridge_span: tuple[datetime, datetime, float] | None = None  # from, until, feet of open slot

    def __post_init__(self) -> None:
        if self.end <= self.start:
            raise ValueError("A strip must end after it starts.")
