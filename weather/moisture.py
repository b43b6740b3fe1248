"""How long a roof stays wet: drying after rain and snow, dew and frost of clear nights."""

import math
from collections.abc import Sequence
from datetime import datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from weather.daylight import SunDay
from weather.hourly import Hourly
from weather.limits import Limits
from weather.reasons import MM_PER_IN, MPH_PER_MS, Code, Reason, to_f

HOUR = timedelta(hours=1)
FREEZING_F = 32.0
CLOUDY_AFTER_SUNRISE = timedelta(hours=3)  # the stretch whose mean cloud cover decides how fast the sun clears dew
LONGEST_NIGHT = timedelta(hours=12)  # stands in for the evening before the first known day

Rows = list[Reason | None]
Flags = NDArray[np.bool_]


def wet_after_rain(hourly: Hourly, limits: Limits, rainy: Flags, dark: Flags) -> Rows:
    """Per row the reason that the roof is not yet dry after a flagged rain hour, or None.

    Drying takes `drying_light_minutes`, or `drying_heavy_minutes` where the spell brought `drying_heavy_in` or an
    unknown amount; an hour of darkness dries only by `drying_night_share`.
    """
    rows: Rows = [None] * hourly.n_hours
    needed = dried = spell_mm = 0.0
    for row, qpf_mm in enumerate(hourly.qpf_mm.tolist()):
        if rainy[row]:
            spell_mm += qpf_mm  # NaN stays: an unknown amount counts as much
            is_light = spell_mm < limits.drying_heavy_in * MM_PER_IN
            needed, dried = (limits.drying_light_minutes if is_light else limits.drying_heavy_minutes), 0.0
        elif dried < needed:
            rows[row] = Reason(Code.WET, dried, needed, "min")
            dried += 60.0 * (limits.drying_night_share if dark[row] else 1.0)
        else:
            spell_mm = 0.0
    return rows


def snow_rows(hourly: Hourly, limits: Limits, dark: Flags) -> Rows:
    """Per row the reason that snow or ice falls or lies, or None.

    Falling snow counts when its spell brings `snow_in` in all, ice at `ice_in`. It lies until `drying_heavy_minutes` of
    air above freezing have passed, darkness counting by `drying_night_share`.
    """
    falling = _spells(hourly.snow_mm / MM_PER_IN, limits.snow_in, "")
    ice = _spells(hourly.ice_mm / MM_PER_IN, limits.ice_in, "ice")
    rows: Rows = [first or second for first, second in zip(ice, falling, strict=True)]
    lying: Reason | None = None
    melted = 0.0
    for row, air_c in enumerate(hourly.air_temp_c.tolist()):
        if rows[row] is not None:
            lying, melted = rows[row], 0.0
        elif lying is not None:
            rows[row] = lying
            if to_f(air_c) > FREEZING_F:
                melted += 60.0 * (limits.drying_night_share if dark[row] else 1.0)
            if melted >= limits.drying_heavy_minutes:
                lying = None
    return rows


def _spells(inches: NDArray[np.float64], limit_in: float, note: str) -> Rows:
    """Mark every row of each unbroken run of fall whose sum reaches the limit."""
    rows: Rows = [None] * len(inches)
    first = 0
    falls = [depth > 0 for depth in inches.tolist()] + [False]
    for row, falls_now in enumerate(falls):
        if falls_now:
            continue
        total_in = float(inches[first:row].sum())
        if row > first and total_in >= limit_in - 1e-6:
            rows[first:row] = [Reason(Code.SNOW, total_in, limit_in, "in", note)] * (row - first)
        first = row + 1
    return rows


def dew_and_frost(hourly: Hourly, limits: Limits, suns: Sequence[SunDay]) -> Rows:
    """Per row the reason that dew or frost is likely on a deck, or None; a heuristic that a look on site replaces.

    A night has dew where the air is within `dew_spread_f` of the dew point with little wind and cloud, and frost where
    the roof, `frost_cooling_f` below the air, also freezes. What is not known counts as met. It lies from the first
    such hour until `frost_clear_hours` after sunrise (`frost_clear_overcast_hours` under cloud), frost not before the
    air is above freezing.

    Source: common practice, no source.
    """
    rows: Rows = [None] * hourly.n_hours
    air_f = hourly.air_temp_c * 1.8 + 32.0
    moist = _met(air_f - (hourly.dew_point_c * 1.8 + 32.0) - limits.dew_spread_f)
    calm = _met(hourly.wind_ms * MPH_PER_MS - limits.dew_wind_mph)
    clear = _met(hourly.sky_cover - limits.dew_sky_cover)
    dew = moist & calm & clear & np.isfinite(air_f)
    freezing = dew & (air_f - limits.frost_cooling_f <= FREEZING_F + 0.05)
    for day, sun in enumerate(suns):
        evening = suns[day - 1].sunset if day else sun.sunrise - LONGEST_NIGHT
        first, last = _row_from(hourly, evening), _row_from(hourly, sun.sunrise)
        night = [row for row in range(first, last) if dew[row]]
        if not night:
            continue
        frosty = [row for row in night if freezing[row]]
        clears = _clears_at(hourly, limits, sun, air_f, bool(frosty))
        coldest_f = float(np.min(air_f[night]))
        spread_f = _least(air_f[night] - (hourly.dew_point_c[night] * 1.8 + 32.0))
        for row in range(night[0], _row_from(hourly, clears)):
            if frosty and row >= frosty[0]:
                rows[row] = Reason(Code.FROST, coldest_f - limits.frost_cooling_f, FREEZING_F, "°F", until=clears)
            else:
                rows[row] = Reason(Code.DEW, spread_f, limits.dew_spread_f, "°F", until=clears)
    return rows


def _met(above: NDArray[np.float64]) -> Flags:
    """Whether a value is at or below its threshold (to 0.05), or not known."""
    return np.asarray(~(above > 0.05), dtype=bool)


def _least(values: NDArray[np.float64]) -> float | None:
    known = values[np.isfinite(values)]
    return float(known.min()) if len(known) else None


def _row_from(hourly: Hourly, moment: datetime) -> int:
    """First row that starts at or after a moment, within the table."""
    return min(max(math.ceil((moment - hourly.start) / HOUR), 0), hourly.n_hours)


def _clears_at(hourly: Hourly, limits: Limits, sun: SunDay, air_f: NDArray[np.float64], frost: bool) -> datetime:
    first, last = _row_from(hourly, sun.sunrise), _row_from(hourly, sun.sunrise + CLOUDY_AFTER_SUNRISE)
    is_sunny = last > first and float(hourly.sky_cover[first:last].mean()) <= limits.dew_sky_cover
    hours = limits.frost_clear_hours if is_sunny else limits.frost_clear_overcast_hours
    clears = sun.sunrise + timedelta(hours=hours)
    row = _row_from(hourly, clears)
    while frost and row < hourly.n_hours and not air_f[row] > FREEZING_F and hourly.time_of(row) < sun.sunset:
        row += 1
        clears = hourly.time_of(row)
    return clears
