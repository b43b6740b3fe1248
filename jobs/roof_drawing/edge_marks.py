"""The symbols of edges: ticks along rakes, chevrons down valleys, the gap of an open ridge."""

from math import cos, radians, sin

from jobs.roof_drawing.model import EdgeLine, Frame, Line, length
from jobs.roof_drawing.placing import is_inside
from jobs.roof_measure import EdgeKind, EdgeMeasure, Point, RoofMeasure

TICK_PX = 7.0
TICK_EVERY_PX = 11.0
CHEVRON_PX = 5.0
CHEVRON_EVERY_PX = 16.0


def edge_line(
    roof: RoofMeasure, edge: EdgeMeasure, frame: Frame, outlines_px: dict[int, tuple[Point, ...]]
) -> EdgeLine:
    """Return one edge that has a plan line, with the marks of its kind."""
    line = (frame.px(edge.line_ft[0]), frame.px(edge.line_ft[1]))
    marks: tuple[tuple[Point, ...], ...] = ()
    if edge.kind is EdgeKind.RAKE and edge.section_id is not None:
        marks = _ticks(line, outlines_px[edge.section_id])
    if edge.kind is EdgeKind.VALLEY:
        marks = _chevrons(_downhill(roof, edge, line))
    return EdgeLine(edge.edge_id, edge.kind, line, marks, _gaps(edge, line))


def _ticks(line: Line, outline: tuple[Point, ...]) -> tuple[tuple[Point, ...], ...]:
    span = length(line)
    if span < TICK_EVERY_PX:
        return ()
    along = ((line[1][0] - line[0][0]) / span, (line[1][1] - line[0][1]) / span)
    inward = (along[1], -along[0])
    middle = ((line[0][0] + line[1][0]) / 2, (line[0][1] + line[1][1]) / 2)
    if not is_inside(outline, (middle[0] + inward[0], middle[1] + inward[1])):
        inward = (-inward[0], -inward[1])
    ticks = []
    for i in range(1, int(span // TICK_EVERY_PX) + 1):
        foot = _at(line, i * TICK_EVERY_PX / span)
        ticks.append((foot, _moved(foot, inward, TICK_PX)))
    return tuple(ticks)


def _chevrons(line: Line) -> tuple[tuple[Point, ...], ...]:
    """Open arrow heads along a line, pointing from its start to its end."""
    span = length(line)
    count = int(span // CHEVRON_EVERY_PX)
    if not count:
        return ()
    along = ((line[1][0] - line[0][0]) / span, (line[1][1] - line[0][1]) / span)
    side = (along[1], -along[0])
    chevrons = []
    for i in range(1, count + 1):
        tip = _at(line, (i - 0.5) / count)
        back = _moved(tip, along, -CHEVRON_PX)
        chevrons.append((_moved(back, side, CHEVRON_PX), tip, _moved(back, side, -CHEVRON_PX)))
    return tuple(chevrons)


def _downhill(roof: RoofMeasure, edge: EdgeMeasure, line: Line) -> Line:
    """The line turned so that it runs the way the water does: along the sum of both planes' falls."""
    east = north = 0.0
    for section_id in edge.section_ids:
        bearing = roof.section(section_id).downslope_deg
        if bearing is not None:
            east, north = east + sin(radians(bearing)), north + cos(radians(bearing))
    runs_with_water = (line[1][0] - line[0][0]) * east + (line[1][1] - line[0][1]) * -north
    return line if runs_with_water >= 0 else (line[1], line[0])


def _gaps(edge: EdgeMeasure, line: Line) -> tuple[Line, ...]:
    """The open stretch of a ridge, behind what is finished, in proportion to its length."""
    if edge.kind is not EdgeKind.RIDGE or edge.open_ft <= 0:
        return ()
    start = min(1.0, edge.finished_ft / edge.length_ft)
    end = min(1.0, (edge.finished_ft + edge.open_ft) / edge.length_ft)
    return ((_at(line, start), _at(line, end)),)


def _at(line: Line, share: float) -> Point:
    return (
        round(line[0][0] + (line[1][0] - line[0][0]) * share, 2),
        round(line[0][1] + (line[1][1] - line[0][1]) * share, 2),
    )


def _moved(point: Point, direction: Point, by: float) -> Point:
    return round(point[0] + direction[0] * by, 2), round(point[1] + direction[1] * by, 2)
