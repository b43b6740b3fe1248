"""From plan polygons with pitch and fall to sections and classified edges with true lengths.

A plane rises by its gradient g (horizontal, upslope, length pitch / 12). Along a plan line with unit direction t it
climbs g.t per foot, so the true length is plan length x sqrt(1 + (g.t)^2). Crossing from one plane to the next along
the normal n the roof bends down (ridge, hip) where g1.n > g2.n and up (valley) where g1.n < g2.n.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import cos, radians, sin, sqrt

from shapely.geometry import Polygon

from jobs.roof_measure import SQUARE_FT2, EdgeKind, Point, check_pitch
from jobs.roof_shape.pitch import pitch_factor
from jobs.roof_shape.segments import Segment, shared_and_free

LEVEL_RISE = 0.02  # climb per foot below which a line counts as level
SAME_SLOPE = 0.02  # difference in climb across a line below which two planes are one
MEET_SHARE = 0.02  # two planes that climb differently along their common line by more do not meet there
MEET_TOLERANCE_FT = 0.1
OVERLAP_FT2 = 1.0  # plan area that two planes may overlap by rounding


@dataclass(frozen=True)
class Plane:
    """One roof plane in plan: x to the east, y to the north [ft]; water runs to the compass bearing downslope_deg.

    high_edge: what a level edge at the top is when no other plane meets it: WALL, or RAKE for a free edge.

    Raises ValueError for a pitch outside 0/12 to 24/12, fewer than three corners, a self-crossing outline, or no area.
    """

    name: str
    pitch_in_12: float
    downslope_deg: float
    outline_ft: tuple[Point, ...]
    high_edge: EdgeKind = EdgeKind.RAKE

    def __post_init__(self) -> None:
        check_pitch(self.pitch_in_12)
        if not self.name.strip():
            raise ValueError("Every section needs a name, such as “front slope”.")
        if len(self.outline_ft) < 3:
            raise ValueError(f"The outline of “{self.name}” needs at least three corners.")
        polygon = Polygon(self.outline_ft)
        if not polygon.is_valid:
            raise ValueError(f"The outline of “{self.name}” crosses itself.")
        if polygon.area < 1:
            raise ValueError(f"The outline of “{self.name}” encloses no area.")
        if not polygon.exterior.is_ccw:
            object.__setattr__(self, "outline_ft", tuple(reversed(self.outline_ft)))

    @property
    def gradient(self) -> Point:
        """Horizontal vector that points upslope, as long as the climb per foot."""
        rise = self.pitch_in_12 / 12
        return (-sin(radians(self.downslope_deg)) * rise, -cos(radians(self.downslope_deg)) * rise)

    @property
    def plan_ft2(self) -> float:
        """Plan area [sq ft]."""
        return float(Polygon(self.outline_ft).area)

    @property
    def run_ft(self) -> float:
        """Largest extent from eave to top, along the slope [ft]."""
        bearing = radians(self.downslope_deg)
        along = [x * sin(bearing) + y * cos(bearing) for x, y in self.outline_ft]
        return (max(along) - min(along)) * pitch_factor(self.pitch_in_12)


@dataclass(frozen=True)
class SectionShape:
    """One plane of a roof shape, measured: areas [sq ft, squares], lengths [ft], bearing [degrees]."""

    name: str
    pitch_in_12: float
    plan_ft2: float
    area_ft2: float
    eave_ft: float
    run_ft: float
    downslope_deg: float
    outline_ft: tuple[Point, ...]

    @property
    def squares(self) -> float:
        """True area [100 sq ft]."""
        return self.area_ft2 / SQUARE_FT2


@dataclass(frozen=True)
class EdgeShape:
    """One edge: true length [ft], the planes at it as positions in RoofShape.sections, its plan line."""

    kind: EdgeKind
    length_ft: float
    section: int
    other_section: int | None
    line_ft: tuple[Point, Point]
    vented: bool = False


@dataclass(frozen=True)
class RoofShape:
    """A measured roof shape: what a builder or an import hands over to be saved."""

    sections: tuple[SectionShape, ...]
    edges: tuple[EdgeShape, ...]

    @property
    def area_ft2(self) -> float:
        """True area of all planes [sq ft]."""
        return sum(section.area_ft2 for section in self.sections)

    @property
    def plan_ft2(self) -> float:
        """Plan area of all planes [sq ft]."""
        return sum(section.plan_ft2 for section in self.sections)

    @property
    def squares(self) -> float:
        """True area of all planes [100 sq ft]."""
        return self.area_ft2 / SQUARE_FT2

    def length_ft(self, kind: EdgeKind) -> float:
        """Total true length of one kind of edge [ft]."""
        return sum(edge.length_ft for edge in self.edges if edge.kind is kind)

    def lengths_ft(self, kind: EdgeKind) -> tuple[float, ...]:
        """True length of each edge of one kind [ft]."""
        return tuple(edge.length_ft for edge in self.edges if edge.kind is kind)


def roof_from_planes(
    planes: Sequence[Plane], *, vented_ridges: bool = True, tolerance_ft: float = MEET_TOLERANCE_FT
) -> RoofShape:
    """Return sections and classified edges of planes that lie side by side in plan.

    Parameters
    ----------
    planes
        In the order in which the sections are wanted.
    vented_ridges
        Whether ridges get a slot and a ridge vent. Hips never do.
    tolerance_ft
        How far two outlines may lie apart and still count as meeting [ft].

    Raises
    ------
    ValueError
        No plane, two planes of one name, planes that overlap, or planes that climb differently along a common line.
    """
    if not planes:
        raise ValueError("A roof needs at least one section.")
    if len({plane.name for plane in planes}) != len(planes):
        raise ValueError("Two sections carry the same name; name each by its side of the house.")
    _refuse_overlap(planes)
    shared, free = shared_and_free([plane.outline_ft for plane in planes], tolerance_ft)
    edges = [edge for a, b, segment in shared if (edge := _meeting_edge(planes, a, b, segment, vented_ridges))]
    edges += [_open_edge(planes[a], a, segment) for a, segment in free]
    return RoofShape(tuple(_section(plane, i, edges) for i, plane in enumerate(planes)), tuple(edges))


def _section(plane: Plane, index: int, edges: Sequence[EdgeShape]) -> SectionShape:
    eave_ft = sum(edge.length_ft for edge in edges if edge.kind is EdgeKind.EAVE and edge.section == index)
    return SectionShape(
        name=plane.name,
        pitch_in_12=float(plane.pitch_in_12),
        plan_ft2=plane.plan_ft2,
        area_ft2=plane.plan_ft2 * pitch_factor(plane.pitch_in_12),
        eave_ft=eave_ft,
        run_ft=plane.run_ft,
        downslope_deg=plane.downslope_deg % 360,
        outline_ft=plane.outline_ft,
    )


def _meeting_edge(planes: Sequence[Plane], a: int, b: int, segment: Segment, vented: bool) -> EdgeShape | None:
    """Classify the common line of two planes; None where the roof does not bend or only changes its pitch."""
    t, normal = segment.direction, segment.outward
    climb_a, climb_b = _dot(planes[a].gradient, t), _dot(planes[b].gradient, t)
    true_a, true_b = sqrt(1 + climb_a**2), sqrt(1 + climb_b**2)
    if abs(climb_a - climb_b) > LEVEL_RISE and (climb_a * climb_b < 0 or abs(true_a - true_b) > MEET_SHARE * true_a):
        raise ValueError(
            f"“{planes[a].name}” and “{planes[b].name}” do not meet: along their common line one climbs "
            f"{climb_a * 12:.1f} in 12, the other {climb_b * 12:.1f} in 12. Check pitch and fall direction."
        )
    length_ft = segment.length_ft * (true_a + true_b) / 2
    across_a, across_b = _dot(planes[a].gradient, normal), _dot(planes[b].gradient, normal)
    level = max(abs(climb_a), abs(climb_b)) < LEVEL_RISE
    if abs(across_a - across_b) < SAME_SLOPE or (level and across_a * across_b > 0):
        return None  # one plane in two sections, or a change of pitch that shingles run through
    bent_down = EdgeKind.RIDGE if level else EdgeKind.HIP
    kind = bent_down if across_a > across_b else EdgeKind.VALLEY
    return EdgeShape(kind, length_ft, a, b, segment.line, vented and kind is EdgeKind.RIDGE)


def _open_edge(plane: Plane, index: int, segment: Segment) -> EdgeShape:
    climb = _dot(plane.gradient, segment.direction)
    if abs(climb) >= LEVEL_RISE:
        kind = EdgeKind.RAKE
    else:
        kind = plane.high_edge if _dot(plane.gradient, segment.outward) > 0 else EdgeKind.EAVE
    return EdgeShape(kind, segment.length_ft * sqrt(1 + climb**2), index, None, segment.line)


def _refuse_overlap(planes: Sequence[Plane]) -> None:
    polygons = [Polygon(plane.outline_ft) for plane in planes]
    for i, first in enumerate(polygons):
        for j in range(i + 1, len(polygons)):
            if first.intersects(polygons[j]) and first.intersection(polygons[j]).area > OVERLAP_FT2:
                overlap = first.intersection(polygons[j]).area
                raise ValueError(f"“{planes[i].name}” and “{planes[j].name}” overlap by {overlap:.0f} sq ft in plan.")


def turned(planes: Sequence[Plane], front_deg: float) -> tuple[Plane, ...]:
    """Return planes drawn with the front to the south turned so that the front faces a compass bearing [degrees]."""
    angle = radians(180 - front_deg)
    c, s = cos(angle), sin(angle)
    return tuple(
        replace(
            plane,
            downslope_deg=(plane.downslope_deg + front_deg - 180) % 360,
            outline_ft=tuple((x * c - y * s, x * s + y * c) for x, y in plane.outline_ft),
        )
        for plane in planes
    )


def _dot(a: Point, b: Point) -> float:
    return a[0] * b[0] + a[1] * b[1]
