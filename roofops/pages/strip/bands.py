"""The verdict band: what may be done when, each kind with its pattern and, where it fits, its word."""

from dataclasses import dataclass
from datetime import datetime

from django.utils.translation import gettext as _

from crews.boards.sky_strip import Strip
from roofops.pages.drawing.lettering import text_width
from roofops.pages.strip.axis import Axis
from roofops.pages.strip.shapes import Path, Rect, Shape, Text, plate, polyline
from roofops.pages.strip.sizes import StripSize
from roofops.pages.wording import formats

PAD_PX = 4.0


@dataclass(frozen=True)
class Span:
    """Neighbouring bands of one kind, with all their causes."""

    start: datetime
    end: datetime
    kind: str
    codes: tuple[str, ...]


def cause_word(code: str) -> str:
    """Return the one word of a cause, translated; empty where the band needs none."""
    words = {
        "rain": _("rain"),
        "wet": _("wet"),
        "thunder": _("thunder"),
        "gust": _("gusts"),
        "wind": _("wind"),
        "frost": _("frost"),
        "dew": _("dew"),
        "cold": _("cold"),
        "snow": _("snow"),
        "alert": _("warning"),
    }
    return words.get(code, "")


def spans(strip: Strip) -> tuple[Span, ...]:
    """Return the bands with equal neighbours joined; the dark has none: the night above says it."""
    joined: list[Span] = []
    for band in sorted(strip.bands, key=lambda b: b.start):
        if band.code == "dark":
            continue
        codes = (band.code,) if band.code else ()
        last = joined[-1] if joined else None
        if last and last.kind == band.kind and last.end == band.start:
            kept = last.codes + tuple(code for code in codes if code not in last.codes)
            joined[-1] = Span(last.start, band.end, band.kind, kept)
        else:
            joined.append(Span(band.start, band.end, band.kind, codes))
    return tuple(joined)


def words_for(span: Span, zone: str) -> tuple[str, ...]:
    """Return the words of a span from the longest to the shortest; the first that fits is written."""
    if span.kind == "tear_off":
        return (_("OK to tear off"), _("tear-off"), _("OK"))
    if span.kind == "no_tear_off":
        return (_("no tear-off, shingle only"), _("shingle only"), _("shingle"))
    if span.kind == "unknown":
        return (_("unknown, keep it closed"), _("unknown"), "?")
    causes = [word for word in map(cause_word, span.codes) if word]
    times = {"start": formats.clock(span.start, zone), "end": formats.clock(span.end, zone)}
    off = [_("off the roof %(start)s to %(end)s") % times, _("off the roof"), _("off")]
    if causes and len(causes) <= 2:
        why = _("%(one)s and %(other)s") % {"one": causes[0], "other": causes[1]} if len(causes) == 2 else causes[0]
        off[0:0] = [_("off the roof, %(cause)s") % {"cause": why}]
        off[2:2] = [_("off, %(cause)s") % {"cause": why}]
    return tuple(off)


def band(axis: Axis, size: StripSize, strip: Strip) -> list[Shape]:
    """Return the ground and the pattern of each span, without words."""
    shapes: list[Shape] = [Rect(0, size.band_top, axis.width, size.band, "ground-paper")]
    for span in spans(strip):
        left, right = axis.inside(span.start), axis.inside(span.end)
        if right - left <= 0:
            continue
        if span.kind == "unknown":
            shapes.append(Rect(left, size.band_top, right - left, size.band, "ground-sheet"))
        shapes.append(Rect(left, size.band_top, right - left, size.band, pattern=span.kind))
        outline = {"tear_off": "line-moss", "no_tear_off": "line-slate", "unknown": "line-unk dash"}.get(span.kind)
        if outline:
            box = [
                (left, size.band_top + 0.5),
                (right, size.band_top + 0.5),
                (right, size.band_top + size.band),
                (left, size.band_top + size.band),
            ]
            shapes.append(Path(polyline(box) + "Z", outline, 1))
    return shapes


def band_words(axis: Axis, size: StripSize, strip: Strip) -> list[Shape]:
    """Return the words; right of now where the span holds now, none where none fits."""
    shapes: list[Shape] = []
    for span in spans(strip):
        left, right = axis.inside(span.start), axis.inside(span.end)
        for mark in (strip.now, strip.dry_in_by):
            # A word never runs through the now line or the dry-in line: it takes the wider side of it.
            if mark is not None and left < axis.x(mark) < right:
                x = axis.x(mark)
                prefer_right = mark is strip.now or right - x >= x - left
                left, right = (x + 2, right) if prefer_right else (left, x - 2)
        text = _fitting(words_for(span, strip.zone), right - left, size)
        if text is None:
            continue
        y = size.band_top + size.band - 3.5
        solid = span.kind == "stay_off"
        line = Text((left + right) / 2, y, text, size.text_px, "middle", bold=True, cls="on-chalk" if solid else "")
        if solid:
            shapes.append(line)
        else:
            rect, line = plate(line)
            shapes += [Rect(rect.x, size.band_top + 1, rect.width, size.band - 1, "ground-sheet"), line]
    return shapes


def _fitting(words: tuple[str, ...], room: float, size: StripSize) -> str | None:
    for word in words:
        if text_width(word, size.text_px, bold=True) + 2 * PAD_PX <= room:
            return word
    return None
