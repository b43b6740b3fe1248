"""One load on the day's axis: when it may come, by when it is needed, its slot, and where the slot should go."""

from datetime import date, datetime, timedelta

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from crews.boards.delivery import DeliveryBoard, LoadRow
from roofops.pages.drawing.day_sky import steps_path, strokes_in
from roofops.pages.drawing.lettering import text_width
from roofops.pages.drawing.svg import el, joined, label, picture
from roofops.pages.strip.axis import Axis
from roofops.pages.wording import formats

HEIGHT, SKY_HEIGHT = 108, 46
TOP, BOTTOM = 36.0, 70.0  # of the brackets
LABEL_ABOVE, LABEL_BELOW = 26.0, 89.0
TEXT_PX = 13.0
SLOT_MIN_PX = 26.0


def ruler(axis: Axis, zone: str, now: datetime) -> SafeString:
    """Return the shared ruler with its hours in words and the mark of now."""
    parts = []
    hours = axis.hours()
    for i, hour in enumerate(hours):
        at_end = i in (0, len(hours) - 1)
        x = axis.inside(hour)
        parts.append(
            label(x, 16, formats.hour_label(formats.local(hour, zone), with_half=at_end), TEXT_PX, "", "middle")
        )
        parts.append(el("line", x1=x, x2=x, y1=22, y2=28, class_="line-edge", stroke_width=1))
    if axis.start <= now < axis.end:
        x = axis.inside(now)
        parts.append(el("path", d=f"M{x - 5.5:.1f} 20h11l-5.5 8z", class_="fill-ink"))
    return el(
        "svg",
        *parts,
        width=axis.width + 60,
        height=28,
        viewBox=f"-30 0 {axis.width + 60:.0f} 28",
        class_="ruler",
        aria_hidden="true",
        focusable="false",
    )


def yard_sky(board: DeliveryBoard, axis: Axis) -> SafeString:
    """Return the sky over the yard: chance of rain from the top, strokes for the amount, night."""
    parts: list[SafeString] = []
    for start, end in ((axis.start, board.sunrise), (board.sunset, axis.end)):
        x1, x2 = axis.inside(start), axis.inside(end)
        if x2 > x1:
            parts.append(el("rect", x=x1, width=x2 - x1, height=SKY_HEIGHT, class_="fill-night"))
    hours = tuple(h for h in board.hours if axis.start - timedelta(hours=1) < h.start < axis.end)
    xs = [(axis.inside(h.start), axis.inside(h.start + timedelta(hours=1))) for h in hours]
    ground, edge = steps_path(hours, xs, SKY_HEIGHT - 6.0)
    unknown = [xs[i] for i, h in enumerate(hours) if h.rain_chance is None] or (
        [(0.0, axis.width)] if not hours else []
    )
    for x1, x2 in unknown:
        parts.append(el("rect", x=x1, width=x2 - x1, height=SKY_HEIGHT, fill="url(#p-unknown)"))
    parts.append(el("path", d=ground, class_="ground-rain"))
    parts.append(el("path", d=edge, class_="line-rain", stroke_width=1.6))
    strokes = []
    for hour, (x1, x2) in zip(hours, xs, strict=True):
        count, depth = 2 * strokes_in(hour.rain_in), (hour.rain_chance or 0) * (SKY_HEIGHT - 6)
        strokes += [
            f"M{x1 + (i + 0.5) * (x2 - x1) / count:.1f} 0v{depth * (0.85 if i % 2 else 0.6):.1f}" for i in range(count)
        ]
    parts.append(el("path", d="".join(strokes), class_="line-rain", stroke_width=1.7))
    parts.append(_now_line(board.now, axis, SKY_HEIGHT))
    return picture(axis.width, SKY_HEIGHT, "", *parts, class_="yard-sky")


def load_window(row: LoadRow, board: DeliveryBoard, axis: Axis, chosen: bool) -> SafeString:
    """Return the row's drawing; its facts stand as words in the row too, so the drawing is one image with a name."""
    zone = board.zone
    parts = [
        el(
            "line",
            x1=axis.inside(hour),
            x2=axis.inside(hour),
            y1=12,
            y2=HEIGHT - 12,
            class_="line-rule",
            stroke_width=1,
        )
        for hour in axis.hours()
    ]
    parts.append(_window(row, axis, chosen))
    parts.append(_now_line(board.now, axis, HEIGHT))
    parts += _slot(row, axis, zone)
    parts += _window_words(row, axis, zone, board.day)
    return picture(axis.width, HEIGHT, window_words(row, zone, board.day), *parts, class_="load-window")


def window_words(row: LoadRow, zone: str, day: date) -> str:
    """Return the window and the slot in words."""
    words = []
    if row.slot_start:
        words.append(_("at %(clock)s") % {"clock": moment_words(row.slot_start, zone, day)})
    if row.not_before:
        words.append(_("not before %(clock)s") % {"clock": moment_words(row.not_before, zone, day)})
    if row.need_by:
        words.append(_("needed by %(clock)s") % {"clock": moment_words(row.need_by, zone, day)})
    return ", ".join(words) or _("no time yet")


def moment_words(moment: datetime, zone: str, day: date) -> str:
    """Return a clock time, with its day where that is not the day shown."""
    local = formats.local(moment, zone).date()
    clock = formats.clock(moment, zone)
    return clock if local == day else f"{formats.day_short(local)}, {clock}"


def _now_line(now: datetime, axis: Axis, height: float) -> SafeString:
    if not axis.start <= now < axis.end:
        return joined([])
    x = axis.inside(now)
    return el("line", x1=x, x2=x, y1=0, y2=height, class_="line-ink", stroke_width=1.4)


def _window(row: LoadRow, axis: Axis, chosen: bool) -> SafeString:
    left = axis.inside(row.not_before) if row.not_before else 0.0
    right = axis.inside(row.need_by) if row.need_by else axis.width
    parts = []
    if right > left:
        parts.append(
            el("rect", x=left, y=TOP + 3, width=right - left, height=BOTTOM - TOP - 6,
               class_="fill-dim" if chosen else "fill-paper")
        )  # fmt: skip
    if row.not_before:
        parts.append(el("path", d=f"M{left + 7:.1f} {TOP}h-7V{BOTTOM}h7", class_="line-ink", stroke_width=2))
    if row.need_by:
        parts.append(el("line", x1=right, x2=right, y1=TOP, y2=BOTTOM + 3, class_="line-chalk", stroke_width=4))
        parts.append(
            el("path", d=f"M{right - 8:.1f} {TOP}h6M{right - 8:.1f} {BOTTOM}h6", class_="line-ink", stroke_width=2)
        )
    return joined(parts)


def _slot(row: LoadRow, axis: Axis, zone: str) -> list[SafeString]:
    parts: list[SafeString] = []
    y, height = TOP + 5, BOTTOM - TOP - 10
    if row.proposed_slot is not None and row.fit != "fits":
        parts += _proposed(row, axis, y, height)
    if row.slot_start is None:
        return parts
    x = axis.inside(row.slot_start)
    width = max(SLOT_MIN_PX, axis.inside(row.slot_end or row.slot_start) - x)
    x = min(x, axis.width - width)
    box = {"x": x, "y": y, "width": width, "height": height}
    if row.fit in ("too_early", "too_late", "overweight", "no_place"):
        parts.append(el("rect", **box, fill="url(#p-over)", class_="over-box"))
    elif row.state in ("confirmed", "came"):
        parts.append(el("rect", **box, class_="fill-ink"))
        tick = f"M{x + width / 2 - 6:.1f} {y + height / 2:.1f}l4 4.5l8 -9"
        parts.append(el("path", d=tick, class_="line-sheet", stroke_width=2))
    else:
        parts.append(el("rect", **box, class_="asked-box"))
    words = _("%(clock)s, %(state)s") % {"clock": formats.clock(row.slot_start, zone), "state": state_word(row.state)}
    if x + text_width(words, TEXT_PX, bold=True) > axis.width + 30:
        parts.append(label(axis.width + 30, LABEL_ABOVE, words, TEXT_PX, "bold", "end"))
    else:
        parts.append(label(x, LABEL_ABOVE, words, TEXT_PX, "bold"))
    return parts


def _proposed(row: LoadRow, axis: Axis, y: float, height: float) -> list[SafeString]:
    if row.proposed_slot is None:
        return []
    x, width = axis.inside(row.proposed_slot), SLOT_MIN_PX + 8
    parts = [el("rect", x=x, y=y, width=width, height=height, class_="proposed-box")]
    if row.slot_start is not None:
        start, middle = axis.inside(row.slot_start), y + height / 2
        tip, back = (x + width + 6, 9) if start > x else (x - 6, -9)
        tail = start - 3 if start > x else start + SLOT_MIN_PX + 3
        if abs(tail - tip) > 14:
            parts.append(el("path", d=f"M{tail:.1f} {middle:.1f}H{tip:.1f}", class_="line-ink", stroke_width=1.8))
            arrow = f"M{tip + back:.1f} {middle - 5:.1f}L{tip:.1f} {middle:.1f}L{tip + back:.1f} {middle + 5:.1f}"
            parts.append(el("path", d=arrow, class_="line-ink", stroke_width=1.8))
    return parts


def _window_words(row: LoadRow, axis: Axis, zone: str, day: date) -> list[SafeString]:
    parts = []
    right_start = axis.width
    if row.need_by:
        words = _("needed by %(clock)s") % {"clock": moment_words(row.need_by, zone, day)}
        width = text_width(words, TEXT_PX, bold=True)
        right_start = min(axis.inside(row.need_by) + 5, axis.width + 30 - width)
        parts.append(label(right_start, LABEL_BELOW, words, TEXT_PX, "bold chalk"))
    if row.not_before:
        words = _("not before %(clock)s") % {"clock": moment_words(row.not_before, zone, day)}
        width, x = text_width(words, TEXT_PX), axis.inside(row.not_before)
        if x + width + 8 <= right_start:
            parts.append(label(x, LABEL_BELOW, words, TEXT_PX))
        elif right_start - 8 - width >= 0:
            parts.append(label(right_start - 8, LABEL_BELOW, words, TEXT_PX, "", "end"))
    return parts


def state_word(state: str) -> str:
    """Return the state of a load as the drawing says it after its clock time."""
    words = {
        "planned": _("not asked"),
        "asked": _("asked"),
        "confirmed": _("confirmed"),
        "moved": _("moved by supplier"),
        "short": _("came short"),
        "refused": _("refused"),
        "came": _("came"),
        "cancelled": _("cancelled"),
    }
    return words.get(state, state)
