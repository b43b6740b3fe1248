"""The labels of sky and roof: chance of rain, gust peak and limit, frost, squares, feet of open ridge."""

from django.utils.translation import gettext as _

from crews.boards.key_line import Cause
from crews.boards.sky_strip import SkyHour, Strip
from roofops.pages.strip.axis import Axis
from roofops.pages.strip.labels import Labels
from roofops.pages.strip.shapes import Text
from roofops.pages.strip.sizes import StripSize
from roofops.pages.strip.sky import GUST_TOP_MPH, HOUR, flagged_spans, gust_y, rain_depth
from roofops.pages.wording import formats

RAIN_WORTH_A_LABEL = 0.2


def rain_words(axis: Axis, size: StripSize, strip: Strip, named: Cause | None, labels: Labels) -> None:
    """Write the chance of rain that the sentence names, else the day's highest, below its step."""
    hour = _hour_of_the_sentence(strip, named) or _wettest(strip)
    if hour is None or hour.rain_chance is None:
        return
    words = formats.share(hour.rain_chance)
    x = axis.inside(hour.start) + axis.hour_px / 2
    below = size.sky_top + rain_depth(hour.rain_chance, size) + size.text_px + 2
    y = min(below, size.sky_floor - 3)
    choices = [
        Text(x + dx * axis.hour_px, y, words, size.text_px, "middle", bold=True, cls="rain") for dx in (0, 1, -1)
    ]
    labels.place(choices)


def _hour_of_the_sentence(strip: Strip, named: Cause | None) -> SkyHour | None:
    """Return the first hour with the very chance that the sentence names, else the hour in which its rain begins."""
    if named is None or named.code != "rain" or named.start is None:
        return None
    start, end = named.start, named.end or strip.end
    hours = [h for h in strip.hours if h.start + HOUR > start and h.start < end and h.rain_chance is not None]
    if named.value is not None:
        words = formats.share(named.value)
        for hour in hours:
            if hour.rain_chance is not None and formats.share(hour.rain_chance) == words:
                return hour
    return hours[0] if hours else None


def _wettest(strip: Strip) -> SkyHour | None:
    known = [h for h in strip.hours if (h.rain_chance or 0) >= RAIN_WORTH_A_LABEL]
    return max(known, key=lambda h: h.rain_chance or 0, default=None)


def gust_words(axis: Axis, size: StripSize, strip: Strip, labels: Labels) -> None:
    """Label the peak where it passes the limit (with the limit) or where the strip names everything."""
    known = [hour for hour in strip.hours if hour.gust_mph is not None and axis.has(hour.start + HOUR / 2)]
    peak = max(known, key=lambda hour: hour.gust_mph or 0, default=None)
    if peak is None or peak.gust_mph is None:
        return
    over = strip.gust_limit_mph is not None and peak.gust_mph > strip.gust_limit_mph
    if not over and not size.named:
        return
    x, y = axis.x(peak.start + HOUR / 2), gust_y(peak.gust_mph, size)
    words = formats.mph(peak.gust_mph)
    labels.place(
        [Text(x, at, words, size.text_px, "middle", bold=True) for at in (max(y + 5, size.sky_top + 12), y + 18, y - 6)]
    )
    if over and strip.gust_limit_mph is not None:
        above = [h for h in known if (h.gust_mph or 0) > strip.gust_limit_mph]
        first, last = axis.x(above[0].start), axis.x(above[-1].start + HOUR)
        limit = _("gust limit %(mph)s") % {"mph": formats.figure(strip.gust_limit_mph)}
        limit_y = gust_y(min(strip.gust_limit_mph, GUST_TOP_MPH), size)
        labels.place(
            [
                Text(x, at, limit, size.text_px, anchor, cls="chalk")
                for x, anchor in ((last + 8, "start"), (first - 8, "end"), (last - 8, "end"), (first + 8, "start"))
                for at in (limit_y - 4, limit_y + 14)
            ]
        )


def frost_words(axis: Axis, size: StripSize, strip: Strip, labels: Labels) -> None:
    """Say until when frost lies, above the ribbon."""
    for start, end in flagged_spans(strip.hours, "frost"):
        if axis.inside(end) <= axis.inside(start):
            continue
        words = _("frost to %(clock)s") % {"clock": formats.clock(end, strip.zone)}
        y = size.sky_floor - 4
        labels.place(
            [Text(axis.inside(end) + 12, y, words, size.text_px), Text(axis.inside(start) + 8, y, words, size.text_px)]
        )
