"""What no forecast can mean: wild values become unknown and are flagged, never clamped in silence."""

from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from weather.hourly import COLUMNS, Hourly

# Lowest and highest value that is believed, per column of the hourly table, in its units.
BOUNDS: Mapping[str, tuple[float, float]] = {
    "air_temp_c": (-60.0, 60.0),
    "dew_point_c": (-80.0, 45.0),
    "rel_humidity": (0.0, 1.02),
    "apparent_temp_c": (-90.0, 80.0),
    "wind_ms": (0.0, 80.0),
    "gust_ms": (0.0, 110.0),
    "wind_dir_deg": (0.0, 360.0),
    "pop": (0.0, 1.0),
    "qpf_mm": (0.0, 150.0),
    "thunder_p": (0.0, 1.0),
    "snow_mm": (0.0, 300.0),
    "ice_mm": (0.0, 50.0),
    "sky_cover": (0.0, 1.02),
}
# Spreading a total over its hours may leave a hair of rounding.
HAIR = 1e-9

Columns = dict[str, NDArray[np.float64]]
Flags = list[set[str]]


def flag(flags: Flags, rows: NDArray[np.bool_], word: str) -> None:
    """Add a word to the flags of every row that is marked."""
    for row in np.flatnonzero(rows):
        flags[row].add(word)


def named(columns: Columns) -> dict[str, Any]:
    """The columns as keyword arguments of `Hourly`, all of them and no other."""
    return {name: columns[name] for name in COLUMNS}


def settle(columns: Columns, flags: Flags) -> None:
    """Set wild values to unknown, lift gusts to the wind where they lie below it, and flag what contradicts itself."""
    for name, (lowest, highest) in BOUNDS.items():
        values = columns[name]
        wild = (values < lowest - HAIR) | (values > highest + HAIR)
        flag(flags, wild, f"out_of_range:{name}")
        columns[name] = np.where(wild, np.nan, values)
    wind, gust = columns["wind_ms"], columns["gust_ms"]
    low = gust < wind - HAIR
    flag(flags, low, "gust_below_wind")
    columns["gust_ms"] = np.where(low, wind, gust)
    flag(flags, (columns["qpf_mm"] > 0) & (columns["pop"] == 0), "rain_without_chance")


# What a forecast must say for at least one hour before it may replace the last good one, in words for people.
ESSENTIAL: Mapping[str, str] = {
    "air_temp_c": "air temperature",
    "wind_ms": "wind",
    "gust_ms": "gusts",
    "pop": "chance of rain",
}


def lacking(hourly: Hourly) -> tuple[str, ...]:
    """Names of the essential columns of which a table knows not a single hour."""
    return tuple(word for name, word in ESSENTIAL.items() if not np.isfinite(getattr(hourly, name)).any())
