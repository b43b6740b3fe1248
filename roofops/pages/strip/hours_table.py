"""The table behind 'Hours in numbers': the strip for those who read figures or cannot see the picture."""

from dataclasses import dataclass

from django.utils.translation import gettext as _

from crews.boards.sky_strip import SkyHour, Strip
from roofops.pages.strip.roof import areas_at
from roofops.pages.strip.sky import HOUR
from roofops.pages.wording import formats
from roofops.pages.wording.key_line import verdict_short

UNKNOWN = "?"


@dataclass(frozen=True)
class HoursTable:
    """Heads and rows as text; the first cell of a row is its hour."""

    caption: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def hours_table(strip: Strip) -> HoursTable:
    """Return the strip's hours as figures; '?' is unknown and never zero."""
    heads = (
        _("Hour"),
        _("Chance of rain"),
        _("Rain, in"),
        _("Gust, mph"),
        _("Wind, mph"),
        _("Temp., °F"),
        _("Bare, sq"),
        _("Sky and roof"),
    )
    caption = _("%(day)s, hour by hour; ? means unknown") % {"day": formats.day(strip.day)}
    hours = strip.hours if not strip.no_forecast else ()
    return HoursTable(caption, heads, tuple(_row(hour, strip) for hour in hours) or _rows_without_sky(strip))


def _row(hour: SkyHour, strip: Strip) -> tuple[str, ...]:
    bare = areas_at(strip.areas, hour.start)["bare"]
    return (
        formats.clock(hour.start, strip.zone),
        UNKNOWN if hour.rain_chance is None else formats.share(hour.rain_chance),
        UNKNOWN if hour.rain_in is None else f"{hour.rain_in:.2f}",
        UNKNOWN if hour.gust_mph is None else f"{hour.gust_mph:.0f}",
        UNKNOWN if hour.wind_mph is None else f"{hour.wind_mph:.0f}",
        UNKNOWN if hour.temp_f is None else f"{hour.temp_f:.0f}",
        formats.figure(bare),
        ", ".join(_marks(hour, strip)),
    )


def _marks(hour: SkyHour, strip: Strip) -> list[str]:
    flags = (
        (hour.thunder, _("thunder")),
        (hour.frost, _("frost")),
        (hour.heat, _("heat")),
        (hour.dark, _("dark")),
        (hour.roof_wet, _("roof wet")),
        (not hour.known, _("unknown")),
    )
    marks = [word for flag, word in flags if flag]
    middle = hour.start + HOUR / 2
    kind = next((band.kind for band in strip.bands if band.start <= middle < band.end and band.code != "dark"), "")
    return ([verdict_short(kind)] if kind else []) + marks


def _rows_without_sky(strip: Strip) -> tuple[tuple[str, ...], ...]:
    rows = []
    moment = strip.start
    while moment < strip.end:
        bare = formats.figure(areas_at(strip.areas, moment)["bare"])
        rows.append((formats.clock(moment, strip.zone), *(UNKNOWN,) * 5, bare, _("no usable forecast")))
        moment += HOUR
    return tuple(rows)
