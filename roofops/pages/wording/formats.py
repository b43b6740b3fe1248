"""How moments, amounts and ages are written on the screen: number, no-break space, unit."""

from datetime import date, datetime, time
from zoneinfo import ZoneInfo

from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext, pgettext

NBSP = "\N{NO-BREAK SPACE}"


def local(moment: datetime, zone: str) -> datetime:
    """Return the moment on the wall clock of a zone."""
    return moment.astimezone(ZoneInfo(zone))


def clock(moment: datetime, zone: str) -> str:
    """Return `1:30 pm`, whole hours `3 pm`, `noon` and `midnight` in words."""
    return wall_clock(local(moment, zone).time())


def wall_clock(at: time) -> str:
    """Return a wall-clock time in the same words as `clock`."""
    if at.minute == 0 and at.hour == 12:
        return pgettext("time of day", "noon")
    if at.minute == 0 and at.hour == 0:
        return pgettext("time of day", "midnight")
    minutes = f":{at.minute:02d}" if at.minute else ""
    return f"{_hour_of_12(at)}{minutes}{NBSP}{half_day(at)}"


def clock_short(moment: datetime, zone: str) -> str:
    """Return `9:06`, for notes where the half of the day is plain."""
    at = local(moment, zone)
    return f"{_hour_of_12(at)}:{at.minute:02d}"


def half_day(at: datetime | time) -> str:
    """Return `am` or `pm` of a wall-clock time."""
    return pgettext("half of the day", "am") if at.hour < 12 else pgettext("half of the day", "pm")


def hour_label(at: datetime, *, with_half: bool) -> str:
    """Return the label of a whole hour on a ruler: `6 am` at its ends, `7` between, `noon` in words."""
    if at.hour == 12:
        return pgettext("time of day", "noon")
    if with_half:
        return f"{_hour_of_12(at)}{NBSP}{half_day(at)}"
    return str(_hour_of_12(at))


def _hour_of_12(at: datetime | time) -> int:
    return at.hour % 12 or 12


def day(value: date) -> str:
    """Return `Tue, Oct 13`."""
    return date_format(value, _("D, M j")).replace(" ", NBSP)


def day_short(value: date) -> str:
    """Return `Thu 15`."""
    return date_format(value, _("D j")).replace(" ", NBSP)


def weekday(value: date) -> str:
    """Return `Wednesday`."""
    return date_format(value, "l")


def month_day(value: date) -> str:
    """Return `Oct 19`."""
    return date_format(value, _("M j")).replace(" ", NBSP)


def figure(value: float) -> str:
    """Return an amount with at most one decimal: `9.8`, `5`."""
    text = f"{value:.1f}"
    return text[:-2] if text.endswith(".0") else text


def amount(value: float, unit: str) -> str:
    """Return `9.8 sq`."""
    return f"{figure(value)}{NBSP}{unit}"


def measured(value: float, unit: str) -> str:
    """Return `22.0 sq`: a measured amount keeps its decimal."""
    return f"{value:.1f}{NBSP}{unit}"


def share(value: float) -> str:
    """Return `70 %` for 0.70."""
    percent = value * 100
    if 0 < percent < 1:
        return f"<{NBSP}1{NBSP}%"
    return f"{percent:.0f}{NBSP}%"


def mph(value: float) -> str:
    """Return `38 mph`."""
    return f"{value:.0f}{NBSP}mph"


def deg_f(value: float) -> str:
    """Return `64 °F`."""
    return f"{value:.0f}{NBSP}°F"


def span(hours: float) -> str:
    """Return a stretch of time as `9 h 22 min`, `15 min`, `6 h`."""
    minutes = max(0, round(hours * 60))
    whole, rest = divmod(minutes, 60)
    if not whole:
        return f"{rest}{NBSP}min"
    return f"{whole}{NBSP}h {rest}{NBSP}min" if rest else f"{whole}{NBSP}h"


def hours(value: float) -> str:
    """Return `3.0 h`."""
    return f"{value:.1f}{NBSP}h"


def pitch(value: float) -> str:
    """Return `6/12`."""
    return f"{figure(value)}/12"


def people(count: float) -> str:
    """Return `5 people`."""
    return ngettext("%(n)s person", "%(n)s people", round(count)) % {"n": figure(count)}
