"""The sentences of Tomorrow: headline, sub-line, proposal, backup, the five ticks."""

from dataclasses import dataclass
from datetime import timedelta

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from crews.boards.tomorrow import LEFT_FEET, LEFT_SQUARES, BackupWork, ToldTick, TomorrowBoard, TomorrowRow
from roofops.pages.wording import formats
from roofops.pages.wording.causes import cause_phrase


def headline(board: TomorrowBoard) -> str:
    """Return `Tomorrow, decide by 1 pm: 2 jobs go, 1 waits for 5:30 am, 2 are undecided.`"""
    start = _("%(day)s, decide by %(clock)s:") % {
        "day": day_word(board),
        "clock": formats.clock(board.decide_by, board.zone),
    }
    if not board.rows:
        return _("%(day)s: no job is planned.") % {"day": day_word(board)}
    forms = (
        ("go", lambda n: ngettext("%(n)s job goes", "%(n)s jobs go", n)),
        ("at_530", lambda n: ngettext("%(n)s waits for 5:30 am", "%(n)s wait for 5:30 am", n)),
        ("move", lambda n: ngettext("%(n)s moves", "%(n)s move", n)),
        ("", lambda n: ngettext("%(n)s is undecided", "%(n)s are undecided", n)),
    )
    parts = [form(board.count(choice)) % {"n": board.count(choice)} for choice, form in forms if board.count(choice)]
    return f"{start} {', '.join(parts)}."


def day_word(board: TomorrowBoard) -> str:
    """Return 'Tomorrow', or the weekday where the next work day is later."""
    today = formats.local(board.now, board.zone).date()
    return _("Tomorrow") if (board.day - today).days == 1 else formats.day(board.day)


def sub_line(board: TomorrowBoard) -> str:
    """Return the day's sky in words, the supplier's cut-off, and how many are still to be told."""
    parts = [f"{formats.day(board.day)}: {sky_words(board)}."]
    if board.cutoff is not None:
        left = (board.cutoff - board.now).total_seconds() / 3600
        words = {"clock": formats.clock(board.cutoff, board.zone), "left": formats.span(left)}
        parts.append(_("Supplier cut-off %(clock)s, in %(left)s.") % words)
    if board.ticks_needed:
        words_told = {"n": board.to_tell, "all": board.ticks_needed}
        parts.append(_("%(n)s of %(all)s still to be told.") % words_told if board.to_tell else _("Everybody is told."))
    if board.count("") and len(board.rows) > 1:
        parts.append(_("Undecided first."))
    return " ".join(parts)


def sky_words(board: TomorrowBoard) -> str:
    """Return `rain until about 11 am, roofs wet until 1:30 pm, then 3.0 h`, or that the sky is not known."""
    if board.bare_hours is None:
        return _("no usable forecast for the yard")
    parts = []
    if board.rain_until is not None:
        parts.append(_("rain until about %(clock)s") % {"clock": formats.clock(board.rain_until, board.zone)})
    if board.wet_until is not None and board.wet_until != board.rain_until:
        parts.append(_("roofs wet until %(clock)s") % {"clock": formats.clock(board.wet_until, board.zone)})
    hours = {"hours": formats.hours(board.bare_hours)}
    if board.bare_hours < 0.05:
        parts.append(_("no hour in which a deck may be bare"))
    else:
        dry_from = board.wet_until or board.rain_until
        behind = dry_from is not None and dry_from + timedelta(hours=board.bare_hours) <= board.axis_end
        parts.append(_("then %(hours)s") % hours if behind else _("a deck may be bare for %(hours)s") % hours)
    return ", ".join(parts)


def left_open(row: TomorrowRow) -> str:
    """Return what today's run does not close: '3.0 sq bare, 2.0 sq under tarps'; '' where it closes all."""
    if not row.left_open:
        return ""
    parts = []
    if row.line.bare_now_squares >= LEFT_SQUARES:
        parts.append(_("%(squares)s bare") % {"squares": formats.amount(row.line.bare_now_squares, "sq")})
    if row.left_tarped_squares >= LEFT_SQUARES:
        parts.append(_("%(squares)s under tarps") % {"squares": formats.amount(row.left_tarped_squares, "sq")})
    if row.line.open_ridge_now_ft >= LEFT_FEET:
        parts.append(_("%(feet)s of ridge open") % {"feet": formats.amount(row.line.open_ridge_now_ft, "ft")})
    return ", ".join(parts)


def proposal(row: TomorrowRow, zone: str) -> str:
    """Return who chose what when, or the proposal with its reason."""
    if row.choice:
        clock = formats.clock(row.chosen_at, zone) if row.chosen_at else ""
        return _("Chosen %(clock)s: %(what)s.") % {"clock": clock, "what": _choice_words(row, row.choice, zone)}
    words = _("Proposed: %(what)s") % {"what": _choice_words(row, row.proposed.choice, zone)}
    if row.proposed.choice == "move" and row.proposed.promise_holds is not None:
        words += ", " + (_("the promise holds") if row.proposed.promise_holds else _("the promise is broken"))
    # Going is what was planned; only waiting and moving need a reason.
    cause = row.proposed.cause if row.proposed.choice != "go" else None
    reason = cause_phrase(cause, zone, with_limit=True) if cause else ""
    return f"{words}: {reason}." if reason else f"{words}."


def _choice_words(row: TomorrowRow, choice: str, zone: str) -> str:
    if choice == "go":
        start = row.proposed.from_time
        return _("go at %(clock)s") % {"clock": formats.clock(start, zone)} if start else _("go")
    if choice == "at_530":
        return _("decide at 5:30 am")
    to = row.move_to or row.proposed.move_to
    return _("move to %(day)s") % {"day": formats.day_short(to)} if to else _("move")


def backup(work: BackupWork) -> str:
    """Return the crew's other work, with its name in front."""
    if work.code == "own_text":
        return work.text
    if work.code == "closed_work":
        words = {"squares": formats.amount(work.squares, "sq"), "street": work.street or work.text}
        return _("shingle %(squares)s at %(street)s") % words
    return work.text or _("work at the yard")


@dataclass(frozen=True)
class Tick:
    """One of the five boxes in words; `press` says what its button does."""

    party: str
    state: str
    name: str
    below: str
    next_state: str
    press: str


ASKED_FIRST = ("homeowner", "supplier", "dumpster", "inspector")  # they answer; a crew is simply told


def ticks(row: TomorrowRow, zone: str) -> tuple[Tick, ...]:
    """Return the five boxes of a row."""
    return tuple(_tick(tick, zone) for tick in row.ticks)


def _tick(tick: ToldTick, zone: str) -> Tick:
    at = formats.clock_short(tick.at, zone) if tick.at else ""
    below = {
        "told": at,
        "asked": _("asked %(clock)s") % {"clock": at},
        "to_tell": _("to tell"),
        "not_needed": _not_needed(tick.note),
    }[tick.state]
    following = next_state(tick.party, tick.state)
    press = {"told": _("Mark as told"), "asked": _("Mark as asked"), "to_tell": _("Take the tick back")}[following]
    return Tick(tick.party, tick.state, party_word(tick.party), below, following, press)


def next_state(party: str, state: str) -> str:
    """Return what pressing a box makes of it: to tell, (asked,) told, and back."""
    if state == "told":
        return "to_tell"
    return "asked" if state == "to_tell" and party in ASKED_FIRST else "told"


def party_word(party: str) -> str:
    """Return the name of somebody who is told."""
    words = {
        "crew": _("crew"),
        "homeowner": _("homeowner"),
        "supplier": _("supplier"),
        "dumpster": _("dumpster"),
        "inspector": _("inspector"),
    }
    return words[party]


def _not_needed(note: str) -> str:
    return {"no_load": _("no load"), "same": _("same")}.get(note, _("none"))


def idle_crews(board: TomorrowBoard) -> str:
    """Return the crews without a job, for the foot."""
    names = board.crews_without_job
    if not names:
        return ""
    words = {"names": ", ".join(names), "day": formats.weekday(board.day)}
    return ngettext("%(names)s has no job %(day)s", "%(names)s have no job %(day)s", len(names)) % words
