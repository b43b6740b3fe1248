"""One row of the plan grid: job bars with their phases, tags above, snap-lines of the published places below."""

from datetime import datetime

from django.urls import reverse
from django.utils.formats import date_format
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from crews.boards.plan import PlanBar, PlanCrewRow, Segment, SnapLine
from roofops.pages.drawing.day_scale import DayScale
from roofops.pages.drawing.lettering import text_width
from roofops.pages.drawing.svg import el, joined, label, plate

ROW_HEIGHT = 95
BAR_TOP, BAR_HEIGHT, BAND_HEIGHT = 17.0, 44.0, 21.0
TAG_HEIGHT = 16.0
SNAP_Y = 78.0
NAME_PX, TAG_PX, SNAP_PX = 15.0, 13.0, 12.5
PATTERN_BY_STATE = {"bare": "p-bare", "dried_in": "p-dried", "shingled": "p-shingled"}
RIDGE_TICK_PX, RIDGE_MIN_PX = 14.0, 9.0


def crew_row(row: PlanCrewRow, scale: DayScale, now: datetime, chosen: int | None) -> SafeString:
    """Return the drawing of one crew's two weeks; each bar links to its own lines at the side."""
    parts = [*_columns(scale)]
    if scale.columns[0].day <= now.astimezone(scale.zone).date():
        x = scale.x(now)
        parts.append(el("line", x1=x, x2=x, y1=0, y2=ROW_HEIGHT, class_="line-ink", stroke_width=1.4))
    parts += [_snap(line, scale) for line in row.snap_lines]
    parts += [_bar(bar, scale, chosen == bar.job_id) for bar in row.bars]
    return el(
        "svg",
        *parts,
        width=float(scale.width),
        height=ROW_HEIGHT,
        viewBox=f"0 0 {int(scale.width)} {ROW_HEIGHT}",
        role="group",
        aria_label=_("Plan of crew %(name)s") % {"name": row.name},
        class_="plan-lane",
    )


def _columns(scale: DayScale) -> list[SafeString]:
    parts = []
    for column in scale.columns:
        if not column.workday:
            parts.append(el("rect", x=column.left, y=0, width=column.width, height=ROW_HEIGHT, class_="fill-paper"))
        parts.append(
            el("line", x1=column.left, x2=column.left, y1=0, y2=ROW_HEIGHT, class_="line-rule", stroke_width=1)
        )
    return parts


def _bar(bar: PlanBar, scale: DayScale, chosen: bool) -> SafeString:
    left, right = scale.span(bar.start, bar.end)
    left, right = left + 1, right - 1
    broken, changed = bool(bar.broken), bar.change.code != "same"
    border, width = ("line-chalk", 3.0) if broken else ("line-ink", 2.0 if changed else 1.4)
    frame = {"x": left, "y": BAR_TOP, "width": right - left, "height": BAR_HEIGHT}
    parts = [el("rect", **frame, class_="fill-sel" if chosen else "fill-sheet")]
    parts += [_segment(segment, scale, left, right) for segment in bar.segments]
    dashes = "5 3" if bar.pencilled and not broken else None
    parts.append(el("rect", **frame, class_=border, stroke_width=width, stroke_dasharray=dashes))
    x = left + 8
    if bar.pinned:
        parts.append(nail(x + 4, BAR_TOP + 5))
        x += 17
    parts.append(_name(bar, x, right))
    tag = bar_tag(bar)
    if tag:
        parts.append(_tag(tag, left, right, broken))
    return el(
        "a",
        el("title", full_name(bar)),
        *parts,
        href=f"{reverse('plan')}?job={bar.job_id}#chosen",
        class_="bar",
        aria_label=full_name(bar),
        aria_current="true" if chosen else None,
    )


def _name(bar: PlanBar, x: float, right: float) -> SafeString:
    room = right - x - 4
    name, figure = bar.name, f"{bar.squares:.1f}"
    figure_width = text_width(figure, NAME_PX) + 6
    with_figure = text_width(name, NAME_PX, bold=True) + figure_width <= room
    while name and text_width(name + ("" if name == bar.name else "…"), NAME_PX, bold=True) > room:
        name = name[:-1]
    if name != bar.name:
        name = f"{name}…" if name else ""
    parts: list[str] = [el("tspan", name, class_="bold")]
    if with_figure:
        parts.append(el("tspan", figure, dx=5))
    return el("text", *parts, x=x, y=BAR_TOP + 16.5, font_size=NAME_PX, class_="lettering")


def _segment(segment: Segment, scale: DayScale, left: float, right: float) -> SafeString:
    x1 = max(left, scale.x(segment.start))
    x2 = min(right, scale.x(segment.end))
    y, height = BAR_TOP + BAR_HEIGHT - BAND_HEIGHT, BAND_HEIGHT
    if x2 - x1 < 0.5:
        return joined([])
    if segment.leaves == "ridge":
        return ridge_mark(max(left, min(x1, x2 - RIDGE_MIN_PX)), x2, y + height / 2)
    pattern = PATTERN_BY_STATE.get(segment.leaves)
    if pattern is None:  # set-up and clean-up leave nothing behind
        return el("line", x1=x1, x2=x2, y1=y + height / 2, y2=y + height / 2, class_="line-edge", stroke_width=1)
    return el("rect", x=x1, y=y, width=x2 - x1, height=height, fill=f"url(#{pattern})", class_="outlined")


def ridge_mark(x1: float, x2: float, y: float) -> SafeString:
    """Return the gap mark of a ridge: two upright ticks, dotted chalk between."""
    half = RIDGE_TICK_PX / 2
    return joined(
        [
            el("path", d=f"M{x1 + 2:.1f} {y - half}v{RIDGE_TICK_PX}M{x2 - 2:.1f} {y - half}v{RIDGE_TICK_PX}",
               class_="line-ink", stroke_width=2),
            el("line", x1=x1 + 3, x2=x2 - 3, y1=y, y2=y, class_="line-chalk dot", stroke_width=2),
        ]
    )  # fmt: skip


def nail(x: float, y: float) -> SafeString:
    """Return a roofing nail: the mark of a pinned job; x is its middle, y its head."""
    return el("path", d=f"M{x - 6:.1f} {y:.1f}h12M{x:.1f} {y:.1f}v12", class_="line-ink", stroke_width=2.6)


def _tag(words: str, left: float, right: float, broken: bool) -> SafeString:
    width = text_width(words, TAG_PX, bold=True) + 12
    x = max(0.0, right - width)
    return joined(
        [
            el("rect", x=x, y=BAR_TOP - TAG_HEIGHT, width=width, height=TAG_HEIGHT,
               class_="fill-chalk" if broken else "fill-ink"),
            label(x + width - 6, BAR_TOP - 4, words, TAG_PX, f"bold {'on-chalk' if broken else 'on-ink'}", "end"),
        ]
    )  # fmt: skip


def _snap(line: SnapLine, scale: DayScale) -> SafeString:
    x1, x2 = scale.span(line.start, line.end)
    x1, x2 = x1 + 2, x2 - 2
    day = line.start.astimezone(scale.zone)
    weekday = date_format(day, "D")
    words = f"{line.name}, {weekday}" if line.to_crew else _("was %(day)s") % {"day": weekday}
    half = RIDGE_TICK_PX / 2
    room = max(0.0, x2 - x1 - 16)
    while len(words) > 3 and text_width(words, SNAP_PX) > room and x2 - x1 < scale.width:
        shorter = words.rstrip("…")[:-1].rstrip(", ")
        words = f"{shorter}…"
    return el(
        "g",
        el("title", line.name),
        el("path", d=f"M{x1:.1f} {SNAP_Y}H{x2:.1f}M{x1:.1f} {SNAP_Y - half}v{RIDGE_TICK_PX}"
           f"M{x2:.1f} {SNAP_Y - half}v{RIDGE_TICK_PX}", class_="line-snap", stroke_width=2.2),
        plate(x1 + 10, SNAP_Y + 4.5, words, SNAP_PX, "second"),
    )  # fmt: skip


def bar_tag(bar: PlanBar) -> str:
    """Return the words above a bar: the broken rule first, else how it differs from the published plan."""
    if bar.broken:
        return rule_in_short(bar.broken[0].code)
    change = bar.change
    if change.code == "days_later":
        return ngettext("+%(n)s day", "+%(n)s days", change.days) % {"n": change.days}
    if change.code == "days_earlier":
        return ngettext("%(n)s day earlier", "%(n)s days earlier", change.days) % {"n": change.days}
    if change.code == "from_crew":
        return _("from %(crew)s") % {"crew": change.crew_name}
    return {"new": _("new"), "hours": _("other hours")}.get(change.code, "")


def rule_in_short(code: str) -> str:
    """Return a broken rule in two or three words, for a tag; the side panel holds the sentence."""
    words = {
        "drops": _("too many drops"),
        "dumpsters": _("too many dumpsters"),
        "crew_away": _("crew away"),
        "outside_shift": _("outside the shift"),
        "crew_overlap": _("crew has two jobs"),
        "blocked_date": _("nobody may come"),
        "before_promised": _("before the promise"),
        "too_steep": _("too steep for the crew"),
        "skills": _("skill lacks"),
        "insurance": _("not insured"),
        "takes_longer": _("takes longer"),
        "lies_open": _("would lie open"),
        "not_ready": _("not ready"),
        "job_twice": _("planned twice"),
        "pin_moved": _("left its pin"),
    }
    return words.get(code, _("rule broken"))


def full_name(bar: PlanBar) -> str:
    """Return the bar in one sentence, for a reader that does not see it."""
    words = [_("%(name)s, %(squares)s squares") % {"name": bar.name, "squares": f"{bar.squares:.1f}"}]
    if bar.pinned:
        words.append(_("pinned"))
    if bar.pencilled:
        words.append(_("pencilled in, not ready to build"))
    tag = bar_tag(bar)
    if tag:
        words.append(tag)
    return ", ".join(words)
