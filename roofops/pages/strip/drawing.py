"""Puts the layers of a strip together, in the order in which they lie on each other, and writes them as SVG."""

from dataclasses import replace
from datetime import datetime

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from crews.boards.key_line import Cause
from crews.boards.sky_strip import Strip
from roofops.pages.drawing.lettering import text_width
from roofops.pages.drawing.svg import el
from roofops.pages.strip import bands, marks, roof, sky, sky_words
from roofops.pages.strip.axis import Axis
from roofops.pages.strip.labels import Labels
from roofops.pages.strip.roof_words import roof_words
from roofops.pages.strip.shapes import Path, Rect, Shape, Text, plate, polyline, write
from roofops.pages.strip.sizes import SIZES, StripSize
from roofops.pages.wording import formats

RULER_HEIGHT, RULER_PX = 24.0, 13.0


def draw(
    strip: Strip, size: str = "row", name: str = "", *, width: float | None = None, named: Cause | None = None
) -> SafeString:
    """Return one strip as SVG.

    Parameters
    ----------
    strip
        What is drawn, as the query made it.
    size
        A key of `roofops.pages.strip.sizes.SIZES`.
    name
        The sentence that names the picture; empty where the same words stand beside it (then it is decoration).
    width
        Another width than the size's [px].
    named
        The cause that the sentence speaks of: its chance of rain is the one that gets a label.
    """
    chosen = SIZES[size] if width is None else replace(SIZES[size], width=width)
    axis = Axis(strip.start, strip.end, chosen.width, strip.zone)
    return _picture(chosen.width, chosen.height, name, write(layers(strip, axis, chosen, named)), "strip")


def layers(strip: Strip, axis: Axis, size: StripSize, named: Cause | None = None) -> list[Shape]:
    """Return all shapes of a strip: ground, night, rules, rain, gust, thunder, ribbon, band, roof, veil, before, now,
    dry-in, labels."""
    labels = Labels(axis.width)
    shapes: list[Shape] = [Rect(0, size.sky_top, axis.width, size.sky, "ground-sheet"), *sky.ground(axis, size, strip)]
    if strip.no_forecast:
        shapes += sky.no_forecast(axis, size)
    else:
        shapes += sky.rain(axis, size, strip.hours)
        shapes += sky.gust(axis, size, strip)
        shapes += sky.thunder(axis, size, strip.hours)
        shapes += sky.ribbon(axis, size, strip.hours)
    shapes += bands.band(axis, size, strip)
    shapes += roof.stack(axis, size, strip)
    shapes += roof.roof_line(axis, size, strip)
    if strip.now is not None:
        shapes += marks.veil(axis, size, strip.now)
    if strip.dry_in_was is not None and strip.dry_in_was != strip.dry_in_by:
        shapes += marks.before_line(axis, size, strip.dry_in_was)
    if strip.now is not None:
        shapes += marks.now_line(axis, size, strip.now)
    if strip.dry_in_by is not None:
        shapes += marks.dry_in_line(axis, size, strip.dry_in_by)
        x = axis.inside(strip.dry_in_by)
        labels.take(x - 4, size.sky_top, x + 4, size.roof_foot)
    shapes += bands.band_words(axis, size, strip)
    shapes += roof.ridge_mark(axis, size, strip)
    shapes += marks.flag(axis, size, strip, labels)
    marks.lane_words(axis, size, strip, labels)
    _sky_labels(strip, axis, size, named, labels)
    roof_words(axis, size, strip, labels)
    shapes += labels.shapes
    if size.axis:
        shapes += _own_axis(axis, size, strip)
    return shapes


def _sky_labels(strip: Strip, axis: Axis, size: StripSize, named: Cause | None, labels: Labels) -> None:
    if strip.no_forecast:
        y = size.sky_top + size.sky / 2 + 4
        choices = [
            Text(axis.width / 2, y, words, size.text_px, "middle", bold=True) for words in _no_forecast_words(strip)
        ]
        labels.place(choices, must=True)
        return
    sky_words.gust_words(axis, size, strip, labels)
    sky_words.rain_words(axis, size, strip, named, labels)
    sky_words.frost_words(axis, size, strip, labels)


def _no_forecast_words(strip: Strip) -> tuple[str, ...]:
    short = _("No usable forecast")
    if strip.no_forecast_hours is None:
        return (_("No usable forecast. None has come yet."), short)
    age = {"age": formats.span(strip.no_forecast_hours)}
    if strip.no_forecast_limit_hours is None:
        return (_("No usable forecast. The last one is %(age)s old.") % age, short)
    both = {**age, "limit": formats.span(strip.no_forecast_limit_hours)}
    return (
        _("No usable forecast. The last one is %(age)s old, the limit is %(limit)s.") % both,
        _("No usable forecast for %(age)s") % age,
        short,
    )


def _own_axis(axis: Axis, size: StripSize, strip: Strip) -> list[Shape]:
    y = size.roof_foot + size.axis - 4
    labels = Labels(axis.width)
    shapes: list[Shape] = []
    if strip.now is not None and axis.has(strip.now):
        words = _("now %(clock)s") % {"clock": formats.clock_short(strip.now, strip.zone)}
        half = text_width(words, size.text_px, bold=True) / 2 + 7
        x = min(max(axis.x(strip.now), half), axis.width - half)
        shapes += _ink_plate(Text(x, y, words, size.text_px, "middle", bold=True, cls="on-ink"))
        labels.take(x - half - 2, y - 12, x + half + 2, y + 4)
    last = len(axis.hours()) - 1
    for index, (moment, words) in enumerate(axis.labels(size.label_hours)):
        x, anchor = axis.x(moment), "middle"
        if index == 0 and x < 12:
            x, anchor = max(x, 1.0), "start"
        elif moment == axis.hours()[last]:
            anchor = "end"
        labels.place([Text(x, y, words, size.text_px, anchor)], on_plate=False)
    return [*shapes, *labels.shapes]


def _ink_plate(text: Text) -> tuple[Shape, ...]:
    rect, text = plate(text, pad=6, cls="fill-ink")
    return (Rect(rect.x, rect.y - 1, rect.width, rect.height + 2, "fill-ink"), text)


def ruler(axis: Axis, now: datetime | None = None, *, every: int = 1) -> SafeString:
    """Return the ruler that the rows of a page share: a tick an hour, labels, and now on an ink plate.

    The first and last label stand half outside the axis; the picture is not clipped.
    """
    ticks = "".join(polyline([(axis.x(hour), RULER_HEIGHT - 5), (axis.x(hour), RULER_HEIGHT)]) for hour in axis.hours())
    shapes: list[Shape] = [Path(ticks, "line-edge", 1.4)]
    taken: tuple[float, float] | None = None
    if now is not None and axis.has(now):
        words = _("now %(clock)s") % {"clock": formats.clock(now, axis.zone)}
        text = Text(axis.x(now), 16.5, words, RULER_PX, "middle", bold=True, cls="on-ink")
        shapes += _ink_plate(text)
        taken = (text.left - 9, text.right + 9)
    for moment, words in axis.labels(every):
        text = Text(axis.x(moment), 15.5, words, RULER_PX, "middle")
        if taken is None or text.right < taken[0] or text.left > taken[1]:
            shapes.append(text)
    return _picture(axis.width, RULER_HEIGHT, "", write(shapes), "ruler")


def _picture(width: float, height: float, name: str, content: SafeString, cls: str) -> SafeString:
    words: dict[str, object] = {"role": "img", "aria_label": name} if name else {"aria_hidden": "true"}
    return el("svg", content, width=float(width), height=float(height), class_=cls, focusable="false", **words)
