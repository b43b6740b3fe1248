"""What stands in the way in each hour of a forecast, before asking which work it stops."""

from collections.abc import Sequence
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from weather.comfort import NWS_BANDS, OSHA_BANDS, band_of, heat_index_f, wind_chill_f
from weather.daylight import SunDay, dark_hours
from weather.hourly import Hourly
from weather.limits import Limits
from weather.moisture import dew_and_frost, snow_rows, wet_after_rain
from weather.reasons import MPH_PER_MS, Code, Reason

# Grid winds are whole knots or mph turned into km/h, so a value can sit on its limit and miss it by rounding.
STEP = 0.05
CHANCE_STEP = 0.0005
# Without these nobody can say what an hour allows. A missing chance of thunder is no gap: many offices give none.
NEEDED = ("air_temp_c", "wind_ms", "gust_ms", "pop")
THUNDER_WORD = "thunderstorms"


class Hazard(StrEnum):
    """One kind of obstacle; several may carry the same reason code with different limits."""

    UNKNOWN = "unknown"
    DARK = "dark"
    THUNDER = "thunder"
    RAIN = "rain"
    RAIN_UNKNOWN = "rain_unknown"
    WET = "wet"
    SNOW = "snow"
    FROST = "frost"
    DEW = "dew"
    CLOSING_WIND = "closing_wind"
    CLOSING_GUST = "closing_gust"
    RIDGE_GUST = "ridge_gust"
    OFF_ROOF_WIND = "off_roof_wind"
    OFF_ROOF_GUST = "off_roof_gust"
    SHINGLE_COLD = "shingle_cold"
    MEMBRANE_COLD = "membrane_cold"
    HEAT = "heat"
    WIND_CHILL = "wind_chill"


Found = dict[Hazard, Reason]


def hazards(hourly: Hourly, limits: Limits, suns: Sequence[SunDay]) -> list[Found]:
    """Per row of the table, every hazard with its number against its limit; darkness is not among them."""
    found: list[Found] = [{} for _ in range(hourly.n_hours)]
    _add_unknown(found, hourly)
    _add_wind(found, hourly, limits)
    _add_thunder(found, hourly, limits)
    _add_cold_and_heat(found, hourly, limits)
    _add_moisture(found, hourly, limits, suns)
    return found


def _add_unknown(found: list[Found], hourly: Hourly) -> None:
    known = {name: np.isfinite(getattr(hourly, name)) for name in NEEDED}
    for row in np.flatnonzero(~np.logical_and.reduce(list(known.values()))):
        missing = ", ".join(name for name in NEEDED if not known[name][row])
        found[row][Hazard.UNKNOWN] = Reason(Code.UNKNOWN, note=missing)


def _add_wind(found: list[Found], hourly: Hourly, limits: Limits) -> None:
    wind_mph, gust_mph = hourly.wind_ms * MPH_PER_MS, hourly.gust_ms * MPH_PER_MS
    for hazard, code, values, limit in (
        (Hazard.CLOSING_WIND, Code.WIND, wind_mph, limits.closing_wind_mph),
        (Hazard.CLOSING_GUST, Code.GUST, gust_mph, limits.closing_gust_mph),
        (Hazard.RIDGE_GUST, Code.GUST, gust_mph, limits.open_ridge_gust_mph),
        (Hazard.OFF_ROOF_WIND, Code.WIND, wind_mph, limits.off_roof_wind_mph),
        (Hazard.OFF_ROOF_GUST, Code.GUST, gust_mph, limits.off_roof_gust_mph),
    ):
        _mark(found, hazard, code, values, values >= limit - STEP, limit, "mph")


def _add_thunder(found: list[Found], hourly: Hourly, limits: Limits) -> None:
    wait_rows = int(-(-limits.thunder_wait_minutes // 60))  # part of an hour counts as the hour
    for row in range(hourly.n_hours):
        reason = _thunder_reason(hourly, row, limits)
        if reason is None:
            continue
        found[row][Hazard.THUNDER] = reason
        after = Reason(Code.THUNDER, reason.value, reason.limit, reason.unit, "after_thunder")
        for later in range(row + 1, min(row + 1 + wait_rows, hourly.n_hours)):
            found[later].setdefault(Hazard.THUNDER, after)


def _thunder_reason(hourly: Hourly, row: int, limits: Limits) -> Reason | None:
    chance = float(hourly.thunder_p[row])
    if chance >= limits.thunder_chance - CHANCE_STEP:
        return Reason(Code.THUNDER, chance, limits.thunder_chance, "chance")
    if not np.isnan(chance) or THUNDER_WORD not in hourly.wx[row]:
        return None
    pop = float(hourly.pop[row])
    if np.isnan(pop):
        return Reason(Code.THUNDER, None, limits.thunder_word_pop, "chance", "word")
    if pop >= limits.thunder_word_pop - CHANCE_STEP:
        return Reason(Code.THUNDER, pop, limits.thunder_word_pop, "chance", "word")
    return None


def _add_cold_and_heat(found: list[Found], hourly: Hourly, limits: Limits) -> None:
    air_f = hourly.air_temp_c * 1.8 + 32.0
    for hazard, limit, note in (
        (Hazard.SHINGLE_COLD, limits.shingle_min_f, "shingles"),
        (Hazard.MEMBRANE_COLD, limits.membrane_min_f, "membrane"),
    ):
        _mark(found, hazard, Code.COLD, air_f, air_f < limit - STEP, limit, "°F", note)
    chill_f = wind_chill_f(air_f, hourly.wind_ms * MPH_PER_MS)
    limit_f = limits.wind_chill_caution_f
    _mark(found, Hazard.WIND_CHILL, Code.COLD, chill_f, chill_f <= limit_f, limit_f, "°F", "wind_chill")
    heat_f = heat_index_f(air_f, hourly.rel_humidity)
    for row in np.flatnonzero(heat_f >= limits.heat_caution_f):
        found[row][Hazard.HEAT] = _heat_reason(float(heat_f[row]), limits)


def _heat_reason(heat_f: float, limits: Limits) -> Reason:
    """The heat index against the band it has reached, named by both scales."""
    bands = [band for band in (band_of(heat_f, OSHA_BANDS), band_of(heat_f, NWS_BANDS)) if band is not None]
    reached = max((band.from_f for band in bands), default=limits.heat_caution_f)
    return Reason(Code.HEAT, heat_f, reached, "°F", ", ".join(f"{band.scale} {band.name}" for band in bands))


def _add_moisture(found: list[Found], hourly: Hourly, limits: Limits, suns: Sequence[SunDay]) -> None:
    unknown, limit = np.isnan(hourly.pop), limits.wet_hour_chance
    flagged = hourly.pop >= limit - CHANCE_STEP
    _mark(found, Hazard.RAIN, Code.RAIN, hourly.pop, flagged, limit, "chance")
    _mark(found, Hazard.RAIN_UNKNOWN, Code.RAIN, hourly.pop, unknown, limit, "chance")
    rainy = flagged | unknown
    dark = np.array(dark_hours(hourly.start, hourly.n_hours, suns), dtype=bool)
    for hazard, rows in (
        (Hazard.WET, wet_after_rain(hourly, limits, rainy, dark)),
        (Hazard.SNOW, snow_rows(hourly, limits, dark)),
    ):
        for row, reason in enumerate(rows):
            if reason is not None:
                found[row][hazard] = reason
    for row, reason in enumerate(dew_and_frost(hourly, limits, suns)):
        if reason is not None:
            found[row][Hazard.FROST if reason.code is Code.FROST else Hazard.DEW] = reason


def _mark(
    found: list[Found],
    hazard: Hazard,
    code: Code,
    values: NDArray[np.float64],
    met: NDArray[np.bool_],
    limit: float,
    unit: str,
    note: str = "",
) -> None:
    for row in np.flatnonzero(met):
        value = float(values[row])
        found[row][hazard] = Reason(code, None if np.isnan(value) else value, limit, unit, note)
