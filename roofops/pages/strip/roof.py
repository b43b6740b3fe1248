"""The lower half of the strip: the roof's areas stacked from the eave up, the roof line and its gap."""

from collections.abc import Sequence
from datetime import datetime

from crews.boards.sky_strip import AreaPoint, Strip
from roofops.pages.strip.axis import Axis
from roofops.pages.strip.shapes import Path, Point, Rect, Shape, polyline
from roofops.pages.strip.sizes import StripSize

# From the eave up.
LAYERS = ("shingled", "dried_in", "tarped", "bare", "old")
PATTERN = {"shingled": "shingled", "dried_in": "dried", "tarped": "tarp", "bare": "bare", "old": "old"}
OUTLINE_PX, BARE_OUTLINE_PX, ROOF_LINE_PX, TICK_PX = 1.0, 1.4, 2.4, 2.4
GAP_MIN_PX = 16.0
NOTHING_SQUARES = 0.005


def areas_at(areas: Sequence[AreaPoint], moment: datetime) -> dict[str, float]:
    """Return the squares of each layer at a moment: straight lines between break points, flat outside them.

    Of two break points at the same moment the later one counts from there on.
    """
    if not areas:
        return dict.fromkeys(LAYERS, 0.0)
    before, after = areas[0], areas[-1]
    for point in areas:
        if point.at <= moment:
            before = point
        else:
            after = point
            break
    if after.at <= before.at or moment <= before.at:
        return {layer: getattr(before, layer) for layer in LAYERS}
    part = (moment - before.at) / (after.at - before.at)
    part = min(part, 1.0)
    return {layer: getattr(before, layer) + part * (getattr(after, layer) - getattr(before, layer)) for layer in LAYERS}


def layer_edges(axis: Axis, size: StripSize, strip: Strip) -> list[tuple[float, tuple[float, ...]]]:
    """Return at each break of the axis its x and the heights [px from the eave] of the tops of all layers."""
    total = strip.squares
    if total <= 0 or not strip.areas:
        return []
    inside = [point for point in strip.areas if axis.start < point.at < axis.end]
    columns = [(0.0, areas_at(strip.areas, axis.start))]
    columns += [(axis.x(p.at), {layer: getattr(p, layer) for layer in LAYERS}) for p in inside]
    columns.append((axis.width, areas_at(strip.areas, axis.end)))
    edges = []
    for x, squares in columns:
        height, tops = 0.0, []
        for layer in LAYERS:
            height += max(squares[layer], 0.0) / total * size.roof
            tops.append(min(height, size.roof))
        edges.append((x, tuple(tops)))
    return edges


def stack(axis: Axis, size: StripSize, strip: Strip) -> list[Shape]:
    """Return the stacked areas with their outlines; a layer that is never there is left out."""
    edges = layer_edges(axis, size, strip)
    shapes: list[Shape] = []
    bare: list[Shape] = []
    for index, layer in enumerate(LAYERS):
        if max((getattr(p, layer) for p in strip.areas), default=0.0) <= NOTHING_SQUARES:
            continue
        for piece in _pieces(edges, index):
            top: list[Point] = [(x, size.roof_foot - high) for x, _low, high in piece]
            foot: list[Point] = [(x, size.roof_foot - low) for x, low, _high in reversed(piece)]
            data = polyline([*top, *foot]) + "Z"
            width = BARE_OUTLINE_PX if layer == "bare" else OUTLINE_PX
            drawn: list[Shape] = [Path(data, pattern=PATTERN[layer]), Path(data, "line-ink round", width)]
            (bare if layer == "bare" else shapes).extend(drawn)
    frame = polyline(
        [(0, size.roof_top), (0, size.roof_foot), (axis.width, size.roof_foot), (axis.width, size.roof_top)]
    )
    return [*shapes, *bare, Path(frame, "line-ink", OUTLINE_PX)]


def _pieces(edges: Sequence[tuple[float, tuple[float, ...]]], index: int) -> list[list[tuple[float, float, float]]]:
    """Cut a layer where it has no height, so that no outline runs along an area that is not there."""
    pieces: list[list[tuple[float, float, float]]] = []
    current: list[tuple[float, float, float]] = []
    columns = [(x, tops[index - 1] if index else 0.0, tops[index]) for x, tops in edges]
    for number, (x, low, high) in enumerate(columns):
        here = high - low > 0.05
        next_here = number + 1 < len(columns) and columns[number + 1][2] - columns[number + 1][1] > 0.05
        if here or next_here or current:
            current.append((x, low, high))
        if current and not next_here and not here:
            pieces.append(current)
            current = []
    if current:
        pieces.append(current)
    return pieces


def roof_line(axis: Axis, size: StripSize, strip: Strip) -> list[Shape]:
    """Return the roof line, broken over an open ridge."""
    y = size.roof_top
    if strip.ridge_span is None:
        return [Path(polyline([(0, y), (axis.width, y)]), "line-ink", ROOF_LINE_PX)]
    left, right = ridge_gap(axis, strip)
    return [Path(polyline([(0, y), (left, y)]) + polyline([(right, y), (axis.width, y)]), "line-ink", ROOF_LINE_PX)]


def ridge_mark(axis: Axis, size: StripSize, strip: Strip) -> list[Shape]:
    """Return the gap mark of an open ridge: two upright ticks and a dotted chalk line between; over all but labels."""
    if strip.ridge_span is None:
        return []
    y = size.roof_top
    left, right = ridge_gap(axis, strip)
    ticks = polyline([(left, y - 6), (left, y + 6)]) + polyline([(right, y - 6), (right, y + 6)])
    return [
        Rect(left, y - 3, right - left, 6, "ground-sheet"),
        Path(ticks, "line-ink", TICK_PX),
        Path(polyline([(left + 4, y), (right - 2, y)]), "line-chalk dot", 2.4),
    ]


def ridge_gap(axis: Axis, strip: Strip) -> tuple[float, float]:
    """Return the left and right end of the open-ridge gap [px]; wide enough to be seen.

    Raises ValueError where the strip has no open ridge.
    """
    if strip.ridge_span is None:
        raise ValueError("This strip has no open ridge.")
    left, right = axis.inside(strip.ridge_span[0]), axis.inside(strip.ridge_span[1])
    if right - left < GAP_MIN_PX:
        right = min(left + GAP_MIN_PX, axis.width)
        left = right - GAP_MIN_PX
    return left, right
