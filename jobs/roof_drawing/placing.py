"""Where on a slope its plate and its fall arrow find room."""

from math import cos, radians, sin

import numpy as np
import shapely
from shapely.geometry import Point as Dot
from shapely.geometry import Polygon

from jobs.roof_drawing.model import Arrow, Plate
from jobs.roof_measure import Point

GRID = 14  # tried places across a slope
ARROW_PX = 40.0
SHORTEST_ARROW_PX = 16.0
CLEARANCE_PX = 6.0

Places = tuple[np.ndarray, np.ndarray]


def place_plate(outline_px: tuple[Point, ...], width: float, height: float) -> Plate:
    """Return the plate of a slope: nearest its middle with the whole box inside, else with its centre inside."""
    polygon = Polygon(outline_px)
    shapely.prepare(polygon)
    middle = polygon.centroid
    xs, ys = _grid(polygon)
    boxes = shapely.box(xs - width / 2, ys - height / 2, xs + width / 2, ys + height / 2)
    fits = shapely.contains(polygon, boxes)
    if fits.any():
        best = int(np.argmin(np.where(fits, np.hypot(xs - middle.x, ys - middle.y), np.inf)))
        return Plate(_rounded((xs[best], ys[best])), width, height, True)
    inside = middle if polygon.contains(middle) else polygon.representative_point()
    return Plate(_rounded((inside.x, inside.y)), width, height, False)


def place_arrow(outline_px: tuple[Point, ...], downslope_deg: float | None, plate: Plate) -> Arrow | None:
    """Return the fall arrow where it clears the plate and the outline best; None where it finds no room at all."""
    polygon = Polygon(outline_px)
    shapely.prepare(polygon)
    bearing = radians(180.0 if downslope_deg is None else downslope_deg)
    along = np.array((sin(bearing), -cos(bearing)))  # y runs downwards
    x, y = plate.centre
    label = shapely.box(x - plate.width / 2, y - plate.height / 2, x + plate.width / 2, y + plate.height / 2)
    middles = np.stack(_grid(polygon), axis=1)
    reach = ARROW_PX
    while reach >= SHORTEST_ARROW_PX:
        tails, heads = middles - along * (reach / 2), middles + along * (reach / 2)
        shafts = shapely.linestrings(np.stack((tails, heads), axis=1))
        room = np.minimum(shapely.distance(shafts, polygon.exterior), shapely.distance(shafts, label))
        room = np.where(shapely.contains(polygon, shafts), room, -np.inf)
        best = int(np.argmax(room))
        if room[best] >= CLEARANCE_PX:
            return Arrow(_rounded(tails[best]), _rounded(heads[best]))
        reach *= 0.75
    return None


def is_inside(outline_px: tuple[Point, ...], point: Point) -> bool:
    """Say whether a point lies inside an outline."""
    return bool(Polygon(outline_px).contains(Dot(point)))


def _grid(polygon: Polygon) -> Places:
    """The tried places, x by x."""
    min_x, min_y, max_x, max_y = polygon.bounds
    steps = np.arange(1, GRID) / GRID
    xs, ys = np.meshgrid(min_x + (max_x - min_x) * steps, min_y + (max_y - min_y) * steps, indexing="ij")
    return xs.ravel(), ys.ravel()


def _rounded(point: Point | np.ndarray) -> Point:
    return round(float(point[0]), 2), round(float(point[1]), 2)
