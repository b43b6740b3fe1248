"""The short forms of Today for a phone: one line of change, one line of a folded row."""

from django.utils.translation import gettext as _

from crews.boards.today import TodayRow
from roofops.pages.strip.bands import cause_word
from roofops.pages.today.words import Line, Part
from roofops.pages.wording import formats
from roofops.pages.wording.key_line import why


def short_change(row: TodayRow, zone: str) -> Line:
    """Return the new figures with the old ones struck through, in one line; empty where nothing changed."""
    change = row.change
    if change is None or not change.any:
        return ()
    pairs = (
        ("", formats.figure(change.new_in_all_squares), formats.figure(change.old_in_all_squares)),
        (_("at once "), formats.figure(change.new_at_once_squares), formats.figure(change.old_at_once_squares)),
    )
    parts: list[Part] = []
    for name, new, old in pairs:
        if new != old:
            parts += [Part((" · " if parts else "") + name), Part(new, "new"), Part(" "), Part(old, "old")]
    new_by, old_by = change.new_dry_in_by, change.old_dry_in_by
    if new_by is not None and old_by is not None and new_by != old_by:
        parts += [Part((" · " if parts else "") + _("dry in ")), Part(formats.clock_short(new_by, zone), "new")]
        parts += [Part(" "), Part(formats.clock(old_by, zone), "old")]
    return tuple(part for part in parts if part.text)


def folded_line(row: TodayRow, zone: str) -> str:
    """Return the reason in a few words: `10:30 am to 4:15 pm, thunder`, `Shingle 8.4 sq`, `Dry in by 1:30 pm`."""
    line = row.line
    if line.verdict == "tear_off" and line.dry_in_by is not None:
        words = {"all": formats.amount(line.in_all_today_squares, "sq"), "clock": formats.clock(line.dry_in_by, zone)}
        return _("%(all)s in all, dry in by %(clock)s") % words
    if line.verdict == "stay_off" and line.off_from is not None and line.off_until is not None:
        words = {"start": formats.clock(line.off_from, zone), "end": formats.clock(line.off_until, zone)}
        return _("%(start)s to %(end)s") % words + (f", {_short_cause(row)}" if _short_cause(row) else "")
    if line.verdict == "no_tear_off" and line.shingle_squares >= 0.05:
        return _("Shingle %(squares)s") % {"squares": formats.amount(line.shingle_squares, "sq")}
    if line.verdict == "unknown" and row.forecast.age_hours is not None:
        return _("Forecast %(age)s old") % {"age": formats.span(row.forecast.age_hours)}
    reason = why(line, zone)
    return reason[:1].upper() + reason[1:]


def _short_cause(row: TodayRow) -> str:
    return cause_word(row.line.cause.code) if row.line.cause else ""
