"""The words of Deliveries: what a load is, whether its slot fits, and the ways out."""

from dataclasses import dataclass

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from crews.boards.delivery import DeliveryBoard, LoadItem, LoadRow, WayOut
from roofops.pages.plan.words import phase_word
from roofops.pages.wording import formats
from roofops.pages.wording.units import counted

DONE_STATES = ("came", "cancelled")
ITEMS_IN_TITLE = 2
AFTER_WORK = ("final_haul", "leftovers")


@dataclass(frozen=True)
class LoadLine:
    """One row of the page: the load, its words and its drawing."""

    of: LoadRow
    title: str
    third: str
    state: str
    over: bool
    drawing: SafeString
    window: str
    chosen: bool
    act: str  # code of the row's own button: move_slot, confirm, see
    act_words: str
    icon: str  # slopes, ground, dumpster
    slot_iso: str  # the proposed slot, for the button that asks for it


def headline(board: DeliveryBoard) -> str:
    """Return the h1: how many loads, and which do not fit by how much."""
    today = formats.local(board.now, board.zone).date()
    count = len(board.rows)
    words = {"n": count, "day": formats.day_short(board.day)}
    if not count:
        return _("No load today.") if board.day == today else _("No load on %(day)s.") % words
    if board.day == today:
        first = ngettext("%(n)s load today.", "%(n)s loads today.", count) % words
    else:
        first = ngettext("%(n)s load on %(day)s.", "%(n)s loads on %(day)s.", count) % words
    wrong = [row for row in board.rows if row.fit in ("too_late", "too_early", "overweight", "no_place", "no_slot")]
    if not wrong:
        planned = all(row.fit != "not_planned" for row in board.rows)
        return _("%(first)s All fit.") % {"first": first} if planned else first
    return f"{first} {_misfits(wrong)}"


def _misfits(wrong: list[LoadRow]) -> str:
    late = [row for row in wrong if row.fit == "too_late"]
    early = [row for row in wrong if row.fit == "too_early"]
    parts = []
    for rows, one, many in (
        (late, _("1 comes %(span)s too late"), _("%(n)s come too late")),
        (early, _("1 comes %(span)s too early"), _("%(n)s come too early")),
    ):
        if len(rows) == 1:
            parts.append(one % {"span": formats.span(rows[0].minutes / 60)})
        elif rows:
            parts.append(many % {"n": len(rows)})
    heavy = sum(1 for row in wrong if row.fit == "overweight")
    if heavy:
        parts.append(ngettext("%(n)s is too heavy", "%(n)s are too heavy", heavy) % {"n": heavy})
    nowhere = sum(1 for row in wrong if row.fit == "no_place")
    if nowhere:
        text = ngettext("%(n)s cannot lie on its roof", "%(n)s cannot lie on their roofs", nowhere)
        parts.append(text % {"n": nowhere})
    unset = sum(1 for row in wrong if row.fit == "no_slot")
    if unset:
        parts.append(ngettext("%(n)s has no time yet", "%(n)s have no time yet", unset) % {"n": unset})
    return ", ".join(parts) + "."


def sub_line(board: DeliveryBoard) -> str:
    """Return how many drops are used and what the times follow."""
    words = {"used": board.drops_used, "limit": board.drops_limit}
    used = _("%(used)s of %(limit)s roof drops used.") % words
    return " ".join([used, _("Times follow the crew plan. Needed soonest first.")])


def kind_word(row: LoadRow) -> str:
    """Return what comes in the trade's words, without its place."""
    names = {
        "dumpster_drop": _("Dumpster drop"),
        "dumpster_swap": _("Dumpster swap"),
        "final_haul": _("Final haul"),
        "leftovers": _("Leftovers pick-up"),
        "equipment": _("Equipment move"),
        "materials": _("Materials"),
    }
    return names.get(row.kind, row.kind.replace("_", " "))


def item_words(item: LoadItem) -> str:
    """Return one item as `47 bundles laminate shingles`."""
    return f"{counted(formats.figure(item.count), item.unit, one=item.count == 1)} {item.item}"


def title(row: LoadRow) -> str:
    """Return the row's name: what comes, and where it is put."""
    if row.kind != "materials":
        size = _("%(n)s yd") % {"n": row.container_yd3} if row.container_yd3 else ""
        return ", ".join(part for part in (kind_word(row), size) if part)
    what = ", ".join(item_words(item) for item in row.items[:ITEMS_IN_TITLE]) or kind_word(row)
    more = len(row.items) - ITEMS_IN_TITLE
    if more > 0:
        what = ngettext("%(what)s and %(n)s more", "%(what)s and %(n)s more", more) % {"what": what, "n": more}
    return f"{what}, {place_word(row.placement)}"


def place_word(placement: str) -> str:
    """Return where a load is put."""
    return _("both slopes") if placement == "roof" else _("ground")


def third_line(row: LoadRow) -> str:
    """Return weight, who brings it and the crew."""
    parts = []
    if row.weight_lb:
        parts.append(f"{row.weight_lb:,}{formats.NBSP}lb")
    if row.supplier_name:
        parts.append(row.supplier_name)
    elif row.crew_name:
        parts.append(_("crew %(name)s") % {"name": row.crew_name})
    return ", ".join(parts)


def state_words(row: LoadRow) -> str:
    """Return whether the load fits, in the words of the state column."""
    if row.state in DONE_STATES:
        return _("Came") if row.state == "came" else _("Cancelled")
    if row.state == "refused":
        return _("Refused: ask again")
    if row.state == "short":
        return _("Came short")
    fits = {
        "too_late": _("%(span)s too late"),
        "too_early": _("%(span)s too early"),
    }
    if row.fit in fits:
        return fits[row.fit] % {"span": formats.span(row.minutes / 60)}
    if row.fit == "overweight":
        return _("Too heavy for the truck")
    if row.fit == "no_place":
        return _("Not on the roof then")
    if row.fit == "not_planned":
        return _("Confirmed") if row.state == "confirmed" else _("The job is not planned")
    if row.slot_start is None:
        return _("No time asked yet")
    if row.state in ("planned", "asked", "moved"):
        return _("Waits for a call")
    return _("Fits")


def is_over(row: LoadRow) -> bool:
    """Say whether a limit is broken by this load, so that it is written in chalk."""
    return row.state not in DONE_STATES and (
        row.fit in ("too_late", "too_early", "overweight", "no_place") or row.state == "refused"
    )


def row_act(row: LoadRow, zone: str, *, may_change: bool) -> tuple[str, str]:
    """Return the code and the words of the row's own button."""
    if may_change and row.state not in DONE_STATES:
        if row.proposed_slot is not None and (row.fit != "fits" or row.slot_start is None):
            return "ask", _("Ask for %(clock)s") % {"clock": formats.clock(row.proposed_slot, zone)}
        if row.state in ("asked", "moved") and row.slot_start is not None and row.fit == "fits":
            return "confirm", _("Confirm")
    return "see", _("Details")


def icon(row: LoadRow) -> str:
    """Return which icon stands before the row."""
    if row.kind in ("dumpster_drop", "dumpster_swap", "final_haul"):
        return "dumpster"
    return "slopes" if row.placement == "roof" else "ground"


def why_not_before(row: LoadRow) -> str:
    """Return why a load may not come earlier."""
    section = row.not_before_section
    words = {
        "dried_in": _("%(section)s is dried-in by then") if section else _("the deck is dried-in by then"),
        "day_before": _("the day before the work"),
        "work_starts": _("work starts then"),
        "room": _("work goes on until then") if row.kind in AFTER_WORK else _("no room on site before"),
        "now": _("now"),
    }
    text = words.get(row.not_before_why, "")
    return text % {"section": section} if "%(section)s" in text else text


def why_need_by(row: LoadRow) -> str:
    """Return what waits for a load."""
    if not row.need_by_why:
        return ""
    if row.need_by_why == "full":
        return _("the dumpster is full then")
    words = {"phase": phase_word(row.need_by_why), "section": row.need_by_section}
    if row.need_by_why == "field":
        return _("shingles start on %(section)s") % words if row.need_by_section else _("shingles start")
    if row.need_by_section:
        return _("%(phase)s starts on %(section)s") % words
    return _("%(phase)s starts") % words


def trouble(row: LoadRow, zone: str) -> str:
    """Return why a load does not fit, as a sentence; empty where it fits."""
    slot = formats.clock(row.slot_start, zone) if row.slot_start else ""
    if row.fit == "too_late" and row.need_by:
        words = {"why": why_need_by(row) or _("It is needed"), "need": formats.clock(row.need_by, zone), "slot": slot}
        return _("%(why)s at %(need)s. The truck is set for %(slot)s.") % {**words, "why": _capital(words["why"])}
    if row.fit == "too_early" and row.not_before:
        words = {"why": why_not_before(row), "at": formats.clock(row.not_before, zone), "slot": slot}
        if words["why"]:
            return _("Not before %(at)s: %(why)s. The truck is set for %(slot)s.") % words
        return _("Not before %(at)s. The truck is set for %(slot)s.") % words
    if row.fit == "no_place":
        return _("%(why)s at %(slot)s. The load goes on the ground, or comes at another time.") % {
            "why": why_no_place(row.no_place_why),
            "slot": slot,
        }
    if row.fit == "overweight":
        words = {"weight": f"{row.weight_lb:,}", "limit": f"{row.truck_payload_lb:,}"}
        return _("It weighs %(weight)s lb, the truck may carry %(limit)s lb. Order two loads.") % words
    return ""


def why_no_place(code: str) -> str:
    """Return why a load may not lie on the roof at its slot, as the beginning of a sentence."""
    words = {
        "not_allowed": _("This house takes no load on its roof"),
        "unknown": _("The roof is not measured, so nothing is put on it"),
        "slot_open": _("A ridge slot is open"),
        "bare_deck": _("Deck lies bare"),
        "fresh_shingles": _("Shingles are laid that day"),
        "one_slope": _("Fewer than two slopes can carry it"),
        "old_roof_unknown": _("Nobody has found the old roof sound"),
        "deck_not_repaired": _("The deck below is not repaired"),
    }
    return words.get(code, _("The roof may not carry it"))


def unchecked(row: LoadRow) -> str:
    """Return why no window is shown; empty where there is one."""
    return _("No plan gives this job a day, so its window is not checked.") if row.fit == "not_planned" else ""


def way_words(way: WayOut, zone: str) -> str:
    """Return a way out as the verb of its button."""
    at = formats.clock(way.at, zone) if way.at else ""
    words = {
        "move_slot": _("Ask for %(at)s"),
        "ground": _("Drop on the ground instead"),
        "later_start": _("Start the work at %(at)s"),
    }
    text = words.get(way.code, way.code.replace("_", " "))
    return text % {"at": at} if "%(at)s" in text else text


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
