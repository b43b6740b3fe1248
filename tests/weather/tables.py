"""Small invented tables: a mild, dry, calm day that each test spoils in one place."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, date, datetime
from typing import Any

import numpy as np

from weather.daylight import SunDay, sun_days
from weather.hourly import COLUMNS, Hourly

START = datetime(2026, 5, 4, 5, tzinfo=UTC)  # local midnight in the Central zone
MS_PER_MPH = 0.44704
MILD: Mapping[str, float] = {
    "air_temp_c": 18.0,
    "dew_point_c": 5.0,
    "rel_humidity": 0.42,
    "apparent_temp_c": 18.0,
    "wind_ms": 8 * MS_PER_MPH,
    "gust_ms": 12 * MS_PER_MPH,
    "wind_dir_deg": 270.0,
    "pop": 0.0,
    "pop_period_h": 1.0,
    "qpf_mm": 0.0,
    "thunder_p": 0.0,
    "snow_mm": 0.0,
    "ice_mm": 0.0,
    "sky_cover": 0.3,
}


def mild(n_hours: int = 48, start: datetime = START, **spoilt: Any) -> Hourly:
    """A mild table; `column={hour: value}` spoils single hours, `column=value` all of them; `wx={hour: "words"}`."""
    columns = {name: np.full(n_hours, MILD[name]) for name in COLUMNS}
    wx: list[frozenset[str]] = [frozenset()] * n_hours
    for name, values in spoilt.items():
        if name == "wx":
            for hour, word in values.items():
                wx[hour] = frozenset({word})
        elif isinstance(values, Mapping):
            for hour, value in values.items():
                columns[name][hour] = value
        else:
            columns[name][:] = values
    return Hourly(source="test", start=start, issued_at=start, wx=tuple(wx), **columns)


def suns(n_days: int = 4) -> tuple[SunDay, ...]:
    """Sun times of St Paul, Minnesota from May 4, 2026 on: light from 5:18 am to 8:55 pm, sunrise 5:51 am."""
    return sun_days(44.95, -93.09, date(2026, 5, 4), n_days, "America/Chicago")


def mph(value: float) -> float:
    """Miles per hour as m/s."""
    return value * MS_PER_MPH


def celsius(fahrenheit: float) -> float:
    """Degrees Fahrenheit as degrees Celsius."""
    return (fahrenheit - 32) / 1.8
