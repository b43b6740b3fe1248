"""The answer of the weather service to 'which grid cell is this place in', and the outline of a cell."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from shapely.geometry import Point, Polygon

from weather.parsing.document import UnreadableForecast, load_object

# A cell is about 0.02 degrees wide; a site this far outside the outline still belongs to it (rounding of the corners).
OUTLINE_SLACK_DEG = 0.01


@dataclass(frozen=True)
class PointInfo:
    """The grid cell of a place as `OFFICE/x,y`, and the zone of its clocks ('' where not given)."""

    cell_key: str
    time_zone: str


def read(document: bytes | str) -> PointInfo:
    """The cell of a `/points` answer, as GeoJSON or JSON-LD.

    The office that owns the grid (`gridId`) counts, not the one that answers for the place (`cwa`); they can differ.

    Raises
    ------
    UnreadableForecast
        As for every document; or the place has no grid cell.
    """
    value = load_object(document)
    place = value.get("properties", value)
    if not isinstance(place, dict):
        raise UnreadableForecast("The document does not describe a place.")
    office, x, y = place.get("gridId"), place.get("gridX"), place.get("gridY")
    if not isinstance(office, str) or not office.isalnum() or not _is_index(x) or not _is_index(y):
        raise UnreadableForecast("The weather service has no grid cell for this place.")
    zone = place.get("timeZone")
    return PointInfo(f"{office}/{x},{y}", zone if isinstance(zone, str) else "")


def _is_index(value: Any) -> bool:
    return isinstance(value, int) and not isinstance(value, bool)


def outline(document: bytes | str) -> list[list[float]]:
    """The corners [lon, lat] of a grid document's cell; empty where the document draws none."""
    geometry = load_object(document).get("geometry")
    if not isinstance(geometry, dict) or geometry.get("type") != "Polygon":
        return []
    rings: Any = geometry.get("coordinates")
    try:
        return [[float(lon), float(lat)] for lon, lat in rings[0]]
    except (TypeError, ValueError, IndexError):
        return []


def covers(corners: Sequence[Sequence[float]], lat: float, lon: float) -> bool:
    """Whether a place lies in a cell's outline, or within a hair of it; a cell without an outline is believed."""
    if len(corners) < 3:
        return True
    return bool(Polygon(corners).distance(Point(lon, lat)) <= OUTLINE_SLACK_DEG)
