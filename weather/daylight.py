"""Sunrise, sunset and civil twilight of a place, day by day."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from astral import Observer
from astral import sun as astral_sun

HOUR = timedelta(hours=1)
# Degrees below the horizon at which civil twilight ends: enough light for outdoor work without lamps (U.S. Naval
# Observatory, definition of civil twilight).
CIVIL_DEPRESSION_DEG = 6.0


@dataclass(frozen=True)
class SunDay:
    """One local day's sunrise and sunset, and civil dawn and dusk (equal to them where not given), all UTC.

    Raises ValueError when a moment has no zone or the day runs backwards.
    """

    sunrise: datetime
    sunset: datetime
    dawn: datetime | None = None
    dusk: datetime | None = None

    def __post_init__(self) -> None:
        if self.dawn is None:
            object.__setattr__(self, "dawn", self.sunrise)
        if self.dusk is None:
            object.__setattr__(self, "dusk", self.sunset)
        if any(moment.utcoffset() is None for moment in (self.first_light, self.sunrise, self.sunset, self.last_light)):
            raise ValueError("Sunrise and sunset need a time zone.")
        if not self.first_light <= self.sunrise <= self.sunset <= self.last_light:
            raise ValueError("A day must run from dawn over sunrise and sunset to dusk.")

    @property
    def first_light(self) -> datetime:
        """Civil dawn, UTC."""
        return self.dawn if self.dawn is not None else self.sunrise

    @property
    def last_light(self) -> datetime:
        """Civil dusk, UTC."""
        return self.dusk if self.dusk is not None else self.sunset


def sun_days(lat: float, lon: float, first_day: date, n_days: int, zone: str | ZoneInfo) -> tuple[SunDay, ...]:
    """Sun times of consecutive local days.

    Parameters
    ----------
    lat, lon : float
        Place, north and east positive. [deg]
    first_day : date
        First local day.
    n_days : int
        How many days, at least one.
    zone : str or ZoneInfo
        The zone whose days are meant.

    Returns
    -------
    tuple of SunDay
        In UTC; within about half a minute of an almanac. Where the sun does not set the whole day is light; where it
        does not rise the day has no light.

    Raises
    ------
    ValueError
        The place is not on the globe, or n_days is below one.

    Source: the sunrise equations of astral 3.2 (after Meeus, Astronomical Algorithms).
    """
    if not (-90 <= lat <= 90 and -180 <= lon <= 180):
        raise ValueError(f"There is no place at {lat}, {lon}.")
    if n_days < 1:
        raise ValueError("At least one day must be asked for.")
    local = ZoneInfo(zone) if isinstance(zone, str) else zone
    observer = Observer(lat, lon)
    return tuple(_sun_day(observer, first_day + timedelta(days=n), local) for n in range(n_days))


def _sun_day(observer: Observer, day: date, zone: ZoneInfo) -> SunDay:
    rise, fall = _crossing(observer, day, zone, None)
    dawn, dusk = _crossing(observer, day, zone, CIVIL_DEPRESSION_DEG)
    # Near the polar circles one side of twilight can fall on the next day; the day must not run backwards.
    return SunDay(rise, fall, min(dawn, rise), max(dusk, fall))


def _crossing(observer: Observer, day: date, zone: ZoneInfo, depression: float | None) -> tuple[datetime, datetime]:
    """Rise and fall through the horizon, or through a depression below it, on one local day."""
    midnight = datetime.combine(day, time(), zone).astimezone(UTC)
    next_midnight = datetime.combine(day + timedelta(days=1), time(), zone).astimezone(UTC)
    try:
        if depression is None:
            rise = astral_sun.sunrise(observer, day, tzinfo=zone).astimezone(UTC)
            fall = astral_sun.sunset(observer, day, tzinfo=zone).astimezone(UTC)
        else:
            rise = astral_sun.dawn(observer, day, depression, zone).astimezone(UTC)
            fall = astral_sun.dusk(observer, day, depression, zone).astimezone(UTC)
    except ValueError:
        # astral says so when the sun does not cross that height on this day.
        noon = astral_sun.noon(observer, day, tzinfo=zone).astimezone(UTC)
        horizon_deg = -0.833 if depression is None else -depression
        if astral_sun.elevation(observer, noon) > horizon_deg:
            return midnight, next_midnight
        return noon, noon
    return (rise, fall) if rise <= fall else (midnight, next_midnight)


def dark_hours(start: datetime, n_hours: int, suns: Sequence[SunDay]) -> list[bool]:
    """Per hour from `start` on, whether any part of it lies outside civil daylight; without sun times it does."""
    dark = [True] * n_hours
    for day in suns:
        first = max(math.ceil((day.first_light - start) / HOUR), 0)
        last = min(int((day.last_light - start) // HOUR), n_hours)
        for hour in range(first, last):
            dark[hour] = False
    return dark
