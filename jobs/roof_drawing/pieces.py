"""Where the states of a slope lie: full swaths from eave to ridge, cut at their share of the area.

The rows know areas, not places; swaths are laid from one end of the eave in the order in which work passes over a
slope: shingled, dried-in, bare, old.
"""

from math import cos, radians, sin

from shapely.affinity import rotate
from shapely.geometry import Polygon, box

from jobs.phases import RoofState
from jobs.roof_measure import Point, SectionMeasure

FAR_FT = 1e5
CUT_STEPS = 30  # halvings: a thousandth of an inch on any house
SMALLEST_SQUARES = 0.02  # less is rounding and not drawn
SAME_LEVEL_FT = 0.5  # corners of one edge, as far as a measurement can tell
INSET_FT = 1.0  # today's line runs this far inside the slope


class Swaths:
    """A slope that can be cut across its eave at shares of its area.

    outline_ft in plan; downslope_deg the bearing water runs to, None for a schematic slope that falls down the page.
    """

    def __init__(self, outline_ft: tuple[Point, ...], downslope_deg: float | None) -> None:
        self.polygon = Polygon(outline_ft)
        bearing = 180.0 if downslope_deg is None else downslope_deg
        # Turned so that the eave lies along x: a cut is then a vertical line.
        self._turn_deg = bearing - 180.0
        self._origin = (0.0, 0.0)
        self._level = rotate(self.polygon, self._turn_deg, origin=self._origin)
        self._min_x, _, self._max_x, _ = self._level.bounds

    def between(self, low_share: float, high_share: float) -> tuple[tuple[Point, ...], ...]:
        """The parts of the slope between two shares of its area [0-1], in plan ft."""
        return self._outlines(self._slab(self._x_at(low_share), self._x_at(high_share)))

    def inset_between(self, low_share: float, high_share: float) -> tuple[tuple[Point, ...], ...]:
        """The same, drawn in by INSET_FT; the slab itself where it is too narrow to be drawn in."""
        slab = self._slab(self._x_at(low_share), self._x_at(high_share))
        inner = slab.buffer(-INSET_FT, join_style="mitre")
        return self._outlines(inner if not inner.is_empty else slab)

    def cut(self, share: float) -> tuple[Point, Point] | None:
        """The line across the slope at a share of its area, in plan ft; None at its ends."""
        x = self._x_at(share)
        crossing = self._level.intersection(box(x - 1e-6, -FAR_FT, x + 1e-6, FAR_FT))
        if crossing.is_empty:
            return None
        _, low, _, high = crossing.bounds
        ends = [self._back((x, low)), self._back((x, high))]
        return ends[0], ends[1]

    def reach_ft(self, share: float) -> tuple[float, tuple[float, float], tuple[float, float]]:
        """How far a share of the area reaches, then where the eave and where the top edge begin and end, all [ft] along
        the eave from the first end of the slope."""
        corners = [(x - self._min_x, y) for x, y in self._level.exterior.coords]
        low, high = self._level.bounds[1], self._level.bounds[3]
        eave = [x for x, y in corners if y <= low + SAME_LEVEL_FT]
        top = [x for x, y in corners if y >= high - SAME_LEVEL_FT]
        return self._x_at(share) - float(self._min_x), (min(eave), max(eave)), (min(top), max(top))

    def _slab(self, low_x: float, high_x: float) -> Polygon:
        return self._level.intersection(box(low_x, -FAR_FT, high_x, FAR_FT))

    def _x_at(self, share: float) -> float:
        if share <= 0:
            return float(self._min_x)
        if share >= 1:
            return float(self._max_x)
        low, high = self._min_x, self._max_x
        wanted = share * self._level.area
        for _ in range(CUT_STEPS):
            middle = (low + high) / 2
            if self._slab(self._min_x, middle).area < wanted:
                low = middle
            else:
                high = middle
        return float(low + high) / 2

    def _outlines(self, shape: Polygon) -> tuple[tuple[Point, ...], ...]:
        parts = getattr(shape, "geoms", [shape])
        polygons = [part for part in parts if part.geom_type == "Polygon" and part.area > 0]
        return tuple(tuple(self._back((x, y)) for x, y in part.exterior.coords[:-1]) for part in polygons)

    def _back(self, point: Point) -> Point:
        angle = radians(-self._turn_deg)
        return (
            point[0] * cos(angle) - point[1] * sin(angle),
            point[0] * sin(angle) + point[1] * cos(angle),
        )


def areas_by_state(section: SectionMeasure) -> tuple[tuple[RoofState, float], ...]:
    """Return the states that lie on a section with their squares, in the order of the swaths."""
    areas = (
        (RoofState.SHINGLED, section.shingled_squares),
        (RoofState.DRIED_IN, section.dried_in_squares),
        (RoofState.BARE, section.bare_squares),
        (RoofState.OLD, section.old_squares),
    )
    seen = tuple((state, squares) for state, squares in areas if squares > SMALLEST_SQUARES)
    return seen or ((RoofState.OLD, section.squares),)


def word_state(section: SectionMeasure) -> tuple[RoofState, float]:
    """Return the state to name on the plate with its squares: bare deck wherever it lies, else the largest."""
    areas = areas_by_state(section)
    for state, squares in areas:
        if state is RoofState.BARE:
            return state, squares
    return max(areas, key=lambda area: area[1])
