"""What ends or stands at a moment: the dry-in line with its flag, where it stood before, and now."""

from datetime import datetime

from django.utils.translation import gettext as _

from crews.boards.sky_strip import Strip
from roofops.pages.drawing.lettering import text_width
from roofops.pages.strip.axis import Axis
from roofops.pages.strip.labels import Labels
from roofops.pages.strip.shapes import Path, Rect, Shape, Text, polyline
from roofops.pages.strip.sizes import StripSize
from roofops.pages.wording import formats

DRY_IN_PX, CASING_PX, BEFORE_PX, NOW_PX = 4.0, 7.0, 1.4, 1.4
FLAG_PAD_PX, FLAG_TAIL_PX, FLAG_TEXT_MORE_PX = 14.0, 8.0, 0.5


def veil(axis: Axis, size: StripSize, now: datetime) -> list[Shape]:
    """Return the paper veil over what is past."""
    x = axis.inside(now)
    return [Rect(0, size.sky_top, x, size.roof_foot - size.sky_top, "veil")] if x > 0 else []


def now_line(axis: Axis, size: StripSize, now: datetime) -> list[Shape]:
    """Return the now line with its triangle; nothing where now is not on the axis."""
    if not axis.has(now):
        return []
    x = axis.x(now)
    tip = size.sky_top
    triangle = polyline([(x - 6, tip - 8), (x + 6, tip - 8), (x, tip)]) + "Z"
    line = polyline([(x, tip - 2), (x, size.roof_foot)])
    return [Path(line, "line-ink", NOW_PX), Path(triangle, "fill-ink")]


def before_line(axis: Axis, size: StripSize, was: datetime) -> list[Shape]:
    """Return the dashed chalk line where the dry-in limit stood before."""
    if not axis.has(was):
        return []
    x = axis.x(was)
    return [Path(polyline([(x, size.sky_top), (x, size.roof_foot)]), "line-chalk dash", BEFORE_PX)]


def dry_in_line(axis: Axis, size: StripSize, dry_in_by: datetime) -> list[Shape]:
    """Return the one chalk line from the lane to the roof's foot, on a casing of sheet."""
    x = axis.inside(dry_in_by)
    line = polyline([(x, 0), (x, size.roof_foot + 3)])
    return [Path(line, "line-sheet", CASING_PX), Path(line, "line-chalk", DRY_IN_PX)]


def flag(axis: Axis, size: StripSize, strip: Strip, labels: Labels) -> list[Shape]:
    """Return the swallow-tail flag left of the dry-in line; right of it only where it would leave the strip."""
    if strip.dry_in_by is None:
        return []
    words = _("Dry in by %(clock)s") % {"clock": formats.clock(strip.dry_in_by, strip.zone)}
    px = size.text_px + FLAG_TEXT_MORE_PX
    wide = text_width(words, px, bold=True) + 2 * FLAG_PAD_PX
    x, height = axis.inside(strip.dry_in_by), size.lane - 1.5
    side = -1.0 if x - wide >= 0 else 1.0
    pole, tail = x - side * DRY_IN_PX / 2, x + side * wide
    notch = tail - side * FLAG_TAIL_PX
    shape = polyline([(pole, 0), (tail, 0), (notch, height / 2), (tail, height), (pole, height)]) + "Z"
    middle = (pole + notch) / 2
    labels.take(min(pole, tail), 0, max(pole, tail), height)
    return [
        Path(shape, "fill-chalk"),
        Text(middle, height / 2 + px * 0.36, words, px, "middle", bold=True, cls="on-chalk"),
    ]


def lane_words(axis: Axis, size: StripSize, strip: Strip, labels: Labels) -> None:
    """Place 'was 3:30 pm', sunrise and sunset in the lane, each only where it is free."""
    y = size.lane - 6
    if strip.dry_in_was is not None and axis.has(strip.dry_in_was):
        words = _("was %(clock)s") % {"clock": formats.clock(strip.dry_in_was, strip.zone)}
        x = axis.x(strip.dry_in_was)
        labels.place(
            (
                Text(x + 6, y, words, size.text_px, cls="second"),
                Text(x - 6, y, words, size.text_px, "end", cls="second"),
            ),
            on_plate=False,
        )
    if strip.now is not None and axis.has(strip.now):
        labels.take(axis.x(strip.now) - 6, 0, axis.x(strip.now) + 6, size.lane)
    if not size.named:
        return
    for moment, form in ((strip.sunrise, _("sunrise %(clock)s")), (strip.sunset, _("sunset %(clock)s"))):
        if not axis.has(moment):
            continue
        words = form % {"clock": formats.clock_short(moment, strip.zone)}
        x = axis.x(moment)
        labels.place((Text(x + 3, y, words, size.text_px), Text(x - 3, y, words, size.text_px, "end")), on_plate=False)
