"""Turns codes into the trade's words: the four verdicts, the causes, and the key line in its one form."""

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from crews.boards.key_line import Cause, KeyLine
from roofops.pages.wording.causes import cause_phrase, merged
from roofops.pages.wording.formats import amount, clock, figure

SOON = timedelta(minutes=30)  # work that begins within this is not given a starting time


@dataclass(frozen=True)
class KeyWords:
    """The key line in two weights: bold is what to do, plain is why."""

    bold: str
    plain: str

    def __str__(self) -> str:
        return f"{self.bold} {self.plain}".strip()


def verdict_word(verdict: str, *, has_closed_work: bool = True) -> str:
    """Return the word of a verdict; without closed work to do, no tear-off is only that."""
    words = {
        "tear_off": _("OK to tear off"),
        "no_tear_off": _("No tear-off, shingle only") if has_closed_work else _("No tear-off"),
        "stay_off": _("Stay off the roof"),
        "unknown": _("Unknown, keep it closed"),
    }
    return words[verdict]


def verdict_short(verdict: str) -> str:
    """Return the verdict as it stands inside a sentence."""
    words = {
        "tear_off": _("OK to tear off"),
        "no_tear_off": _("shingle only"),
        "stay_off": _("stay off the roof"),
        "unknown": _("unknown"),
    }
    return words[verdict]


def key_words(
    line: KeyLine,
    zone: str,
    *,
    reasons: tuple[Cause, ...] = (),
    tomorrow: bool = False,
    now: datetime | None = None,
) -> KeyWords:
    """Return the key line of a roof's day; `reasons` name further causes of staying off, what began before `now` is
    not announced any more."""
    if now is not None and line.shingle_from is not None and line.shingle_from <= now + SOON:
        line = replace(line, shingle_from=None)
    if line.verdict == "tear_off":
        return _tear_off(line, zone, tomorrow)
    if line.verdict == "stay_off":
        return _stay_off(line, zone, reasons)
    if line.verdict == "unknown":
        return _unknown(line, zone, now)
    return _no_tear_off(line, zone, now)


def why(line: KeyLine, zone: str) -> str:
    """Return the cause alone, for a folded row: `rain likely from 3 pm (70 %)`."""
    return cause_phrase(line.cause, zone, with_limit=line.verdict != "tear_off") if line.cause else ""


def _tear_off(line: KeyLine, zone: str, tomorrow: bool) -> KeyWords:
    at_once, in_all = figure(line.bare_at_once_squares), figure(line.in_all_today_squares)
    first = ngettext("No more than %(n)s square bare at once.", "No more than %(n)s squares bare at once.", _n(at_once))
    total = _("In all tomorrow %(n)s") if tomorrow else _("In all today %(n)s")
    total = total % {"n": in_all} + (_(", stop at %(place)s.") % {"place": line.stop_line} if line.stop_line else ".")
    bold = [first % {"n": at_once}, total]
    plain = _office(line)
    if line.dry_in_by is not None:
        reason = why(line, zone)
        end = ":" if reason else "."
        bold.append(_("Dry in by %(clock)s") % {"clock": clock(line.dry_in_by, zone)} + end)
        plain.insert(0, _sentence(reason))
    plain.append(_bare_now(line))
    return KeyWords(" ".join(bold), _joined(plain))


def _stay_off(line: KeyLine, zone: str, reasons: tuple[Cause, ...]) -> KeyWords:
    reason = _reasons(reasons or ((line.cause,) if line.cause else ()), zone)
    bold = []
    if _something_open(line) and line.dry_in_by is not None:
        bold.append(_("Dry in by %(clock)s.") % {"clock": clock(line.dry_in_by, zone)})
    bold.append(_off_span(line, zone) + (":" if reason else "."))
    plain = [_sentence(reason), *_office(line)]
    if _something_open(line):
        plain += [_bare_now(line), _("Cover it as soon as it is safe to be up there.")]
    else:
        plain.append(_("Nothing is bare."))
    if line.shingle_squares >= 0.05:
        plain.append(_shingle(line, zone))
    return KeyWords(" ".join(bold), _joined(plain))


def _reasons(causes: tuple[Cause, ...], zone: str) -> str:
    """Name the causes one after the other; a wet roof behind another cause only has to dry."""
    phrases = [
        _("then the roof dries") if cause.code == "wet" and index else cause_phrase(cause, zone, with_limit=True)
        for index, cause in enumerate(merged(causes))
    ]
    return ", ".join(dict.fromkeys(phrase for phrase in phrases if phrase))


def _off_span(line: KeyLine, zone: str) -> str:
    start = clock(line.off_from, zone) if line.off_from else ""
    end = clock(line.off_until, zone) if line.off_until else ""
    if start and end:
        return _("Off the roof %(start)s to %(end)s") % {"start": start, "end": end}
    if end:
        return _("Off the roof until %(end)s") % {"end": end}
    if start:
        return _("Off the roof from %(start)s") % {"start": start}
    return _("Off the roof all day")


def _unknown(line: KeyLine, zone: str, now: datetime | None) -> KeyWords:
    reason = why(line, zone) or _("there is no usable forecast")
    plain = [_sentence(reason), *_office(line), _bare_now(line)]
    if line.has_closed_work:
        plain.append(_("Shingling may go on while the lead sees a dry sky."))
    return KeyWords(" ".join([*_close_first(line, zone, now), _("Tear off nothing:")]), _joined(plain))


def _no_tear_off(line: KeyLine, zone: str, now: datetime | None) -> KeyWords:
    bold = _close_first(line, zone, now)
    if line.shingle_squares >= 0.05:
        bold.append(_shingle(line, zone))
    nothing_left = line.old_squares < 0.05 and line.cause is not None and line.cause.code in ("nothing_old", "done")
    reason = why(line, zone)
    if not nothing_left:
        bold.append(_("Tear off nothing") + (":" if reason else "."))
    plain = [_sentence(reason, capital=nothing_left), *_office(line), _bare_now(line)]
    return KeyWords(" ".join(bold), _joined(plain))


def _shingle(line: KeyLine, zone: str) -> str:
    squares = figure(line.shingle_squares)
    if line.shingle_from is not None:
        words = {"n": squares, "clock": clock(line.shingle_from, zone)}
        return (
            ngettext("Shingle %(n)s square from %(clock)s.", "Shingle %(n)s squares from %(clock)s.", _n(squares))
            % words
        )
    return ngettext("Shingle %(n)s square.", "Shingle %(n)s squares.", _n(squares)) % {"n": squares}


def _close_first(line: KeyLine, zone: str, now: datetime | None) -> list[str]:
    if not _something_open(line):
        return []
    if now is not None and line.dry_in_by is not None and line.dry_in_by <= now:
        return [_("Close now what is open.")]
    if line.dry_in_by is None:
        return [_("Close first what is open.")]
    return [_("Close first what is open, dry in by %(clock)s.") % {"clock": clock(line.dry_in_by, zone)}]


def _something_open(line: KeyLine) -> bool:
    return line.bare_now_squares >= 0.05 or line.open_ridge_now_ft >= 0.5


def _bare_now(line: KeyLine) -> str:
    if line.ahead:  # nothing of it is bare now; what the day begins with stands in a line of its own
        return ""
    parts = []
    if line.bare_now_squares >= 0.05:
        squares = figure(line.bare_now_squares)
        parts.append(ngettext("%(n)s is bare now.", "%(n)s are bare now.", _n(squares)) % {"n": squares})
    if line.open_ridge_now_ft >= 0.5:
        parts.append(_("%(feet)s of ridge are open now.") % {"feet": amount(round(line.open_ridge_now_ft), "ft")})
    return " ".join(parts)


def _office(line: KeyLine) -> list[str]:
    """Say what the office set: a hold, or a limit of its own."""
    parts = []
    if line.held and not (line.cause is not None and line.cause.code == "held"):
        reason = f": {line.office_reason}." if line.office_reason else "."
        parts.append(_("Held by the office") + reason)
    elif line.own_limit_squares is not None and line.verdict == "tear_off":
        parts.append(_("The office's limit is %(n)s in all.") % {"n": figure(line.own_limit_squares)})
    return parts


def _sentence(phrase: str, *, capital: bool = False) -> str:
    if not phrase:
        return ""
    phrase = phrase[0].upper() + phrase[1:] if capital else phrase
    return phrase if phrase.endswith((".", "?")) else phrase + "."


def _joined(parts: list[str]) -> str:
    """Join sentences; the first follows a colon and keeps its small letter."""
    return " ".join(part for part in parts if part)


def _n(text: str) -> int:
    """Return the number that decides between singular and plural: only a plain 1 is one."""
    return 1 if text == "1" else 2
