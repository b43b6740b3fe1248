"""The upper half of the strip: night, hour rules, rain, gust, thunder, or the plain word that there is no forecast."""

from collections.abc import Sequence
from datetime import datetime, timedelta
from itertools import pairwise

from crews.boards.sky_strip import SkyHour, Strip
from roofops.pages.strip.axis import Axis
from roofops.pages.strip.shapes import Path, Point, Rect, Shape, polyline
from roofops.pages.strip.sizes import StripSize

HOUR = timedelta(hours=1)
GUST_TOP_MPH = 45.0
RAIN_EDGE_PX, STROKE_PX, GUST_PX, GUST_CASING_PX, GUST_OVER_PX = 1.6, 1.7, 1.3, 4.0, 3.0
# Rain of an hour [in] below which so many strokes are drawn; at or above the last one STROKES_MOST.
STROKES_BELOW_IN = ((0.03, 2), (0.1, 4))
STROKES_MOST = 6
# Uneven lengths as shares of the step's depth, always shorter than the step.
STROKE_LENGTHS = (0.62, 0.84, 0.5, 0.9, 0.7, 0.78)


def ground(axis: Axis, size: StripSize, strip: Strip) -> list[Shape]:
    """Return night and hour rules; drawn with and without a forecast."""
    shapes: list[Shape] = []
    rise, fall = axis.inside(strip.sunrise), axis.inside(strip.sunset)
    for left, right in ((0.0, rise), (fall, axis.width)):
        if right > left:
            shapes.append(Rect(left, size.sky_top, right - left, size.sky, "fill-night"))
    rules = "".join(
        polyline([(axis.x(hour), size.sky_top), (axis.x(hour), size.sky_floor)])
        for hour in axis.hours()
        if 0 < axis.x(hour) < axis.width
    )
    floor = polyline([(0, size.sky_floor), (axis.width, size.sky_floor)])
    return [*shapes, Path(rules + floor, "line-rule", 1)]


def no_forecast(axis: Axis, size: StripSize) -> list[Shape]:
    """Return sparse dashes over sky and ribbon: never old values, never a dry sky."""
    return [Rect(0, size.sky_top, axis.width, size.sky + size.ribbon, pattern="no-sky")]


def rain_depth(chance: float, size: StripSize) -> float:
    """Return how far a chance of rain [0-1] hangs down [px]: its share of the sky's height."""
    return min(max(chance, 0.0), 1.0) * size.sky


def rain(axis: Axis, size: StripSize, hours: Sequence[SkyHour]) -> list[Shape]:
    """Return the steps of the chance with the strokes of the amount inside; unknown hours get dashes, not nothing."""
    shapes: list[Shape] = []
    for run in _known_runs(hours):
        edge = _steps(axis, size, run)
        left, right = edge[0][0], edge[-1][0]
        area = polyline([(left, size.sky_top), *edge, (right, size.sky_top)]) + "Z"
        shapes.append(Path(area, "ground-rain"))
        strokes = "".join(_strokes(axis, size, hour) for hour in run)
        if strokes:
            shapes.append(Path(strokes, "line-rain", STROKE_PX))
        shapes.append(Path(polyline(edge), "line-rain", RAIN_EDGE_PX))
    for hour in hours:
        if hour.rain_chance is None:
            left, right = axis.inside(hour.start), axis.inside(hour.start + HOUR)
            shapes.append(Rect(left, size.sky_top, right - left, size.sky, pattern="no-sky"))
    return shapes


def _known_runs(hours: Sequence[SkyHour]) -> list[list[SkyHour]]:
    runs: list[list[SkyHour]] = []
    last: SkyHour | None = None
    for hour in hours:
        if hour.rain_chance is None:
            last = None
            continue
        if last is None or last.start + HOUR != hour.start:
            runs.append([])
        runs[-1].append(hour)
        last = hour
    return runs


def _steps(axis: Axis, size: StripSize, hours: Sequence[SkyHour]) -> list[Point]:
    points: list[Point] = []
    for hour in hours:
        y = size.sky_top + rain_depth(hour.rain_chance or 0.0, size)
        points += [(axis.inside(hour.start), y), (axis.inside(hour.start + HOUR), y)]
    return points


def stroke_count(rain_in: float | None, share: float) -> int:
    """Return how many strokes stand for an hour's rain [in]; none for no rain and for an unknown amount."""
    if not rain_in or rain_in <= 0:
        return 0
    count = next((n for below, n in STROKES_BELOW_IN if rain_in < below), STROKES_MOST)
    return max(1, round(count * share))


def _strokes(axis: Axis, size: StripSize, hour: SkyHour) -> str:
    depth = rain_depth(hour.rain_chance or 0.0, size)
    count = stroke_count(hour.rain_in, size.stroke_share)
    start, width = axis.x(hour.start), axis.hour_px
    data = ""
    for index in range(count):
        x = start + (index + 0.5) / count * width
        length = depth * STROKE_LENGTHS[(index + int(hour.start.timestamp() // 3600)) % len(STROKE_LENGTHS)]
        if 0 <= x <= axis.width and length >= 2:
            data += polyline([(x, size.sky_top), (x, size.sky_top + length)])
    return data


def gust_y(mph: float, size: StripSize) -> float:
    """Return the height of a gust [mph]: 0 at the sky's floor, 45 and more at its top [px]."""
    return size.sky_floor - min(max(mph, 0.0), GUST_TOP_MPH) / GUST_TOP_MPH * size.sky


def gust_points(axis: Axis, size: StripSize, hours: Sequence[SkyHour]) -> list[list[Point]]:
    """Return the gust line through the middle of each hour, broken where an hour is unknown."""
    runs: list[list[Point]] = []
    last: datetime | None = None
    for hour in hours:
        if hour.gust_mph is None:
            last = None
            continue
        middle = axis.x(hour.start + HOUR / 2)
        if last is None or last + HOUR != hour.start:
            runs.append([(axis.inside(hour.start), gust_y(hour.gust_mph, size))])
        runs[-1].append((min(max(middle, 0.0), axis.width), gust_y(hour.gust_mph, size)))
        last = hour.start
    return [[*run, (min(run[-1][0] + axis.hour_px / 2, axis.width), run[-1][1])] for run in runs]


def gust(axis: Axis, size: StripSize, strip: Strip) -> list[Shape]:
    """Return the gust line with its casing, the limit that bites dotted, and the hatch where gusts pass it."""
    shapes: list[Shape] = []
    runs = gust_points(axis, size, strip.hours)
    if not runs:
        return shapes
    if strip.gust_limit_mph is not None:
        limit_y = gust_y(strip.gust_limit_mph, size)
        shapes.append(Path(polyline([(0, limit_y), (axis.width, limit_y)]), "line-chalk dot", 1.3))
    for run in runs:
        shapes.append(Path(polyline(run), "line-sheet round", GUST_CASING_PX))
        shapes.append(Path(polyline(run), "line-ink round", GUST_PX))
        if strip.gust_limit_mph is not None:
            for part in parts_above(run, gust_y(strip.gust_limit_mph, size)):
                limit_y = gust_y(strip.gust_limit_mph, size)
                hatch = polyline([(part[0][0], limit_y), *part, (part[-1][0], limit_y)]) + "Z"
                shapes.append(Path(hatch, pattern="over-line"))
                shapes.append(Path(polyline(part), "line-ink round", GUST_OVER_PX))
    return shapes


def parts_above(run: Sequence[Point], limit_y: float) -> list[list[Point]]:
    """Return the pieces of a line that lie above a height on the screen (smaller y), cut where they cross it."""
    parts: list[list[Point]] = []
    inside = False
    for (x0, y0), (x1, y1) in pairwise(run):
        above0, above1 = y0 < limit_y, y1 < limit_y
        crossing = (x0 + (limit_y - y0) / (y1 - y0) * (x1 - x0), limit_y) if above0 != above1 else None
        if above0 and not inside:
            parts.append([(x0, y0)])
        if crossing and above1:
            parts.append([crossing])
        if above1:
            parts[-1].append((x1, y1))
        elif crossing:
            parts[-1].append(crossing)
        inside = above1
    return parts


def thunder(axis: Axis, size: StripSize, hours: Sequence[SkyHour]) -> list[Shape]:
    """Return one bolt in the middle of each flagged hour."""
    shapes: list[Shape] = []
    y = size.sky_top + size.sky * 0.5
    for hour in hours:
        if not hour.thunder or not axis.has(hour.start + HOUR / 2):
            continue
        x = axis.x(hour.start + HOUR / 2)
        bolt = polyline([(x + 2, y - 8), (x - 5, y + 2), (x, y + 2), (x - 2, y + 9), (x + 5, y - 2), (x, y - 2)]) + "Z"
        shapes += [Path(bolt, "line-sheet round", 4), Path(bolt, "fill-ink")]
    return shapes


def ribbon(axis: Axis, size: StripSize, hours: Sequence[SkyHour]) -> list[Shape]:
    """Return the frost and heat spans of the temperature ribbon."""
    shapes: list[Shape] = []
    for pattern in ("frost", "heat"):
        for start, end in flagged_spans(hours, pattern):
            left, right = axis.inside(start), axis.inside(end)
            if right > left:
                shapes.append(Rect(left, size.sky_floor, right - left, size.ribbon, pattern=pattern))
    return shapes


def flagged_spans(hours: Sequence[SkyHour], flag: str) -> list[tuple[datetime, datetime]]:
    """Return the spans of consecutive hours that carry a flag (frost, heat, thunder, wet, dark)."""
    spans: list[tuple[datetime, datetime]] = []
    for hour in hours:
        if not getattr(hour, flag):
            continue
        if spans and spans[-1][1] == hour.start:
            spans[-1] = (spans[-1][0], hour.start + HOUR)
        else:
            spans.append((hour.start, hour.start + HOUR))
    return spans
