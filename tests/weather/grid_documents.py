"""Builds invented documents in the shape of the weather service, for tests and for the server beside this file."""

from __future__ import annotations

import itertools
import json
from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from typing import Any

import numpy as np

from weather.hourly import Hourly

HOUR = timedelta(hours=1)
Values = Sequence[tuple[str, Any]]  # (interval as written, value)

UNITS = {
    "temperature": "wmoUnit:degC",
    "dewpoint": "wmoUnit:degC",
    "relativeHumidity": "wmoUnit:percent",
    "apparentTemperature": "wmoUnit:degC",
    "windSpeed": "wmoUnit:km_h-1",
    "windGust": "wmoUnit:km_h-1",
    "windDirection": "wmoUnit:degree_(angle)",
    "probabilityOfPrecipitation": "wmoUnit:percent",
    "quantitativePrecipitation": "wmoUnit:mm",
    "snowfallAmount": "wmoUnit:mm",
    "iceAccumulation": "wmoUnit:mm",
    "skyCover": "wmoUnit:percent",
    "heatIndex": "wmoUnit:degC",
}
# Layer, column, factor from the table's unit; totals are written per six hours, everything else as merged runs.
_HOLDING = (
    ("temperature", "air_temp_c", 1.0),
    ("dewpoint", "dew_point_c", 1.0),
    ("relativeHumidity", "rel_humidity", 100.0),
    ("apparentTemperature", "apparent_temp_c", 1.0),
    ("windSpeed", "wind_ms", 3.6),
    ("windGust", "gust_ms", 3.6),
    ("windDirection", "wind_dir_deg", 1.0),
    ("probabilityOfPrecipitation", "pop", 100.0),
    ("probabilityOfThunder", "thunder_p", 100.0),
    ("skyCover", "sky_cover", 100.0),
)
_TOTALS = (("quantitativePrecipitation", "qpf_mm"), ("snowfallAmount", "snow_mm"), ("iceAccumulation", "ice_mm"))
TOTAL_HOURS = 6


def layer(name: str, values: Values, uom: str | None = None) -> dict[str, Any]:
    """One layer with its usual unit (none for the layers that are written without one), or the given one."""
    unit = UNITS.get(name) if uom is None else uom
    body: dict[str, Any] = {} if unit is None or not values else {"uom": unit}
    return body | {"values": [{"validTime": interval, "value": value} for interval, value in values]}


def grid(
    layers: Mapping[str, Any],
    issued_at: str = "2026-05-04T12:00:00+00:00",
    key: str = "ABC/10,20",
    corners: Sequence[Sequence[float]] | None = None,
) -> dict[str, Any]:
    """A grid document with these layers; `key` as OFFICE/x,y."""
    office, _, xy = key.partition("/")
    x, y = xy.split(",")
    document: dict[str, Any] = {
        "note": "Invented for tests; nothing here was ever forecast.",
        "type": "Feature",
        "geometry": {"type": "Polygon", "coordinates": [corners]} if corners else None,
        "properties": {
            "@type": "wx:Gridpoint",
            "updateTime": issued_at,
            "gridId": office,
            "gridX": int(x),
            "gridY": int(y),
        }
        | dict(layers),
    }
    return document


def from_hourly(
    hourly: Hourly, key: str = "ABC/10,20", corners: Sequence[Sequence[float]] | None = None
) -> dict[str, Any]:
    """The grid document that a table would have been read from: merged runs, and totals per six hours."""
    layers: dict[str, Any] = {
        name: layer(name, _runs(hourly, getattr(hourly, column) * factor)) for name, column, factor in _HOLDING
    }
    for name, column in _TOTALS:
        layers[name] = layer(name, _totals(hourly, getattr(hourly, column)))
    layers["weather"] = {"values": [{"validTime": when, "value": words} for when, words in _words(hourly)]}
    layers["hazards"] = {"values": []}
    return grid(layers, hourly.issued_at.isoformat(), key, corners)


def as_bytes(document: Mapping[str, Any]) -> bytes:
    """The document as it goes over the line."""
    return json.dumps(document).encode()


def interval(start: datetime, hours: int) -> str:
    """`start/duration` with days where it is a day or longer, as the service writes it."""
    days, rest = divmod(hours, 24)
    return f"{start.isoformat()}/P{f'{days}D' if days else ''}{f'T{rest}H' if rest else ''}"


def _runs(hourly: Hourly, values: np.ndarray) -> list[tuple[str, float]]:
    found, row = [], 0
    for value, group in itertools.groupby(np.round(values, 6).tolist()):
        hours = len(list(group))
        if not np.isnan(value):
            found.append((interval(hourly.time_of(row), hours), value))
        row += hours
    return found


def _totals(hourly: Hourly, values: np.ndarray) -> list[tuple[str, float]]:
    found = []
    for first in range(0, len(values), TOTAL_HOURS):
        part = values[first : first + TOTAL_HOURS]
        if not np.isnan(part).any():
            found.append((interval(hourly.time_of(first), len(part)), round(float(part.sum()), 6)))
    return found


def _words(hourly: Hourly) -> list[tuple[str, list[dict[str, Any]]]]:
    found, row = [], 0
    for words, group in itertools.groupby(hourly.wx):
        hours = len(list(group))
        items = [{"coverage": "likely", "weather": word, "intensity": "light", "attributes": []} for word in words]
        nothing = [{"coverage": None, "weather": None, "intensity": None, "attributes": []}]
        found.append((interval(hourly.time_of(row), hours), items or nothing))
        row += hours
    return found
