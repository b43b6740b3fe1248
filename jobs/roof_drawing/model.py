"""The drawing of a roof as plain data: everything in pixels, y downwards, for whoever turns it into SVG."""

from dataclasses import dataclass
from math import hypot

from jobs.phases import RoofState
from jobs.roof_measure import DetailKind, EdgeKind, Point

Line = tuple[Point, Point]


@dataclass(frozen=True)
class Piece:
    """The part of a slope in one state [px]; squares is its true area."""

    state: RoofState
    outline: tuple[Point, ...]
    squares: float


@dataclass(frozen=True)
class Plate:
    """The label of a slope: centre and size of the box [px]; fits says whether it lies wholly inside the slope."""

    centre: Point
    width: float
    height: float
    fits: bool


@dataclass(frozen=True)
class Arrow:
    """The way water runs: from tail to head [px]."""

    tail: Point
    head: Point


@dataclass(frozen=True)
class Slope:
    """One section. cuts: where one state ends and the next begins; stop_outlines: today's line, if any."""

    section_id: int
    name: str
    pitch_in_12: float
    squares: float
    state: RoofState
    state_squares: float
    order: int | None
    outline: tuple[Point, ...]
    pieces: tuple[Piece, ...]
    cuts: tuple[Line, ...]
    plate: Plate
    arrow: Arrow | None
    stop_outlines: tuple[tuple[Point, ...], ...] = ()


@dataclass(frozen=True)
class EdgeLine:
    """One edge with its symbol.

    marks: ticks of a rake (inward) or chevrons of a valley (down the water's way), as polylines [px]. gaps: the open
    stretches of a ridge. Lengths in ft stand in the table beside the drawing, never on the line.
    """

    edge_id: int
    kind: EdgeKind
    line: Line
    marks: tuple[tuple[Point, ...], ...] = ()
    gaps: tuple[Line, ...] = ()


@dataclass(frozen=True)
class DetailMark:
    """A chimney, pipe or skylight at its place [px]."""

    detail_id: int
    kind: DetailKind
    at: Point


@dataclass(frozen=True)
class EdgeSum:
    """One row of the table beside the drawing: a kind of edge, how many runs, feet in all."""

    kind: EdgeKind
    count: int
    length_ft: float


@dataclass(frozen=True)
class ScaleBar:
    """A bar of round length: its line [px] and what it stands for [ft]."""

    line: Line
    length_ft: float


@dataclass(frozen=True)
class RoofDrawing:
    """A roof seen from above. schematic: laid out from lengths because no outline is known, so north means nothing."""

    width: float
    height: float
    px_per_ft: float
    slopes: tuple[Slope, ...]
    edges: tuple[EdgeLine, ...]
    details: tuple[DetailMark, ...]
    edge_sums: tuple[EdgeSum, ...]
    scale_bar: ScaleBar
    north: Arrow | None
    schematic: bool


@dataclass(frozen=True)
class Frame:
    """How plan feet become pixels: north up, y downwards."""

    min_x: float
    max_y: float
    px_per_ft: float
    margin: float

    def px(self, point: Point) -> Point:
        """A plan point [ft] on the drawing [px]."""
        x = self.margin + (point[0] - self.min_x) * self.px_per_ft
        y = self.margin + (self.max_y - point[1]) * self.px_per_ft
        return round(x, 2), round(y, 2)

    def outline(self, points: tuple[Point, ...]) -> tuple[Point, ...]:
        """A plan outline [ft] on the drawing [px]."""
        return tuple(self.px(point) for point in points)


def length(line: Line) -> float:
    """Return the length of a line, in its own unit."""
    return hypot(line[1][0] - line[0][0], line[1][1] - line[0][1])
