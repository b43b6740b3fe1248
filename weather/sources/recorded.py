"""The invented weather of the demonstration, dated around today. It makes no outside call, ever.

The same place, pattern and local date always give the same table.
"""

import math
from collections.abc import Callable
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from weather.hourly import Hourly
from weather.reasons import MPH_PER_MS
from weather.sources.day_shapes import PATTERNS, SILENT_HOURS, DayShape, Steps

ATTRIBUTION = "invented weather for the demonstration"
N_DAYS = 7.5  # as far as a gridded forecast of the weather service reaches
HOURLY_POP_H = 48  # after two days the chance of rain speaks of six hours, as with a gridded forecast
ISSUE_EVERY_H = 6
COLDEST_HOUR, WARMEST_HOUR = 6, 15
# The nominal zones of the contiguous United States by longitude, for places whose zone nobody gave.
ZONES_BY_LON = ((-87.5, "America/New_York"), (-101.5, "America/Chicago"), (-114.5, "America/Denver"))
WESTERNMOST_ZONE = "America/Los_Angeles"


def zone_of(lon: float) -> str:
    """The nominal United States zone of a longitude [deg]; good enough for invented weather only."""
    return next((zone for east_of, zone in ZONES_BY_LON if lon > east_of), WESTERNMOST_ZONE)


def issued_at(pattern: str, now: datetime) -> datetime:
    """When the pattern's latest issue came out, UTC: the last whole six-hour mark, or hours ago where it went silent.

    Raises ValueError when there is no such pattern.
    """
    _refuse_unknown(pattern)
    if pattern in SILENT_HOURS:
        return now.astimezone(UTC).replace(minute=0, second=0, microsecond=0) - timedelta(hours=SILENT_HOURS[pattern])
    mark = now.astimezone(UTC).replace(minute=0, second=0, microsecond=0)
    return mark - timedelta(hours=mark.hour % ISSUE_EVERY_H)


def checked_at(pattern: str, now: datetime) -> datetime:
    """When the pattern last answered: now, or at its last issue where it went silent."""
    return issued_at(pattern, now) if pattern in SILENT_HOURS else now


def hourly(pattern: str, lat: float, lon: float, now: datetime, zone: str = "") -> Hourly:
    """The invented table of one place, from local midnight of today on for 180 hours.

    Parameters
    ----------
    pattern : str
        One of `PATTERNS`.
    lat, lon : float
        Place, north and east positive; it chooses the zone where none is given. [deg]
    now : datetime
        The present moment, aware.
    zone : str
        The local zone.

    Raises
    ------
    ValueError
        There is no such pattern or zone, or the place is not on the globe.
    """
    _refuse_unknown(pattern)
    if not (-90 <= lat <= 90 and -180 <= lon <= 180):
        raise ValueError(f"There is no place at {lat}, {lon}.")
    local = ZoneInfo(zone or zone_of(lon))
    today = now.astimezone(local).date()
    start = datetime.combine(today, time(), local).astimezone(UTC).replace(minute=0)
    clocks = [(start + timedelta(hours=h)).astimezone(local) for h in range(int(N_DAYS * 24))]
    days = PATTERNS[pattern]

    def shape_of(clock: datetime) -> DayShape:
        return days[(clock.date() - today).days % len(days)]

    def column(pick: Callable[[DayShape], Steps], scale: float = 1.0) -> NDArray[np.float64]:
        return np.array([_step(pick(shape_of(clock)), clock.hour) * scale for clock in clocks])

    air_f = np.array([_air_f(days, today, clock) for clock in clocks])
    dew_f = np.minimum(np.array([shape_of(clock).dew_point_f for clock in clocks]), air_f - 1.0)
    air_c, dew_c = (air_f - 32) / 1.8, (dew_f - 32) / 1.8
    pop, thunder_p = column(lambda day: day.pop), column(lambda day: day.thunder_p)
    n_hours = len(clocks)
    return Hourly(
        source="recorded",
        start=start,
        issued_at=issued_at(pattern, now),
        air_temp_c=air_c,
        dew_point_c=dew_c,
        rel_humidity=_humidity(air_c, dew_c),
        apparent_temp_c=air_c,
        wind_ms=column(lambda day: day.wind_mph, 1 / MPH_PER_MS),
        gust_ms=column(lambda day: day.gust_mph, 1 / MPH_PER_MS),
        wind_dir_deg=np.full(n_hours, 270.0),
        pop=pop,
        pop_period_h=np.where(np.arange(n_hours) < HOURLY_POP_H, 1.0, 6.0),
        qpf_mm=column(lambda day: day.qpf_mm),
        thunder_p=thunder_p,
        snow_mm=np.zeros(n_hours),
        ice_mm=np.zeros(n_hours),
        sky_cover=column(lambda day: day.sky_cover),
        wx=tuple(_words(shape_of(clock), pop[h], thunder_p[h]) for h, clock in enumerate(clocks)),
        flags=(frozenset({"invented"}),) * n_hours,
        attribution=ATTRIBUTION,
    )


def _refuse_unknown(pattern: str) -> None:
    if pattern not in PATTERNS:
        raise ValueError(f"There is no invented weather called '{pattern}'.")


def _step(steps: Steps, hour: int) -> float:
    return steps[max(start for start in steps if start <= hour)]


def _air_f(days: tuple[DayShape, ...], today: date, clock: datetime) -> float:
    """Half cosines between each day's low and high; before the first low and after the last high the day repeats."""
    index = (clock.date() - today).days
    day, before, after = days[index % len(days)], days[max(index - 1, 0) % len(days)], days[(index + 1) % len(days)]
    if clock.hour < COLDEST_HOUR:
        return _between(before.high_f, day.low_f, (clock.hour + 24 - WARMEST_HOUR) / (24 - WARMEST_HOUR + COLDEST_HOUR))
    if clock.hour < WARMEST_HOUR:
        return _between(day.low_f, day.high_f, (clock.hour - COLDEST_HOUR) / (WARMEST_HOUR - COLDEST_HOUR))
    return _between(day.high_f, after.low_f, (clock.hour - WARMEST_HOUR) / (24 - WARMEST_HOUR + COLDEST_HOUR))


def _between(first: float, last: float, share: float) -> float:
    return first + (last - first) * (1 - math.cos(math.pi * share)) / 2


def _humidity(air_c: NDArray[np.float64], dew_c: NDArray[np.float64]) -> NDArray[np.float64]:
    """Relative humidity, 0 to 1, from air and dew point (Magnus form, Alduchov and Eskridge 1996)."""

    def vapor(celsius: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.asarray(np.exp(17.625 * celsius / (243.04 + celsius)))

    return np.asarray(vapor(dew_c) / vapor(air_c))


def _words(day: DayShape, pop: float, thunder_p: float) -> frozenset[str]:
    rains = pop >= 0.15
    storms = day.word == "thunderstorms" and thunder_p >= 0.10
    return frozenset({day.word} if rains and (storms or day.word == "rain") else set())
