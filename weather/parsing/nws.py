"""The raw grid document of the National Weather Service -> hourly table.

A value at `start/duration` holds on [start, start + duration); rain, snow and ice are totals of their stretch. Layers
are joined by time. A layer that is missing, empty or ends early leaves its hours unknown, never zero.
"""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np

from weather.hourly import Hourly
from weather.parsing.document import UnreadableForecast, load_object, number
from weather.parsing.intervals import read_interval, read_moment
from weather.parsing.painting import HOUR, Entry, Painted, Reduce, paint
from weather.parsing.soundness import Columns, Flags, flag, named, settle
from weather.parsing.uom import conversion

ATTRIBUTION = "National Weather Service"
LONGEST_TABLE_H = 16 * 24
# A chance of rain speaks of its own block. Equal blocks come merged, so the true length is capped: NWS offices issue
# blocks of up to 6 h in the first three days and up to 12 h after (judgement from recorded documents).
NEAR_LEAD_H, NEAR_PERIOD_H, FAR_PERIOD_H = 72, 6.0, 12.0


@dataclass(frozen=True)
class Layer:
    """One layer of the document and the column it becomes."""

    name: str
    column: str
    quantity: str
    reduce: Reduce
    default_unit: str = ""  # for a layer that is written without a unit by design


LAYERS = (
    Layer("temperature", "air_temp_c", "temperature", "mean"),
    Layer("dewpoint", "dew_point_c", "temperature", "mean"),
    Layer("relativeHumidity", "rel_humidity", "share", "mean"),
    Layer("apparentTemperature", "apparent_temp_c", "temperature", "mean"),
    Layer("windSpeed", "wind_ms", "speed", "max"),
    Layer("windGust", "gust_ms", "speed", "max"),
    Layer("windDirection", "wind_dir_deg", "angle", "first"),
    Layer("probabilityOfPrecipitation", "pop", "share", "max"),
    Layer("quantitativePrecipitation", "qpf_mm", "depth", "sum"),
    Layer("probabilityOfThunder", "thunder_p", "share", "max", "percent"),
    Layer("snowfallAmount", "snow_mm", "depth", "sum"),
    Layer("iceAccumulation", "ice_mm", "depth", "sum"),
    Layer("skyCover", "sky_cover", "share", "mean"),
)


def read(document: bytes | str, now: datetime | None = None, *, keep_past_h: int = 0) -> Hourly:
    """The hourly table of a grid document.

    Parameters
    ----------
    document : bytes or str
        The answer of `/gridpoints/{office}/{x},{y}`, as GeoJSON or JSON-LD.
    now : datetime, optional
        The present moment; the table starts with the hour that holds it. The time of issue where not given.
    keep_past_h : int
        Hours before `now` that are kept where the document still has them (what rained this morning is still wet). [h]

    Returns
    -------
    Hourly
        Flags per hour: `gap:`, `overlap:`, `missing:`, `ends_early:`, `null:`, `out_of_range:` with the column, and
        `gust_below_wind`, `rain_without_chance`.

    Raises
    ------
    UnreadableForecast
        The document is empty, cut off, a web page, an error answer, without a time of issue, has a layer with an
        unknown unit or a broken interval, or ended before `now`.
    """
    grid = _grid_of(document)
    issued_at = _issued_at(grid)
    now = issued_at if now is None else now.astimezone(UTC)
    entries = {layer: _entries(grid, layer, now) for layer in LAYERS}
    start, n_hours = _span(entries, now, keep_past_h)
    columns: Columns = {}
    flags: Flags = [set() for _ in range(n_hours)]
    for layer, parts in entries.items():
        painted = paint(parts, start, n_hours, layer.reduce)
        columns[layer.column] = painted.values
        _flag_layer(flags, layer, painted, bool(parts))
    columns["pop_period_h"] = _pop_period(entries, start, n_hours, issued_at)
    settle(columns, flags)
    return Hourly(
        source="nws",
        start=start,
        issued_at=issued_at,
        wx=_words(grid, start, n_hours, now),
        flags=tuple(frozenset(words) for words in flags),
        attribution=ATTRIBUTION,
        **named(columns),
    )


def _grid_of(document: bytes | str) -> dict[str, Any]:
    value = load_object(document)
    # JSON-LD carries the same layers flat, GeoJSON under "properties".
    grid = value.get("properties", value)
    if not isinstance(grid, dict) or "updateTime" not in grid:
        raise UnreadableForecast("The document is no grid forecast: it has no time of issue.")
    if not any(isinstance(grid.get(layer.name), dict) for layer in LAYERS):
        raise UnreadableForecast("The document is no grid forecast: it has no layer that is known here.")
    return grid


def _issued_at(grid: dict[str, Any]) -> datetime:
    text = grid["updateTime"]
    if not isinstance(text, str) or text == "NOW":
        raise UnreadableForecast("The time of issue is no moment in time.")
    return read_moment(text, datetime.min.replace(tzinfo=UTC))


def _values(grid: dict[str, Any], name: str) -> list[dict[str, Any]]:
    layer = grid.get(name)
    values = layer.get("values", []) if isinstance(layer, dict) else []
    if not isinstance(values, list) or not all(isinstance(value, dict) for value in values):
        raise UnreadableForecast(f"The layer {name} holds no list of values.")
    return values


def _interval(value: dict[str, Any], name: str, now: datetime) -> tuple[datetime, datetime]:
    text = value.get("validTime")
    if not isinstance(text, str):
        raise UnreadableForecast(f"A value of the layer {name} has no time.")
    return read_interval(text, now)


def _entries(grid: dict[str, Any], layer: Layer, now: datetime) -> list[Entry]:
    values = _values(grid, layer.name)
    if not values:
        return []
    unit = grid[layer.name].get("uom", layer.default_unit)
    factor, offset = conversion(layer.name, layer.quantity, unit if isinstance(unit, str) else "")
    return [Entry(*_interval(value, layer.name, now), number(value.get("value")) * factor + offset) for value in values]


def _span(entries: dict[Layer, list[Entry]], now: datetime, keep_past_h: int) -> tuple[datetime, int]:
    """Start and length of the table: from the hour of `now`, or earlier where kept, to the end of the longest layer."""
    parts = [entry for layer_entries in entries.values() for entry in layer_entries]
    if not parts:
        raise UnreadableForecast("Every layer of the document is empty.")
    this_hour = now.replace(minute=0, second=0, microsecond=0)
    earliest = min(entry.start for entry in parts).replace(minute=0, second=0, microsecond=0)
    start = max(this_hour - timedelta(hours=keep_past_h), earliest)
    end = max(entry.end for entry in parts)
    if end <= max(start, this_hour):
        raise UnreadableForecast(f"The forecast ended at {end:%Y-%m-%d %H:%M} UTC.")
    return start, min(-int(-(end - start) // HOUR), LONGEST_TABLE_H)


def _flag_layer(flags: Flags, layer: Layer, painted: Painted, has_entries: bool) -> None:
    if not has_entries:
        flag(flags, np.ones(len(flags), dtype=bool), f"missing:{layer.column}")
        return
    flag(flags, painted.gap, f"gap:{layer.column}")
    flag(flags, painted.overlap, f"overlap:{layer.column}")
    flag(flags, painted.after, f"ends_early:{layer.column}")
    flag(flags, np.isnan(painted.values) & ~painted.gap & ~painted.after, f"null:{layer.column}")


def _pop_period(
    entries: dict[Layer, list[Entry]], start: datetime, n_hours: int, issued_at: datetime
) -> np.ndarray[Any, np.dtype[np.float64]]:
    """Per hour the length of the block that its chance of rain speaks of [h]."""
    chances = next(parts for layer, parts in entries.items() if layer.column == "pop")
    lengths = [Entry(entry.start, entry.end, (entry.end - entry.start) / HOUR) for entry in chances]
    period = paint(lengths, start, n_hours, "max").values
    lead_h = np.arange(n_hours) + (start - issued_at) / HOUR
    cap = np.where(lead_h < NEAR_LEAD_H, NEAR_PERIOD_H, FAR_PERIOD_H)
    return np.where(np.isnan(period), np.nan, np.clip(period, 1.0, cap))


def _words(grid: dict[str, Any], start: datetime, n_hours: int, now: datetime) -> tuple[frozenset[str], ...]:
    """Per hour the words of the weather layer, e.g. thunderstorms; an item without a word says 'no weather'."""
    words: list[set[str]] = [set() for _ in range(n_hours)]
    for value in _values(grid, "weather"):
        begins, ends = _interval(value, "weather", now)
        items = value.get("value")
        found = {
            item["weather"]
            for item in (items if isinstance(items, list) else [])
            if isinstance(item, dict) and isinstance(item.get("weather"), str)
        }
        first = max(int((begins - start) // HOUR), 0)
        last = min(-int(-(ends - start) // HOUR), n_hours)
        for row in range(first, last):
            words[row] |= found
    return tuple(frozenset(found) for found in words)
