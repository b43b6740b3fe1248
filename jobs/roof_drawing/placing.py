"""Where on a slope its plate and its fall arrow find room."""

from collections.abc import Iterator
from math import cos, hypot, radians, sin

from shapely.geometry import LineString, Polygon, box
from shapely.geometry import Point as Dot
from shapely.prepared import prep

from jobs.roof_drawing.model import Arrow, Plate
from jobs.roof_measure import Point

GRID = 14  # tried places across a slope
ARROW_PX = 40.0
SHORTEST_ARROW_PX = 16.0
CLEARANCE_PX = 6.0


def place_plate(outline_px: tuple[Point, ...], width: float, height: float) -> Plate:
    """Return the plate of a slope: nearest its middle with the whole box inside, else with its centre inside."""
    polygon = Polygon(outline_px)
    prepared = prep(polygon)
    middle = polygon.centroid
    best: Point | None = None
    best_distance = float("inf")
    for x, y in _grid(polygon):
        distance = hypot(x - middle.x, y - middle.y)
        if distance < best_distance and prepared.contains(_box(x, y, width, height)):
            best, best_distance = (x, y), distance
    if best is not None:
        return Plate((round(best[0], 2), round(best[1], 2)), width, height, True)
    inside = middle if polygon.contains(middle) else polygon.representative_point()
    return Plate((round(inside.x, 2), round(inside.y, 2)), width, height, False)


def place_arrow(outline_px: tuple[Point, ...], downslope_deg: float | None, plate: Plate) -> Arrow | None:
    """Return the fall arrow where it clears the plate and the outline best; None where it finds no room at all."""
    polygon = Polygon(outline_px)
    bearing = radians(180.0 if downslope_deg is None else downslope_deg)
    along = (sin(bearing), -cos(bearing))  # y runs downwards
    label = _box(*plate.centre, plate.width, plate.height)
    reach = ARROW_PX
    while reach >= SHORTEST_ARROW_PX:
        best: tuple[float, Arrow] | None = None
        for x, y in _grid(polygon):
            tail = (x - along[0] * reach / 2, y - along[1] * reach / 2)
            head = (x + along[0] * reach / 2, y + along[1] * reach / 2)
            shaft = LineString([tail, head])
            if not polygon.contains(shaft):
                continue
            room = min(shaft.distance(polygon.exterior), shaft.distance(label))
            if room >= CLEARANCE_PX and (best is None or room > best[0]):
                best = (room, Arrow(_rounded(tail), _rounded(head)))
        if best is not None:
            return best[1]
        reach *= 0.75
    return None


def is_inside(outline_px: tuple[Point, ...], point: Point) -> bool:
    """Say whether a point lies inside an outline."""
    return bool(Polygon(outline_px).contains(Dot(point)))


def _grid(polygon: Polygon) -> Iterator[Point]:
    min_x, min_y, max_x, max_y = polygon.bounds
    for i in range(1, GRID):
        for k in range(1, GRID):
            yield min_x + (max_x - min_x) * i / GRID, min_y + (max_y - min_y) * k / GRID


def _box(x: float, y: float, width: float, height: float) -> Polygon:
    return box(x - width / 2, y - height / 2, x + width / 2, y + height / 2)


def _rounded(point: Point) -> Point:
    return round(point[0], 2), round(point[1], 2)
