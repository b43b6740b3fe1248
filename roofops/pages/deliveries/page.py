"""What the templates of Deliveries print: the day's loads with drawings, the chosen load's facts, drivers' lists."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from crews.boards.delivery import DeliveryBoard, LoadRow
from roofops.pages.deliveries import load_words
from roofops.pages.deliveries.load_words import LoadLine
from roofops.pages.drawing.boxes import capacity_boxes
from roofops.pages.drawing.load_window import load_window, moment_words, ruler, window_words, yard_sky
from roofops.pages.strip.axis import Axis
from roofops.pages.wording import formats

AXIS_PX = 690.0


@dataclass(frozen=True)
class DayChoice:
    """One day of the switch at the top."""

    iso: str
    label: str
    current: bool


@dataclass(frozen=True)
class Fact:
    """One line of the chosen load."""

    label: str
    value: str
    note: str = ""
    strong: bool = False


@dataclass(frozen=True)
class Call:
    """One call or change about a load."""

    at: str
    words: str


@dataclass(frozen=True)
class Way:
    """One way out as a button."""

    act: str
    words: str


@dataclass(frozen=True)
class SupplierLine:
    """How much of a supplier's day is taken."""

    name: str
    boxes: SafeString
    words: str
    over: bool
    phone: str
    cutoff: str


@dataclass(frozen=True)
class DriverLine:
    """One load on a driver's list."""

    of: LoadRow
    title: str
    slot: str
    window: str
    items: tuple[str, ...]
    crew: str


@dataclass(frozen=True)
class DriverList:
    """All loads that one supplier drives on this day, by time."""

    name: str
    phone: str
    lines: tuple[DriverLine, ...]


@dataclass(frozen=True)
class DeliveriesPage:
    """All that Deliveries prints beside the board."""

    headline: str
    sub: str
    days: tuple[DayChoice, ...]
    ruler: SafeString
    sky: SafeString
    lines: tuple[LoadLine, ...]
    suppliers: tuple[SupplierLine, ...]
    drivers: tuple[DriverList, ...]
    chosen: LoadLine | None = None
    trouble: str = ""
    unchecked: str = ""
    facts: tuple[Fact, ...] = ()
    items: tuple[str, ...] = ()
    calls: tuple[Call, ...] = ()
    ways: tuple[Way, ...] = ()
    confirm_words: str = ""
    open: bool = False
    refused: str = ""
    form: object = field(default=None)


def deliveries_page(
    board: DeliveryBoard,
    capacity: Iterable[tuple[str, str, int, str]] = (),
    chosen_id: int | None = None,
    form: object = None,
    refused: str = "",
) -> DeliveriesPage:
    """Return what Deliveries prints.

    capacity: for each supplier its name, phone, loads a day at most, and order cut-off in words. chosen_id: the load
    at the side; the first that does not fit, else the first, when none is named.
    """
    axis = Axis(board.axis_start, board.axis_end, AXIS_PX, board.zone)
    chosen_row = _chosen(board, chosen_id)
    lines = tuple(_line(row, board, axis, row is chosen_row) for row in board.rows)
    chosen = next((line for line in lines if line.chosen), None)
    row = chosen_row
    return DeliveriesPage(
        headline=load_words.headline(board),
        sub=load_words.sub_line(board),
        days=tuple(_day_choice(day, board) for day in board.days),
        ruler=ruler(axis, board.zone, board.now),
        sky=yard_sky(board, axis),
        lines=lines,
        suppliers=tuple(_supplier(board, *entry) for entry in capacity),
        drivers=_drivers(board),
        chosen=chosen,
        trouble=load_words.trouble(row, board.zone) if row else "",
        unchecked=load_words.unchecked(row) if row else "",
        facts=_facts(row, board.zone, board.day) if row else (),
        items=tuple(load_words.item_words(item) for item in row.items) if row else (),
        calls=_calls(row, board) if row else (),
        ways=_ways(row, board.zone) if row else (),
        confirm_words=_confirm_words(row, board.zone) if row else "",
        open=row is not None and row.state not in load_words.DONE_STATES,
        refused=refused,
        form=form,
    )


def _chosen(board: DeliveryBoard, load_id: int | None) -> LoadRow | None:
    named = next((row for row in board.rows if row.load_id == load_id), None)
    if named is not None:
        return named
    return next((row for row in board.rows if load_words.is_over(row)), next(iter(board.rows), None))


def _line(row: LoadRow, board: DeliveryBoard, axis: Axis, chosen: bool) -> LoadLine:
    act, words = load_words.row_act(row, board.zone, may_change=board.may_change)
    return LoadLine(
        of=row,
        title=load_words.title(row),
        third=load_words.third_line(row),
        state=load_words.state_words(row),
        over=load_words.is_over(row),
        drawing=load_window(row, board, axis, chosen),
        window=window_words(row, board.zone, board.day),
        chosen=chosen,
        act=act,
        act_words=words,
        icon=load_words.icon(row),
        slot_iso=row.proposed_slot.isoformat() if row.proposed_slot else "",
    )


def _day_choice(day: date, board: DeliveryBoard) -> DayChoice:
    label = formats.day_short(day)
    if day == formats.local(board.now, board.zone).date():
        label = _("Today, %(day)s") % {"day": label}
    return DayChoice(iso=day.isoformat(), label=label, current=day == board.day)


def _facts(row: LoadRow, zone: str, day: date) -> tuple[Fact, ...]:
    found = []
    if row.not_before:
        found.append(
            Fact(_("Not before"), moment_words(row.not_before, zone, day), load_words.why_not_before(row), strong=True)
        )
    if row.need_by:
        found.append(
            Fact(_("Needed by"), moment_words(row.need_by, zone, day), load_words.why_need_by(row), strong=True)
        )
    if row.slot_start:
        found.append(Fact(_("Slot"), formats.clock(row.slot_start, zone)))
    if row.weight_lb:
        found.append(Fact(_("Weight"), f"{row.weight_lb:,}{formats.NBSP}lb", strong=True))
        if row.truck_payload_lb:
            found.append(Fact(_("Truck may carry"), f"{row.truck_payload_lb:,}{formats.NBSP}lb"))
    found += [
        Fact(_("On the %(slope)s") % {"slope": slope}, _("%(n)s bundles") % {"n": bundles})
        for slope, bundles in row.split
    ]
    if row.laid:
        words = {"laid": formats.figure(row.laid[0]), "all": formats.figure(row.laid[1])}
        found.append(Fact(_("Already laid"), _("%(laid)s of %(all)s sq") % words))
    if row.gust_at_slot_mph is not None:
        value = formats.mph(row.gust_at_slot_mph)
        if row.gust_limit_mph is not None:
            value = _("%(gust)s, limit %(limit)s") % {"gust": value, "limit": formats.figure(row.gust_limit_mph)}
        found.append(Fact(_("Gust at the slot"), value))
    if row.hazards:
        found.append(Fact(_("Mind"), row.hazards))
    if row.note:
        found.append(Fact(_("Note"), row.note))
    return tuple(found)


def _calls(row: LoadRow, board: DeliveryBoard) -> tuple[Call, ...]:
    today = formats.local(board.now, board.zone).date()
    found = []
    for at, verb, who in row.calls:
        local = formats.local(at, board.zone)
        when = formats.clock_short(at, board.zone) if local.date() == today else formats.day_short(local.date())
        words = call_word(verb)
        found.append(Call(at=when, words=f"{words}, {who}" if who else words))
    return tuple(found)


def call_word(verb: str) -> str:
    """Return one logged change of a load in words."""
    words = {
        "load_planned": _("to ask"),
        "load_asked": _("asked"),
        "load_confirmed": _("confirmed"),
        "load_moved": _("moved by supplier"),
        "load_short": _("came short"),
        "load_refused": _("refused"),
        "load_came": _("came"),
        "load_cancelled": _("cancelled"),
    }
    return words.get(verb, words.get(f"load_{verb}", verb.replace("_", " ")))


def _ways(row: LoadRow, zone: str) -> tuple[Way, ...]:
    acts = {"move_slot": "ask", "ground": "ground"}
    found = [Way(acts[way.code], load_words.way_words(way, zone)) for way in row.ways_out if way.code in acts]
    if row.proposed_slot and not any(way.act == "ask" for way in found) and row.slot_start is None:
        found.insert(0, Way("ask", _("Ask for %(clock)s") % {"clock": formats.clock(row.proposed_slot, zone)}))
    return tuple(found)


def _confirm_words(row: LoadRow, zone: str) -> str:
    if row.slot_start is None:
        return ""
    return _("Supplier confirms %(clock)s") % {"clock": formats.clock(row.slot_start, zone)}


def _supplier(board: DeliveryBoard, name: str, phone: str, limit: int, cutoff: str) -> SupplierLine:
    used = sum(1 for row in board.rows if row.supplier_name == name and row.state != "cancelled")
    return SupplierLine(
        name=name,
        boxes=capacity_boxes(used, limit),
        words=_("%(used)s of %(limit)s loads") % {"used": used, "limit": limit},
        over=used > limit,
        phone=phone,
        cutoff=cutoff,
    )


def _drivers(board: DeliveryBoard) -> tuple[DriverList, ...]:
    by_name: dict[tuple[str, str], list[LoadRow]] = {}
    for row in board.rows:
        if row.state != "cancelled":
            by_name.setdefault((row.supplier_name or _("Our own truck"), row.supplier_phone), []).append(row)
    return tuple(
        DriverList(name, phone, tuple(_driver_line(row, board) for row in sorted(rows, key=_when)))
        for (name, phone), rows in sorted(by_name.items())
    )


def _when(row: LoadRow) -> float:
    moment = row.slot_start or row.need_by or row.not_before
    return moment.timestamp() if moment else float("inf")


def _driver_line(row: LoadRow, board: DeliveryBoard) -> DriverLine:
    return DriverLine(
        of=row,
        title=load_words.title(row),
        slot=formats.clock(row.slot_start, board.zone) if row.slot_start else _("no time yet"),
        window=window_words(row, board.zone, board.day),
        items=tuple(load_words.item_words(item) for item in row.items[load_words.ITEMS_IN_TITLE :]),
        crew=_("crew %(name)s") % {"name": row.crew_name} if row.crew_name else "",
    )
