"""The sentences of Today: headline, sub-line, change note, told line, the words of the buttons."""

from dataclasses import dataclass
from datetime import datetime

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from crews.boards.today import ChangeNote, TodayBoard, TodayRow
from roofops.pages.job.ready_words import ready_word
from roofops.pages.wording import formats
from roofops.pages.wording.causes import cause_phrase
from roofops.pages.wording.key_line import verdict_short

MANY_ROWS = 8  # from so many rows up 'Accept all unchanged' is offered


@dataclass(frozen=True)
class Part:
    """A piece of a note: plain, new (bold) or old (struck through)."""

    text: str
    kind: str = ""


Line = tuple[Part, ...]


def headline(board: TodayBoard) -> str:
    """Return `1 roof is open, 1 may be torn off, 1 to stay off, 1 unknown, 1 shingle only.`; open means bare now."""
    if not board.rows:
        return _("No roof is at work today.")
    counts, open_now = board.counts, board.open_roofs
    parts = [
        ngettext("%(n)s roof is open", "%(n)s roofs are open", open_now) % {"n": open_now}
        if open_now
        else _("No roof is open")
    ]
    if day_over(board):
        return ", ".join([*parts, _("the work day is over")]) + "."
    forms = (
        ("tear_off", _("%(n)s may be torn off")),
        ("stay_off", _("%(n)s to stay off")),
        ("unknown", _("%(n)s unknown")),
        ("no_tear_off", _("%(n)s shingle only")),
    )
    parts += [form % {"n": counts[verdict]} for verdict, form in forms if counts.get(verdict)]
    return ", ".join(parts) + "."


def day_over(board: TodayBoard) -> bool:
    """Return whether the last hour of work of every roof lies behind: then a verdict permits nothing any more."""
    return bool(board.rows) and all(row_over(row, board.now) for row in board.rows)


def row_over(row: TodayRow, now: datetime) -> bool:
    """Return whether a roof's work of the day is behind it: closed for the night, or no hour of work is left."""
    bands = row.strip.bands
    return row.closed is not None or (bool(bands) and all(band.end <= now for band in bands))


def sub_line(board: TodayBoard) -> str:
    """Return the next limit, what changed since the last forecast, and the order of the rows."""
    parts = []
    if board.next_limit is not None:
        street, moment = board.next_limit
        words = {"street": street, "clock": formats.clock(moment, board.zone)}
        parts.append(_("Next limit: dry in %(street)s by %(clock)s.") % words)
    elif board.rows:
        parts.append(_("No dry-in limit is ahead today."))
    if board.since is not None and board.rows:
        parts.append(_changes(board, board.since))
    if len(board.rows) > 1:
        parts.append(_("Most urgent first."))
    return " ".join(parts)


def _changes(board: TodayBoard, since: datetime) -> str:
    words = {"clock": formats.clock(since, board.zone), "n": board.changed, "all": len(board.rows)}
    if not board.changed:
        return _("Since %(clock)s no verdict changed.") % words
    start = ngettext(
        "Since %(clock)s %(n)s of %(all)s verdicts changed",
        "Since %(clock)s %(n)s of %(all)s verdicts changed",
        board.changed,
    )
    if board.changed_worse == 0:
        how = _("for the better") if board.changed == 1 else _("all for the better")
    elif board.changed_worse < board.changed:
        how = _("%(n)s for the worse") % {"n": board.changed_worse}
    else:
        how = {1: _("for the worse"), 2: _("both for the worse")}.get(board.changed, _("all for the worse"))
    return f"{start % words}, {how}."


def change_lines(row: TodayRow, zone: str) -> tuple[Line, ...]:
    """Return the change note of a row, line by line."""
    lines: list[Line] = []
    change = row.change
    rest = _rest(row, zone)
    if change is None or not change.any:
        rest = [" ".join([_("No change."), *rest])]
    else:
        if change.old_verdict != change.new_verdict:
            was = _("Was %(verdict)s.") % {"verdict": "\x00"}
            before, after = was.split("\x00")
            lines.append((Part(before), Part(verdict_short(change.old_verdict), "new"), Part(after)))
        lines += _figures(change, zone)
    lines += [(Part(text),) for text in rest]
    return tuple(line for line in lines if any(part.text for part in line))


def _rest(row: TodayRow, zone: str) -> list[str]:
    """Say what is not a change: who accepted, what the source does, who was told, what is missing."""
    parts = []
    if row.accepted_at is not None:
        words = {"clock": formats.clock(row.accepted_at, zone), "name": row.accepted_by}
        parts.append(_("Accepted %(clock)s by %(name)s.") % words)
    if row.forecast.failure or not row.forecast.usable_today:
        parts.append(_source_line(row, zone))
    parts.append(told_line(row, zone))
    if row.not_ready:
        parts.append(_("Not ready to build: %(what)s.") % {"what": ", ".join(map(ready_word, row.not_ready))})
    return [part for part in parts if part]


def _figures(change: ChangeNote, zone: str) -> list[Line]:
    lines: list[Line] = []
    old_all, new_all = formats.figure(change.old_in_all_squares), formats.figure(change.new_in_all_squares)
    old_once, new_once = formats.figure(change.old_at_once_squares), formats.figure(change.new_at_once_squares)
    parts: list[Part] = []
    if old_all != new_all:
        parts += [Part(_("In all ")), Part(new_all, "new"), Part(" "), Part(old_all, "old")]
    if old_once != new_once:
        parts += [Part(" · " + _("at once ") if parts else _("At once ")), Part(new_once, "new"), Part(" ")]
        parts.append(Part(old_once, "old"))
    if parts:
        lines.append(tuple(parts))
    lines += _dry_in(change, zone)
    if change.new_p_wet is not None and new_all != "0":
        words = {"new": formats.share(change.new_p_wet), "squares": old_all}
        text = _("Chance of a wetting %(new)s") % words
        if change.old_p_wet is not None and old_all != new_all and old_all != "0":
            text += _(", at %(squares)s: %(old)s") % {**words, "old": formats.share(change.old_p_wet)}
        lines.append((Part(text + "."),))
    return lines


def _dry_in(change: ChangeNote, zone: str) -> list[Line]:
    old, new = change.old_dry_in_by, change.new_dry_in_by
    reason = cause_phrase(change.cause, zone, with_limit=True) if change.cause else ""
    if old == new or (old is None and new is None):
        return [(Part(_capital(reason) + "."),)] if reason else []
    if new is None:
        text = _("No dry-in limit any more") + (f": {reason}." if reason else ".")
        return [(Part(text),)]
    parts = [Part(_("Dry in ")), Part(formats.clock_short(new, zone) if old else formats.clock(new, zone), "new")]
    if old is not None:
        parts += [Part(" "), Part(formats.clock(old, zone), "old"), Part(": " + _shift(change, old, new, reason))]
    elif reason:
        parts.append(Part(f": {reason}."))
    return [tuple(parts)]


def _shift(change: ChangeNote, old: datetime, new: datetime, reason: str) -> str:
    """Say why in a few words: `rain 2 h earlier`, else the cause itself."""
    if change.cause is not None and change.cause.code == "rain":
        apart = formats.span(abs((old - new).total_seconds()) / 3600)
        return (_("rain %(span)s earlier.") if new < old else _("rain %(span)s later.")) % {"span": apart}
    return f"{reason}." if reason else _("changed.")


def _source_line(row: TodayRow, zone: str) -> str:
    note = row.forecast
    parts = []
    if note.next_try_at is not None:
        parts.append(_("Next try %(clock)s.") % {"clock": formats.clock(note.next_try_at, zone)})
    if note.failure:
        parts.append(_("The source answered: %(failure)s.") % {"failure": note.failure.rstrip(".")})
    return " ".join(parts)


def told_line(row: TodayRow, zone: str) -> str:
    """Say when the crew was told and who confirmed it, or that nobody did."""
    told = row.told
    if told.at is None:
        return ""
    text = _("Crew told %(clock)s") % {"clock": formats.clock_short(told.at, zone)}
    if told.confirmed_at is not None:
        words = {"name": told.confirmed_by, "clock": formats.clock_short(told.confirmed_at, zone)}
        return text + _(", %(name)s confirmed %(clock)s.") % words
    if told.state in ("failed", "uncertain"):
        return _("Not sure that the crew was told: call.")
    return text + (_(", nobody confirmed: call.") if told.overdue else ".")


def accept_label(row: TodayRow) -> str:
    """Return the words of the accept button: both figures where there are some, else what will hold."""
    line = row.waiting or row.line
    if line.verdict == "tear_off":
        words = {"all": formats.figure(line.in_all_today_squares), "once": formats.figure(line.bare_at_once_squares)}
        return _("Accept %(all)s, %(once)s at once") % words
    if line.verdict == "unknown":
        return _("Accept, keep closed")
    if row.change is not None and row.change.any:
        return _("Accept, tell the crew")
    return _("Accept, shingle only") if line.verdict == "no_tear_off" else _("Accept, stay off")


def accepted_label(row: TodayRow, zone: str) -> str:
    """Return the words of the dashed button after accepting."""
    return _("Accepted %(clock)s") % {"clock": formats.clock(row.accepted_at, zone)} if row.accepted_at else ""


def job_line(row: TodayRow) -> str:
    """Return `J-2041 · crew Ruiz, 5 people · 23.8 sq, 6/12`."""
    job = row.job
    count = job.people_here if job.people_here is not None else job.people_planned
    roof = f"{formats.measured(job.squares, 'sq')}, {formats.pitch(job.pitch_in_12)}"
    if not job.crew_name:
        return " · ".join([job.number, _("no crew"), roof])
    crew = _("crew %(name)s, %(people)s") % {"name": job.crew_name, "people": formats.people(count)}
    return " · ".join([job.number, crew, roof])


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
