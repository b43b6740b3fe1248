"""One cause in words: what it is, from when, and both figures where a limit is passed."""

from collections.abc import Callable, Iterable
from dataclasses import replace

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from crews.boards.key_line import Cause
from roofops.pages.wording.formats import NBSP, clock, deg_f, figure, mph, share, span

LIKELY = 0.5  # from this chance on it is called likely, below it may come
MOST_NAMED = 3  # no sentence names more causes than this
# Dangers to people first, then what keeps a roof from being worked on.
WEIGHT = ("thunder", "gust", "wind", "alert", "snow", "rain", "frost", "dew", "cold", "dark", "wet")
LOWER_IS_WORSE = ("cold",)


def cause_phrase(cause: Cause, zone: str, *, with_limit: bool = False) -> str:
    """Return a cause as part of a sentence, without a full stop: `rain likely from 3 pm (70 %)`.

    Unknown codes give the words that the cause carries itself, or nothing.
    """
    words = _PHRASES.get(cause.code)
    return words(cause, zone, with_limit) if words else cause.text


def merged(causes: Iterable[Cause]) -> tuple[Cause, ...]:
    """Return each cause once, with its first moment, its last and its worst figure; gravest first, three at most."""
    by_code: dict[str, Cause] = {}
    for cause in causes:
        known = by_code.get(cause.code)
        by_code[cause.code] = cause if known is None else _worse(known, cause)
    ranked = sorted(by_code.values(), key=lambda c: WEIGHT.index(c.code) if c.code in WEIGHT else len(WEIGHT) - 1.5)
    by_day = [cause for cause in ranked if cause.code != "dark"]
    return tuple((by_day or ranked)[:MOST_NAMED])


def _worse(one: Cause, other: Cause) -> Cause:
    values = [value for value in (one.value, other.value) if value is not None]
    worst = min if one.code in LOWER_IS_WORSE else max
    starts = [moment for moment in (one.start, other.start) if moment is not None]
    ends = [moment for moment in (one.end, other.end) if moment is not None]
    return replace(
        one,
        value=worst(values, default=None),
        start=min(starts, default=None),
        end=max(ends, default=None),
        limit=one.limit if one.limit is not None else other.limit,
    )


def _rain(cause: Cause, zone: str, with_limit: bool) -> str:
    start = clock(cause.start, zone) if cause.start else ""
    if cause.value is None:
        return _("rain from %(clock)s") % {"clock": start} if start else _("rain")
    likely = cause.value >= LIKELY
    if start:
        form = (
            _("rain likely from %(clock)s (%(chance)s)") if likely else _("rain may come from %(clock)s (%(chance)s)")
        )
    else:
        form = _("rain likely (%(chance)s)") if likely else _("rain may come (%(chance)s)")
    phrase = form % {"clock": start, "chance": share(cause.value)}
    if with_limit and cause.limit is not None:
        phrase += _(", your limit is %(limit)s") % {"limit": share(cause.limit)}
    return phrase


def _snow(cause: Cause, zone: str, with_limit: bool) -> str:
    return _since(_("snow"), cause, zone)


def _wet(cause: Cause, zone: str, with_limit: bool) -> str:
    if cause.end is not None:
        return _("the roof is wet until %(clock)s") % {"clock": clock(cause.end, zone)}
    return _("the roof is wet")


def _thunder(cause: Cause, zone: str, with_limit: bool) -> str:
    phrase = _since(_("thunder"), cause, zone)
    return f"{phrase} ({share(cause.value)})" if cause.value is not None and cause.value < 1 else phrase


def _gust(cause: Cause, zone: str, with_limit: bool) -> str:
    return _mph_over(_("gusts to %(mph)s"), _since(_("gusts"), cause, zone), cause)


def _wind(cause: Cause, zone: str, with_limit: bool) -> str:
    return _mph_over(_("wind to %(mph)s"), _since(_("wind"), cause, zone), cause)


def _mph_over(form: str, without_figure: str, cause: Cause) -> str:
    if cause.value is None:
        return without_figure
    phrase = form % {"mph": mph(cause.value)}
    return phrase + _(", limit %(limit)s") % {"limit": figure(cause.limit)} if cause.limit is not None else phrase


def _cold(cause: Cause, zone: str, with_limit: bool) -> str:
    phrase = _until(_("too cold"), cause, zone)
    if cause.value is None or cause.limit is None:
        return phrase
    return phrase + _(" (%(value)s, limit %(limit)s)") % {"value": deg_f(cause.value), "limit": figure(cause.limit)}


def _heat(cause: Cause, zone: str, with_limit: bool) -> str:
    phrase = _since(_("heat"), cause, zone)
    return f"{phrase} ({deg_f(cause.value)})" if cause.value is not None else phrase


def _frost(cause: Cause, zone: str, with_limit: bool) -> str:
    return _until(_("frost"), cause, zone)


def _dew(cause: Cause, zone: str, with_limit: bool) -> str:
    return _until(_("dew on the roof"), cause, zone)


def _dark(cause: Cause, zone: str, with_limit: bool) -> str:
    return _since(_("dark"), cause, zone)


def _shift_end(cause: Cause, zone: str, with_limit: bool) -> str:
    moment = cause.start or cause.end
    if moment is None:
        return _("the crew leaves")
    return _("the crew leaves at %(clock)s") % {"clock": clock(moment, zone)}


def _too_old(cause: Cause, zone: str, with_limit: bool) -> str:
    if cause.value is None:
        return _("the forecast is too old")
    phrase = _("the forecast is %(age)s old") % {"age": span(cause.value)}
    return phrase + _(", limit %(limit)s") % {"limit": span(cause.limit)} if cause.limit is not None else phrase


def _unknown(cause: Cause, zone: str, with_limit: bool) -> str:
    if cause.start is not None:
        return _("the forecast says nothing from %(clock)s on") % {"clock": clock(cause.start, zone)}
    return _("there is no usable forecast")


def _held(cause: Cause, zone: str, with_limit: bool) -> str:
    return _("held by the office, %(reason)s") % {"reason": cause.text} if cause.text else _("held by the office")


def _own_limit(cause: Cause, zone: str, with_limit: bool) -> str:
    limit = cause.limit if cause.limit is not None else cause.value
    if limit is None:
        return _("the office's own limit")
    return _("the office's limit is %(n)s squares in all") % {"n": figure(limit)}


def _load(cause: Cause, zone: str, with_limit: bool) -> str:
    what = cause.text or _("the load")
    if cause.start is None:
        return _("waits for %(load)s") % {"load": what}
    return _("%(load)s due at %(clock)s") % {"load": what, "clock": clock(cause.start, zone)}


def _inspection(cause: Cause, zone: str, with_limit: bool) -> str:
    if cause.start is None:
        return _("the inspector must see the deck, no visit is booked")
    if cause.end is None:
        return _("the inspector comes at %(clock)s") % {"clock": clock(cause.start, zone)}
    words = {"start": clock(cause.start, zone), "end": clock(cause.end, zone)}
    return _("the inspector comes %(start)s to %(end)s") % words


def _people(cause: Cause, zone: str, with_limit: bool) -> str:
    if cause.value is None:
        return _("too few people are here")
    if cause.value < 0.5:
        return _("nobody is here")
    return ngettext("%(n)s person is here", "%(n)s people are here", round(cause.value)) % {"n": figure(cause.value)}


def _time(cause: Cause, zone: str, with_limit: bool) -> str:
    if cause.value is None or cause.limit is None:
        return _("there is not enough time to close a slope")
    words = {"need": f"{cause.value:.1f}{NBSP}h", "have": f"{cause.limit:.1f}{NBSP}h"}
    return _("a first slope needs %(need)s, only %(have)s are dry") % words


def _since(noun: str, cause: Cause, zone: str) -> str:
    if cause.start is None:
        return noun
    return _("%(what)s from %(clock)s") % {"what": noun, "clock": clock(cause.start, zone)}


def _until(noun: str, cause: Cause, zone: str) -> str:
    if cause.end is None:
        return noun
    return _("%(what)s until %(clock)s") % {"what": noun, "clock": clock(cause.end, zone)}


def _plain(text: Callable[[], str]) -> Callable[[Cause, str, bool], str]:
    return lambda cause, _zone, _with_limit: cause.text or text()


_PHRASES: dict[str, Callable[[Cause, str, bool], str]] = {
    "rain": _rain,
    "snow": _snow,
    "wet": _wet,
    "thunder": _thunder,
    "gust": _gust,
    "wind": _wind,
    "cold": _cold,
    "heat": _heat,
    "frost": _frost,
    "dew": _dew,
    "dark": _dark,
    "shift_end": _shift_end,
    "too_old": _too_old,
    "issued_long_ago": _too_old,
    "unknown": _unknown,
    "no_point": _plain(lambda: _("no forecast place is set for this address")),
    "source_off": _plain(lambda: _("no weather service is set up")),
    "not_for_today": _plain(lambda: _("the forecast leaves out today")),
    "none": _plain(lambda: _("no forecast has come yet")),
    "alert": _plain(lambda: _("a weather warning")),
    "held": _held,
    "own_limit": _own_limit,
    "load": _load,
    "inspection": _inspection,
    "people": _people,
    "time": _time,
    "ready": _plain(lambda: _("the job is not ready to build")),
    "nothing_old": _plain(lambda: _("no old roof is left")),
    "done": _plain(lambda: _("this roof is finished")),
}
