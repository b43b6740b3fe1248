"""The small sky over one day of the plan: chance of rain as steps from the top, strokes for the amount."""

from datetime import datetime, timedelta

from django.utils.safestring import SafeString

from crews.boards.plan import PlanDay
from crews.boards.sky_strip import SkyHour
from roofops.pages.drawing.day_scale import Column
from roofops.pages.drawing.svg import el, number, picture

HEIGHT = 48
FULL_CHANCE_PX = 44.0
# Strokes in one hour by inches of rain in it, half of the large strip's because the columns are small.
STROKES_UP_TO_IN = ((0.0, 0), (0.03, 1), (0.1, 2))
MOST_STROKES = 3


def strokes_in(rain_in: float | None) -> int:
    """Return how many strokes an hour's rain gets; unknown gets none, as only the chance is drawn then."""
    if rain_in is None or rain_in <= 0:
        return 0
    for limit, count in STROKES_UP_TO_IN[1:]:
        if rain_in < limit:
            return count
    return MOST_STROKES


def steps_path(hours: tuple[SkyHour, ...], xs: list[tuple[float, float]], full_px: float) -> tuple[str, str]:
    """Return the ground (closed) and the lower edge (open) of the rain steps; unknown hours are left out."""
    ground: list[str] = []
    edge: list[str] = []
    for hour, (x1, x2) in zip(hours, xs, strict=True):
        if hour.rain_chance is None:
            continue
        depth = number(hour.rain_chance * full_px)
        ground.append(f"M{number(x1)} 0V{depth}H{number(x2)}V0z")
        edge.append(f"{'L' if edge else 'M'}{number(x1)} {depth}H{number(x2)}")
    return "".join(ground), "".join(edge)


def day_sky(day: PlanDay, column: Column, now: datetime) -> SafeString:
    """Return the sky of one day; dashes where the forecast does not reach."""
    width = column.width
    start, end = column.start, column.end
    parts: list[SafeString] = []
    if not day.workday:
        parts.append(el("rect", width=width, height=HEIGHT, class_="fill-paper"))
    if day.typical or not day.hours:
        parts.append(el("rect", y=4, width=width, height=HEIGHT - 4, fill="url(#p-unknown)", class_="faint"))
    else:
        parts += _rain(day, start, end, width)
    if start <= now < end:
        x = (now - start) / (end - start) * width
        parts.append(el("path", d=f"M{x - 5:.1f} 0h10l-5 8z", class_="fill-ink"))
        parts.append(el("line", x1=x, x2=x, y1=0, y2=HEIGHT, class_="line-ink", stroke_width=1.4))
    return picture(width, HEIGHT, "", *parts, class_="day-sky")


def _rain(day: PlanDay, start: datetime, end: datetime, width: float) -> list[SafeString]:
    span = end - start
    hours = tuple(hour for hour in day.hours if start - timedelta(hours=1) < hour.start < end)

    def x(moment: datetime) -> float:
        return max(0.0, min(1.0, (moment - start) / span)) * width

    xs = [(x(hour.start), x(hour.start + timedelta(hours=1))) for hour in hours]
    ground, edge = steps_path(hours, xs, FULL_CHANCE_PX)
    parts = [
        el("path", d=f"M{number(x1)} 4h{number(x2 - x1)}v{HEIGHT - 4}h-{number(x2 - x1)}z", fill="url(#p-unknown)")
        for hour, (x1, x2) in zip(hours, xs, strict=True)
        if hour.rain_chance is None
    ]
    parts += [el("path", d=ground, class_="ground-rain"), el("path", d=edge, class_="line-rain", stroke_width=1.6)]
    strokes = []
    for hour, (x1, x2) in zip(hours, xs, strict=True):
        count = strokes_in(hour.rain_in)
        depth = (hour.rain_chance or 0) * FULL_CHANCE_PX
        for i in range(count):
            length = depth * (0.8 if i % 2 == 0 else 0.55)
            if length >= 3:
                strokes.append(f"M{number(x1 + (i + 0.5) * (x2 - x1) / count)} 0v{number(length)}")
    parts.append(el("path", d="".join(strokes), class_="line-rain", stroke_width=1.2))
    return parts
