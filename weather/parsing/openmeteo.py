"""The forecast document of Open-Meteo -> hourly table.

Sums, maxima and chances that are stamped T speak of the hour before T, everything else of the instant T. Read without
that shift every deadline would come an hour late.
"""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from weather.hourly import COLUMNS, Hourly
from weather.parsing.document import UnreadableForecast, load, number
from weather.parsing.painting import HOUR
from weather.parsing.soundness import Columns, Flags, flag, named, settle
from weather.parsing.uom import conversion

ATTRIBUTION = "Weather data by Open-Meteo.com (CC BY 4.0)"
# Up to this lead the chance speaks of one hour, beyond it of six (the blend of models that it is taken from).
HOURLY_LEAD_H, NEAR_PERIOD_H, FAR_PERIOD_H = 36, 1.0, 6.0
THUNDER_CODES = frozenset({95, 96, 99})
# A thunder code under a clear sky is a known fault: rain, or a chance of it, must stand beside it.
THUNDER_NEEDS_POP = 0.20
UNDEFINED = "undefined"


@dataclass(frozen=True)
class Variable:
    """One variable, the column it becomes, and whether its stamp ends the hour it speaks of."""

    name: str
    column: str
    quantity: str
    of_preceding_hour: bool = False


VARIABLES = (
    Variable("temperature_2m", "air_temp_c", "temperature"),
    Variable("dew_point_2m", "dew_point_c", "temperature"),
    Variable("relative_humidity_2m", "rel_humidity", "share"),
    Variable("apparent_temperature", "apparent_temp_c", "temperature"),
    Variable("wind_speed_10m", "wind_ms", "speed"),
    Variable("wind_gusts_10m", "gust_ms", "speed", of_preceding_hour=True),
    Variable("wind_direction_10m", "wind_dir_deg", "angle"),
    Variable("precipitation_probability", "pop", "share", of_preceding_hour=True),
    Variable("precipitation", "qpf_mm", "depth", of_preceding_hour=True),
    Variable("thunderstorm_probability", "thunder_p", "share", of_preceding_hour=True),
    Variable("snowfall", "snow_mm", "depth", of_preceding_hour=True),
    Variable("cloud_cover", "sky_cover", "share"),
)
_NEVER_GIVEN = ("ice_mm",)


def read(document: bytes | str, now: datetime | None = None, *, location: int = 0, n_locations: int = 1) -> Hourly:
    """The hourly table of one location of a forecast answer.

    Parameters
    ----------
    document : bytes or str
        The answer; an object for one location, an array in the order asked for several.
    now : datetime, optional
        When it was fetched; the table starts with the hour that holds it. The answer names no model run, so this stands
        for the time of issue; the first hour of the document where not given.
    location, n_locations : int
        Which of how many locations that were asked for.

    Returns
    -------
    Hourly
        Flags per hour: `missing:`, `null:`, `out_of_range:` with the column, `negative_rain`, `gust_below_wind`,
        `thunder_code_without_rain`.

    Raises
    ------
    UnreadableForecast
        The document is empty, cut off or an error answer, holds another number of locations, arrays of unequal length,
        an unknown unit, or ended before `now`.
    """
    answer = _location(document, location, n_locations)
    hourly, units = _block(answer, "hourly"), _block(answer, "hourly_units")
    moments = _moments(answer, hourly, units)
    now = moments[0] if now is None else now.astimezone(UTC)
    start = max(moments[0], now.replace(minute=0, second=0, microsecond=0))
    # The hour that starts at the last stamp has no sum, gust or chance: it is not part of the table.
    n_hours = int((moments[-1] - start) // HOUR)
    if n_hours < 1:
        raise UnreadableForecast(f"The forecast ended at {moments[-1]:%Y-%m-%d %H:%M} UTC.")
    rows = np.array([int((moment - start) // HOUR) for moment in moments])
    flags: Flags = [set() for _ in range(n_hours)]
    columns: Columns = {name: np.full(n_hours, np.nan) for name in COLUMNS}
    for variable in VARIABLES:
        values = _values(hourly, units, variable, len(moments))
        if values is None:
            flag(flags, np.ones(n_hours, dtype=bool), f"missing:{variable.column}")
            continue
        placed = _placed(values, rows - variable.of_preceding_hour, n_hours)
        flag(flags, np.isnan(placed), f"null:{variable.column}")
        columns[variable.column] = placed
    for name in _NEVER_GIVEN:
        flag(flags, np.ones(n_hours, dtype=bool), f"missing:{name}")
    lead_h = np.arange(n_hours) + (start - now) / HOUR
    columns["pop_period_h"] = np.where(
        np.isnan(columns["pop"]), np.nan, np.where(lead_h < HOURLY_LEAD_H, NEAR_PERIOD_H, FAR_PERIOD_H)
    )
    flag(flags, columns["qpf_mm"] < 0, "negative_rain")
    settle(columns, flags)
    return Hourly(
        source="openmeteo",
        start=start,
        issued_at=now,
        wx=_words(hourly, rows, columns, flags),
        flags=tuple(frozenset(words) for words in flags),
        attribution=ATTRIBUTION,
        **named(columns),
    )


def _location(document: bytes | str, location: int, n_locations: int) -> dict[str, Any]:
    value = load(document)
    if isinstance(value, dict) and value.get("error"):
        raise UnreadableForecast(f"Open-Meteo refused the question: {value.get('reason', 'no reason given')}.")
    answers = value if isinstance(value, list) else [value]
    if len(answers) != n_locations:
        raise UnreadableForecast(f"The document holds {len(answers)} locations instead of {n_locations}.")
    if not isinstance(answers[location], dict):
        raise UnreadableForecast("The document is no forecast.")
    answer: dict[str, Any] = answers[location]
    return answer


def _block(answer: dict[str, Any], name: str) -> dict[str, Any]:
    block = answer.get(name)
    if not isinstance(block, dict):
        raise UnreadableForecast(f"The document has no '{name}'.")
    return block


def _moments(answer: dict[str, Any], hourly: dict[str, Any], units: dict[str, Any]) -> list[datetime]:
    """The stamps in UTC. Local stamps carry one fixed offset for all hours, which is taken off again."""
    stamps = hourly.get("time")
    if not isinstance(stamps, list) or len(stamps) < 2:
        raise UnreadableForecast("The document holds no hours.")
    offset = timedelta(seconds=number(answer.get("utc_offset_seconds", 0)))
    try:
        if units.get("time") == "unixtime":
            moments = [datetime.fromtimestamp(int(stamp), UTC) for stamp in stamps]
        else:
            moments = [datetime.fromisoformat(stamp).replace(tzinfo=UTC) - offset for stamp in stamps]
    except (TypeError, ValueError, OverflowError, OSError):
        raise UnreadableForecast("The document's hours cannot be read.") from None
    steps = {later - earlier for earlier, later in pairwise(moments)}
    if steps != {HOUR} or moments[0].minute or moments[0].second:
        raise UnreadableForecast("The document's hours do not follow each other.")
    return moments


def _values(
    hourly: dict[str, Any], units: dict[str, Any], variable: Variable, n_stamps: int
) -> NDArray[np.float64] | None:
    """The variable in the table's unit, or None where the model does not give it."""
    values, unit = hourly.get(variable.name), units.get(variable.name, "")
    if values is None:
        return None
    if not isinstance(values, list) or len(values) != n_stamps:
        raise UnreadableForecast(f"The variable {variable.name} does not hold {n_stamps} hours.")
    numbers = np.array([number(value) for value in values], dtype=float)
    if unit == UNDEFINED and np.isnan(numbers).all():
        return None
    factor, offset = conversion(variable.name, variable.quantity, unit if isinstance(unit, str) else "")
    return numbers * factor + offset


def _placed(values: NDArray[np.float64], rows: NDArray[np.int_], n_hours: int) -> NDArray[np.float64]:
    placed = np.full(n_hours, np.nan)
    inside = (rows >= 0) & (rows < n_hours)
    placed[rows[inside]] = values[inside]
    return placed


def _words(
    hourly: dict[str, Any], rows: NDArray[np.int_], columns: Columns, flags: Flags
) -> tuple[frozenset[str], ...]:
    """Thunderstorms where a thunder code stands beside rain or a chance of it; a code alone is flagged."""
    words: list[frozenset[str]] = [frozenset() for _ in flags]
    codes = hourly.get("weather_code")
    for row, code in zip(rows.tolist(), codes if isinstance(codes, list) else [], strict=False):
        if not 0 <= row < len(words) or code not in THUNDER_CODES:
            continue
        qpf_mm, pop = float(columns["qpf_mm"][row]), float(columns["pop"][row])
        # What is not known does not speak against thunder.
        if qpf_mm == 0 and pop < THUNDER_NEEDS_POP:
            flags[row].add("thunder_code_without_rain")
        else:
            words[row] = frozenset({"thunderstorms"})
    return tuple(words)
