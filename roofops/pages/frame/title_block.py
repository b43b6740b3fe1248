"""The title block at the top right of every page: yard, date and clock, forecast issue and age."""

from dataclasses import dataclass
from datetime import datetime

from django.utils.translation import gettext as _

from crews.boards.forecast_note import ForecastNote
from roofops.pages.wording import formats


@dataclass(frozen=True)
class TitleBlock:
    """Two lines for each of its three boxes; plain text."""

    yard: str
    company: str
    date: str
    clock: str
    forecast: str
    age: str
    forecast_short: str  # for a phone
    age_short: str
    invented: bool = False
    attribution: str = ""


def title_block(yard: str, company: str, zone: str, now: datetime, forecast: ForecastNote | None) -> TitleBlock:
    """Return the block; where there is no usable forecast it says so and never shows an empty box."""
    long, short = _forecast_lines(zone, now, forecast)
    return TitleBlock(
        yard=yard,
        company=company,
        date=formats.day(formats.local(now, zone).date()),
        clock=formats.clock(now, zone),
        forecast=long[0],
        age=long[1],
        forecast_short=short[0],
        age_short=short[1],
        invented=bool(forecast and forecast.invented),
        attribution=forecast.attribution if forecast and not forecast.invented else "",
    )


Lines = tuple[str, str]


def _forecast_lines(zone: str, now: datetime, forecast: ForecastNote | None) -> tuple[Lines, Lines]:
    if forecast is None:
        return ("", ""), ("", "")
    if forecast.issued_at is None or forecast.age_hours is None:
        none = (_("No forecast"), _("open nothing"))
        return none, none
    issued = formats.clock(forecast.issued_at, zone)
    if formats.local(forecast.issued_at, zone).date() != formats.local(now, zone).date():
        day = formats.day_short(formats.local(forecast.issued_at, zone).date())
        issued = _("%(day)s, %(clock)s") % {"day": day, "clock": issued}
    words = {"age": formats.span(forecast.age_hours)}
    short_age = _("%(age)s old") % words if forecast.usable_today else _("%(age)s old, not usable") % words
    age = short_age
    if forecast.usable_today and forecast.next_try_at is not None:
        age = _("%(age)s old, next %(clock)s") % {**words, "clock": formats.clock(forecast.next_try_at, zone)}
    short = _("Forecast %(clock)s") % {"clock": issued}
    return (_("Forecast issued %(clock)s") % {"clock": issued}, age), (short, short_age)
