"""The labels of the roof: squares of each layer, straight on it where it is high enough, and feet of open ridge."""

from collections.abc import Iterator

from django.utils.translation import gettext as _

from crews.boards.sky_strip import Strip
from roofops.pages.drawing.lettering import text_width
from roofops.pages.strip.axis import Axis
from roofops.pages.strip.labels import Labels
from roofops.pages.strip.roof import LAYERS, areas_at, ridge_gap
from roofops.pages.strip.shapes import Text
from roofops.pages.strip.sizes import StripSize
from roofops.pages.wording import formats

ALL_OF_IT = 0.05  # squares by which a layer may miss the whole roof and still be all of it
END_GAP_PX, NOW_GAP_PX, PLATE_PAD_PX = 32.0, 8.0, 4.0
SAMPLES = 5


def roof_words(axis: Axis, size: StripSize, strip: Strip, labels: Labels) -> None:
    """Write the feet of an open ridge, and each layer's squares at the end of the day and right of now."""
    if strip.ridge_span is not None:
        left, right = ridge_gap(axis, strip)
        words = _("ridge slot %(feet)s") % {"feet": f"{strip.ridge_span[2]:.0f}{formats.NBSP}ft"}
        y = size.roof_top + 17
        labels.place([Text(right + 6, y, words, size.text_px), Text(left - 6, y, words, size.text_px, "end")])
    if not strip.areas or strip.squares <= 0:
        return
    for text in _end_words(axis, size, strip):
        labels.place([text])
    if size.named and strip.now is not None and axis.has(strip.now):
        for text in _now_words(axis, size, strip, axis.x(strip.now) + NOW_GAP_PX):
            labels.place([text])


def _end_words(axis: Axis, size: StripSize, strip: Strip) -> Iterator[Text]:
    whole = _whole_day(axis, strip)
    if not size.named and whole is None:
        return
    end = areas_at(strip.areas, axis.end)
    for layer in LAYERS if whole is None else (whole,):
        words = layer_words(layer, end[layer])
        wide = text_width(words, size.text_px)
        right = axis.width - END_GAP_PX if whole is None else (axis.width + wide) / 2
        y = baseline(axis, size, strip, layer, right - wide, right)
        if y is not None:
            yield Text(right, y, words, size.text_px, "end")


def _now_words(axis: Axis, size: StripSize, strip: Strip, left: float) -> Iterator[Text]:
    now, end = areas_at(strip.areas, axis.moment(left)), areas_at(strip.areas, axis.end)
    for layer in LAYERS:
        if abs(now[layer] - end[layer]) <= ALL_OF_IT:
            continue
        words = layer_words(layer, now[layer])
        y = baseline(axis, size, strip, layer, left, left + text_width(words, size.text_px))
        if y is not None:
            yield Text(left, y, words, size.text_px)


def _whole_day(axis: Axis, strip: Strip) -> str | None:
    """Return the layer that is the whole roof from the first hour to the last."""
    start, end = areas_at(strip.areas, axis.start), areas_at(strip.areas, axis.end)
    return next((layer for layer in LAYERS if min(start[layer], end[layer]) > strip.squares - ALL_OF_IT), None)


def baseline(axis: Axis, size: StripSize, strip: Strip, layer: str, left: float, right: float) -> float | None:
    """Return the baseline at which a label's whole plate lies inside its layer; None where there is no such place."""
    top, foot = size.roof_top, size.roof_foot
    for step in range(SAMPLES):
        x = left - PLATE_PAD_PX + (right - left + 2 * PLATE_PAD_PX) * step / (SAMPLES - 1)
        squares = areas_at(strip.areas, axis.moment(min(max(x, 0.0), axis.width)))
        low = sum(squares[below] for below in LAYERS[: LAYERS.index(layer)]) / strip.squares * size.roof
        high = low + squares[layer] / strip.squares * size.roof
        top, foot = max(top, size.roof_foot - high), min(foot, size.roof_foot - low)
    return (top + foot) / 2 + size.text_px * 0.36 if foot - top >= size.text_px + 3 else None


def layer_words(layer: str, squares: float) -> str:
    """Return `old roof 5.8 sq`."""
    names = {
        "shingled": _("shingled %(squares)s"),
        "dried_in": _("dried-in %(squares)s"),
        "tarped": _("tarped %(squares)s"),
        "bare": _("bare %(squares)s"),
        "old": _("old roof %(squares)s"),
    }
    return names[layer] % {"squares": formats.amount(squares, "sq")}
