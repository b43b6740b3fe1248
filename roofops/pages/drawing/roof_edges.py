"""Edges of a roof in their symbols, in the drawing and as samples in the table beside it."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from jobs.roof_drawing import EdgeLine, edge_sums
from jobs.roof_measure import EdgeKind, Point, RoofMeasure
from roofops.pages.drawing.svg import el, number, picture
from roofops.pages.wording import formats

EAVE_PX, RAKE_PX, RIDGE_PX, RIDGE_INSIDE_PX, HIP_PX, VALLEY_PX, WALL_PX = 6.5, 2.4, 6.5, 2.6, 2.6, 1.4, 4.0
HIP_DASHES = "13 4 2.5 4"
GAP_TICK_PX = 8.0
SAMPLE_WIDTH, SAMPLE_HEIGHT = 26, 14


@dataclass(frozen=True)
class EdgeSample:
    """One row of the table of edges."""

    sample: SafeString
    name: str
    length: str


def edge_shapes(edges: Iterable[EdgeLine]) -> list[SafeString]:
    """Return every edge of a drawing in its symbol."""
    return [shape for edge in edges for shape in _edge(edge)]


def _edge(edge: EdgeLine) -> list[SafeString]:
    path = _line(edge.line)
    marks = "".join(_polyline(mark) for mark in edge.marks)
    if edge.kind is EdgeKind.EAVE:
        return [el("path", d=path, class_="line-ink", stroke_width=EAVE_PX, stroke_linecap="square")]
    if edge.kind is EdgeKind.RAKE:
        return [
            el("path", d=path, class_="line-ink", stroke_width=RAKE_PX),
            el("path", d=marks, class_="line-ink", stroke_width=1.2),
        ]
    if edge.kind is EdgeKind.RIDGE:
        return [*_double(path), *(_gap(gap) for gap in edge.gaps)]
    if edge.kind is EdgeKind.HIP:
        return [
            el("path", d=path, class_="line-sheet", stroke_width=HIP_PX + 2.4),
            el("path", d=path, class_="line-ink", stroke_width=HIP_PX, stroke_dasharray=HIP_DASHES),
        ]
    if edge.kind is EdgeKind.VALLEY:
        return [
            el("path", d=path + marks, class_="line-sheet", stroke_width=5),
            el("path", d=path, class_="line-ink", stroke_width=VALLEY_PX),
            el("path", d=marks, class_="line-ink", stroke_width=2),
        ]
    return [el("path", d=path, class_="line-ink2", stroke_width=WALL_PX, stroke_dasharray="2 3")]


def _double(path: str) -> list[SafeString]:
    return [
        el("path", d=path, class_="line-ink", stroke_width=RIDGE_PX),
        el("path", d=path, class_="line-sheet", stroke_width=RIDGE_INSIDE_PX),
    ]


def _gap(gap: tuple[Point, Point]) -> SafeString:
    """The open slot: two upright ticks, dotted chalk between, the ridge's lines broken."""
    (x1, y1), (x2, y2) = gap
    length = max(1e-6, ((x2 - x1) ** 2 + (y2 - y1) ** 2) ** 0.5)
    nx, ny = -(y2 - y1) / length * GAP_TICK_PX, (x2 - x1) / length * GAP_TICK_PX
    ticks = "".join(
        f"M{number(x - nx)} {number(y - ny)}L{number(x + nx)} {number(y + ny)}" for x, y in ((x1, y1), (x2, y2))
    )
    return el(
        "g",
        el("path", d=_line(gap), class_="line-sheet", stroke_width=RIDGE_PX + 1.5),
        el("path", d=_line(gap), class_="line-chalk dot", stroke_width=2.4),
        el("path", d=ticks, class_="line-ink", stroke_width=2.4),
    )


def edge_samples(roof: RoofMeasure) -> tuple[EdgeSample, ...]:
    """Return the table of edges: a sample of the line, its name, all feet of its kind."""
    return tuple(
        EdgeSample(_sample(total.kind), edge_name(total.kind), f"{total.length_ft:.0f}{formats.NBSP}ft")
        for total in edge_sums(roof)
    )


def edge_name(kind: EdgeKind) -> str:
    """Return a kind of edge in words."""
    words = {
        EdgeKind.EAVE: _("eave"),
        EdgeKind.RAKE: _("rake"),
        EdgeKind.RIDGE: _("ridge"),
        EdgeKind.HIP: _("hip"),
        EdgeKind.VALLEY: _("valley"),
        EdgeKind.WALL: _("wall"),
    }
    return words[kind]


def _sample(kind: EdgeKind) -> SafeString:
    y = SAMPLE_HEIGHT / 2
    marks: tuple[tuple[Point, ...], ...] = ()
    if kind is EdgeKind.RAKE:
        marks = tuple(((x, y), (x, y + 6)) for x in (4.0, 13.0, 22.0))
    if kind is EdgeKind.VALLEY:
        marks = tuple(((x, y - 5), (x + 5, y), (x, y + 5)) for x in (3.0, 13.0))
    line = ((0.0, y), (float(SAMPLE_WIDTH), y))
    return picture(SAMPLE_WIDTH, SAMPLE_HEIGHT, "", *_edge(EdgeLine(0, kind, line, marks)))


def _line(line: tuple[Point, Point]) -> str:
    return _polyline(line)


def _polyline(points: tuple[Point, ...]) -> str:
    return "M" + "L".join(f"{number(x)} {number(y)}" for x, y in points)
