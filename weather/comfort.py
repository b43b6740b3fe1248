"""Heat index, wind chill and dew point.

The heat bands are cautions for people at work in the shade (full sun adds up to 15 °F); the site's competent person and
local rules decide.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Values = NDArray[np.float64]

# Simple index, averaged with the temperature, that holds below HEAT_SIMPLE_BELOW_F.
HEAT_SIMPLE_BELOW_F = 80.0
# Rothfusz regression 1990 (NWS Southern Region SR 90-23), as on the NWS WPC page 'The heat index equation':
# coefficients of 1, T, R, TR, T2, R2, T2R, TR2, T2R2 with T [degF] and R [%].
ROTHFUSZ = (-42.379, 2.04901523, 10.14333127, -0.22475541, -6.83783e-3, -5.481717e-2, 1.22874e-3, 8.5282e-4, -1.99e-6)

# NWS wind chill 2001: constants of 1, T, V^0.16, TV^0.16 with T [degF] and V [mph] at 33 ft.
WIND_CHILL_2001 = (35.74, 0.6215, -35.75, 0.4275)
WIND_CHILL_MAX_F, WIND_CHILL_ABOVE_MPH = 50.0, 3.0

# Magnus constants of Alduchov and Eskridge 1996, J. Appl. Meteor. 35, over water, T [degC].
MAGNUS_B, MAGNUS_C = 17.625, 243.04


@dataclass(frozen=True)
class HeatBand:
    """One band of a named heat scale: the lowest heat index that belongs to it [degF]."""

    scale: str
    name: str
    from_f: float


# NWS: heat index bands. OSHA: employer guide 'Using the Heat Index'. Two scales; they are never mixed.
NWS_BANDS = (
    HeatBand("NWS", "caution", 80.0),
    HeatBand("NWS", "extreme caution", 90.0),
    HeatBand("NWS", "danger", 103.0),
    HeatBand("NWS", "extreme danger", 125.0),
)
OSHA_BANDS = (
    HeatBand("OSHA/NIOSH", "lower", 80.0),
    HeatBand("OSHA/NIOSH", "moderate", 91.0),
    HeatBand("OSHA/NIOSH", "high", 103.0),
    HeatBand("OSHA/NIOSH", "very high", 115.0),
)


def band_of(heat_index_f: float, bands: tuple[HeatBand, ...]) -> HeatBand | None:
    """The band of a scale that a heat index [degF] falls into, or None below the lowest (or unknown)."""
    reached = [band for band in bands if heat_index_f >= band.from_f]
    return reached[-1] if reached else None


def heat_index_f(air_f: Values | float, rel_humidity: Values | float, *, adjusted: bool = True) -> Values:
    """Heat index in the shade.

    Parameters
    ----------
    air_f : float or array
        Air temperature. [degF]
    rel_humidity : float or array
        Relative humidity, 0 to 1.
    adjusted : bool
        Apply the two adjustments (below 13 % and above 85 %); the printed table is without them.

    Returns
    -------
    array
        Heat index [degF]; NaN where an input is NaN.

    Source: NWS Weather Prediction Center, 'The heat index equation' (Rothfusz 1990, simple form after Steadman).
    """
    t, r = np.broadcast_arrays(np.asarray(air_f, dtype=float), np.asarray(rel_humidity, dtype=float) * 100.0)
    simple = 0.5 * (t + 61.0 + (t - 68.0) * 1.2 + r * 0.094)
    c = ROTHFUSZ
    full = c[0] + c[1] * t + c[2] * r + c[3] * t * r + c[4] * t**2 + c[5] * r**2
    full = full + c[6] * t**2 * r + c[7] * t * r**2 + c[8] * t**2 * r**2
    if adjusted:
        full = full + _dry_adjustment(t, r) + _moist_adjustment(t, r)
    return np.asarray(np.where(simple < HEAT_SIMPLE_BELOW_F, simple, full), dtype=float)


def _dry_adjustment(t: Values, r: Values) -> Values:
    applies = (r < 13.0) & (t >= 80.0) & (t <= 112.0)
    root = np.sqrt(np.clip((17.0 - np.abs(t - 95.0)) / 17.0, 0.0, None))
    return np.where(applies, -((13.0 - r) / 4.0) * root, 0.0)


def _moist_adjustment(t: Values, r: Values) -> Values:
    applies = (r > 85.0) & (t >= 80.0) & (t <= 87.0)
    return np.where(applies, ((r - 85.0) / 10.0) * ((87.0 - t) / 5.0), 0.0)


def wind_chill_f(air_f: Values | float, wind_mph: Values | float) -> Values:
    """Wind chill.

    Parameters
    ----------
    air_f : float or array
        Air temperature. [degF]
    wind_mph : float or array
        Sustained wind at 33 ft. [mph]

    Returns
    -------
    array
        Wind chill [degF]; NaN outside the range of the formula (air above 50 °F, or wind of 3 mph and less).

    Source: NWS wind chill chart 2001.
    """
    t, v = np.broadcast_arrays(np.asarray(air_f, dtype=float), np.asarray(wind_mph, dtype=float))
    applies = (t <= WIND_CHILL_MAX_F) & (v > WIND_CHILL_ABOVE_MPH)
    power = np.power(np.where(applies, v, 1.0), 0.16)
    a, b, c, d = WIND_CHILL_2001
    return np.where(applies, a + b * t + c * power + d * t * power, math.nan)


def dew_point_c(air_c: Values | float, rel_humidity: Values | float) -> Values:
    """Dew point over water.

    Parameters
    ----------
    air_c : float or array
        Air temperature. [degC]
    rel_humidity : float or array
        Relative humidity, 0 to 1.

    Returns
    -------
    array
        Dew point [degC]; NaN where an input is NaN or the humidity is not above zero.

    Source: Magnus form with the constants of Alduchov and Eskridge 1996.
    """
    t, r = np.broadcast_arrays(np.asarray(air_c, dtype=float), np.asarray(rel_humidity, dtype=float))
    gamma = np.log(np.where(r > 0, r, math.nan)) + MAGNUS_B * t / (MAGNUS_C + t)
    return np.asarray(MAGNUS_C * gamma / (MAGNUS_B - gamma), dtype=float)
