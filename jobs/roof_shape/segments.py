"""Which stretches of several outlines run together, and which stay free."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot

from jobs.roof_measure import Point

SHORTEST_FT = 0.05  # shorter left-overs are rounding


@dataclass(frozen=True)
class Segment:
    """A straight stretch of a counter-clockwise outline [ft]; outward is the unit normal that leaves the outline."""

    start: Point
    end: Point

    @property
    def length_ft(self) -> float:
        """Plan length [ft]."""
        return hypot(self.end[0] - self.start[0], self.end[1] - self.start[1])

    @property
    def direction(self) -> Point:
        """Unit vector from start to end."""
        length = self.length_ft
        return ((self.end[0] - self.start[0]) / length, (self.end[1] - self.start[1]) / length)

    @property
    def outward(self) -> Point:
        """Unit normal to the right of the direction: out of a counter-clockwise outline."""
        t = self.direction
        return (t[1], -t[0])

    @property
    def line(self) -> tuple[Point, Point]:
        """Both ends."""
        return (self.start, self.end)

    def part(self, from_ft: float, to_ft: float) -> "Segment":
        """The stretch between two distances from the start [ft]."""
        t = self.direction
        return Segment(
            (self.start[0] + t[0] * from_ft, self.start[1] + t[1] * from_ft),
            (self.start[0] + t[0] * to_ft, self.start[1] + t[1] * to_ft),
        )

    def common_stretch(self, other: "Segment", tolerance_ft: float) -> tuple[float, float] | None:
        """Distances from the start [ft] between which the other segment lies on this one, or None."""
        t = self.direction
        along, off = [], []
        for x, y in other.line:
            dx, dy = x - self.start[0], y - self.start[1]
            along.append(dx * t[0] + dy * t[1])
            off.append(abs(dx * t[1] - dy * t[0]))
        if max(off) > tolerance_ft:
            return None
        low, high = max(0.0, min(along)), min(self.length_ft, max(along))
        return (low, high) if high - low > max(SHORTEST_FT, tolerance_ft) else None


def sides(outline: Sequence[Point]) -> list[Segment]:
    """Return the sides of a closed outline, without sides too short to see."""
    corners = list(outline)
    segments = [Segment(a, b) for a, b in zip(corners, corners[1:] + corners[:1], strict=True)]
    return [segment for segment in segments if segment.length_ft > SHORTEST_FT]


def shared_and_free(
    outlines: Sequence[Sequence[Point]], tolerance_ft: float
) -> tuple[list[tuple[int, int, Segment]], list[tuple[int, Segment]]]:
    """Return the stretches that two outlines share, as (first, second, segment of the first), and those that are free.

    Outlines run counter-clockwise, lengths in ft. A stretch shared within tolerance_ft is given once.
    """
    all_sides = [sides(outline) for outline in outlines]
    boxes = [_box(outline) for outline in outlines]
    shared: list[tuple[int, int, Segment]] = []
    covered: dict[tuple[int, int], list[tuple[float, float]]] = {}
    for a in range(len(outlines)):
        for b in range(a + 1, len(outlines)):
            if not _boxes_touch(boxes[a], boxes[b], tolerance_ft):
                continue
            for i, side in enumerate(all_sides[a]):
                for k, other in enumerate(all_sides[b]):
                    stretch = side.common_stretch(other, tolerance_ft)
                    if stretch is None:
                        continue
                    shared.append((a, b, side.part(*stretch)))
                    covered.setdefault((a, i), []).append(stretch)
                    back = other.common_stretch(side, tolerance_ft)
                    if back is not None:
                        covered.setdefault((b, k), []).append(back)
    free = [
        (a, side.part(low, high))
        for a, segments in enumerate(all_sides)
        for i, side in enumerate(segments)
        for low, high in _gaps(side.length_ft, covered.get((a, i), []), tolerance_ft)
    ]
    return shared, free


def _gaps(length_ft: float, covered: list[tuple[float, float]], tolerance_ft: float) -> list[tuple[float, float]]:
    gaps, reached = [], 0.0
    for low, high in [*sorted(covered), (length_ft, length_ft)]:
        if low - reached > max(SHORTEST_FT, tolerance_ft):
            gaps.append((reached, low))
        reached = max(reached, high)
    return gaps


def _box(outline: Sequence[Point]) -> tuple[float, float, float, float]:
    xs, ys = [x for x, _ in outline], [y for _, y in outline]
    return min(xs), min(ys), max(xs), max(ys)


def _boxes_touch(
    a: tuple[float, float, float, float], b: tuple[float, float, float, float], tolerance_ft: float
) -> bool:
    return (
        a[0] <= b[2] + tolerance_ft
        and b[0] <= a[2] + tolerance_ft
        and a[1] <= b[3] + tolerance_ft
        and b[1] <= a[3] + tolerance_ft
    )
