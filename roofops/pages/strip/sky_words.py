"""The labels of sky and roof: chance of rain, gust peak and limit, frost, squares, feet of open ridge."""

from collections.abc import Iterator
from datetime import datetime, timedelta

from django.utils.translation import gettext as _

from crews.key_line import Cause
from crews.sky_strip import SkyHour, Strip
from roofops.pages import formats
from roofops.pages.strip.axis import Axis
from roofops.pages.strip.labels import Labels
from roofops.pages.strip.roof import LAYERS, areas_at, ridge_gap
from roofops.pages.strip.shapes import Text
from roofops.pages.strip.sizes import StripSize
from roofops.pages.strip.sky import GUST_TOP_MPH, HOUR, flagged_spans, gust_y, rain_depth

RAIN_WORTH_A_LABEL = 0.2


def rain_words(axis: Axis, size: StripSize, strip: Strip, named: Cause | None, labels: Labels) -> None:
    """Write the chance of rain that the sentence names, else the day's highest, below its step."""
    hour = _hour_of_the_sentence(strip, named) or _wettest(strip)
    if hour is None or hour.rain_chance is None:
        return
    words = formats.share(hour.rain_chance)
    x = axis.inside(hour.start) + axis.hour_px / 2
    below = size.sky_top + rain_depth(hour.rain_chance, size) + size.text_px + 2
    y = min(below, size.sky_floor - 3)
    choices = [
        Text(x + dx * axis.hour_px, y, words, size.text_px, "middle", bold=True, cls="rain") for dx in (0, 1, -1)
    ]
    labels.place(choices)


def _hour_of_the_sentence(strip: Strip, named: Cause | None) -> SkyHour | None:
    """Return the first hour with the very chance that the sentence names, else the hour in which its rain begins."""
    if named is None or named.code != "rain" or named.start is None:
        return None
    start, end = named.start, named.end or strip.end
    hours = [h for h in strip.hours if h.start + HOUR > start and h.start < end and h.rain_chance is not None]
    if named.value is not None:
        words = formats.share(named.value)
        for hour in hours:
            if hour.rain_chance is not None and formats.share(hour.rain_chance) == words:
                return hour
    return hours[0] if hours else None


def _wettest(strip: Strip) -> SkyHour | None:
    known = [h for h in strip.hours if (h.rain_chance or 0) >= RAIN_WORTH_A_LABEL]
    return max(known, key=lambda h: h.rain_chance or 0, default=None)


def gust_words(axis: Axis, size: StripSize, strip: Strip, labels: Labels) -> None:
    """Label the peak where it passes the limit (with the limit) or where the strip names everything."""
    known = [hour for hour in strip.hours if hour.gust_mph is not None and axis.has(hour.start + HOUR / 2)]
    peak = max(known, key=lambda hour: hour.gust_mph or 0, default=None)
    if peak is None or peak.gust_mph is None:
        return
    over = strip.gust_limit_mph is not None and peak.gust_mph > strip.gust_limit_mph
    if not over and not size.named:
        return
    x, y = axis.x(peak.start + HOUR / 2), gust_y(peak.gust_mph, size)
    words = formats.mph(peak.gust_mph)
    labels.place(
        [Text(x, at, words, size.text_px, "middle", bold=True) for at in (max(y + 5, size.sky_top + 12), y + 18, y - 6)]
    )
    if over and strip.gust_limit_mph is not None:
        above = [h for h in known if (h.gust_mph or 0) > strip.gust_limit_mph]
        first, last = axis.x(above[0].start), axis.x(above[-1].start + HOUR)
        limit = _("gust limit %(mph)s") % {"mph": formats.figure(strip.gust_limit_mph)}
        limit_y = gust_y(min(strip.gust_limit_mph, GUST_TOP_MPH), size)
        labels.place(
            [
                Text(x, at, limit, size.text_px, anchor, cls="chalk")
                for x, anchor in ((last + 8, "start"), (first - 8, "end"), (last - 8, "end"), (first + 8, "start"))
                for at in (limit_y - 4, limit_y + 14)
            ]
        )


def frost_words(axis: Axis, size: StripSize, strip: Strip, labels: Labels) -> None:
    """Say until when frost lies, above the ribbon."""
    for start, end in flagged_spans(strip.hours, "frost"):
        if axis.inside(end) <= axis.inside(start):
            continue
        words = _("frost to %(clock)s") % {"clock": formats.clock(end, strip.zone)}
        y = size.sky_floor - 4
        labels.place(
            [Text(axis.inside(end) + 12, y, words, size.text_px), Text(axis.inside(start) + 8, y, words, size.text_px)]
        )


def roof_words(axis: Axis, size: StripSize, strip: Strip, labels: Labels) -> None:
    """Write each layer's squares on it, at the end of the day and right of now, where it is high enough."""
    if strip.ridge_span is not None:
        left, right = ridge_gap(axis, strip)
        words = _("ridge slot %(feet)s ft") % {"feet": f"{strip.ridge_span[2]:.0f}"}
        words = words.replace(" ft", f"{formats.NBSP}ft")
        y = size.roof_top + 17
        labels.place([Text(right + 6, y, words, size.text_px), Text(left - 6, y, words, size.text_px, "end")])
    if not strip.areas or strip.squares <= 0:
        return
    for text in _end_words(axis, size, strip):
        labels.place([text])
    if size.named and strip.now is not None and axis.has(strip.now):
        for text in _now_words(axis, size, strip):
            labels.place([text])


def _end_words(axis: Axis, size: StripSize, strip: Strip) -> Iterator[Text]:
    single = [layer for layer in LAYERS if areas_at(strip.areas, axis.end)[layer] > strip.squares - 0.05]
    if not size.named and not (single and areas_at(strip.areas, axis.start)[single[0]] > strip.squares - 0.05):
        return
    for layer, squares, middle in _layers(size, strip, axis.end):
        if single:
            yield Text(axis.width / 2, middle, _layer_words(layer, squares), size.text_px, "middle")
        else:
            yield Text(axis.width - 32, middle, _layer_words(layer, squares), size.text_px, "end")


def _now_words(axis: Axis, size: StripSize, strip: Strip) -> Iterator[Text]:
    if strip.now is None:
        return
    at_end = areas_at(strip.areas, axis.end)
    # The label is as wide as about an hour and a half; its layer must be high enough there too.
    soon = {layer: y for layer, _sq, y in _layers(size, strip, strip.now + timedelta(minutes=75))}
    for layer, squares, middle in _layers(size, strip, strip.now):
        if layer in soon and abs(squares - at_end[layer]) > 0.05 and abs(soon[layer] - middle) < 4:
            yield Text(axis.x(strip.now) + 8, middle, _layer_words(layer, squares), size.text_px)


def _layers(size: StripSize, strip: Strip, moment: datetime) -> Iterator[tuple[str, float, float]]:
    """Yield each layer that is high enough for a label: its name, squares, and the baseline in its middle."""
    squares = areas_at(strip.areas, moment)
    height = 0.0
    for layer in LAYERS:
        high = squares[layer] / strip.squares * size.roof
        if high >= size.text_px + 3:
            yield layer, squares[layer], size.roof_foot - height - high / 2 + size.text_px * 0.36
        height += high


def _layer_words(layer: str, squares: float) -> str:
    names = {
        "shingled": _("shingled %(squares)s"),
        "dried_in": _("dried-in %(squares)s"),
        "tarped": _("tarped %(squares)s"),
        "bare": _("bare %(squares)s"),
        "old": _("old roof %(squares)s"),
    }
    return names[layer] % {"squares": formats.amount(squares, "sq")}
