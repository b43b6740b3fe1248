"""When a day's verdict counts as changed: tighter acts at once, looser waits for a person.

The comparison of words, squares and times is the planner's (crews.planner.verdict); here stands what the running day
adds: figures are rounded the safe way, hours off the roof count, and a person is asked only where it is worth it.
"""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from math import floor

from crews.planner.exposure import Sky
from crews.planner.problem import AREA_SLACK, Policy
from crews.planner.verdict import STRICTNESS, Band, DayVerdict, Word, is_tighter, merge_in_force
from weather.work_hours import Kind

TIME_STEP_MINUTES = 5
SQUARES_STEP = 0.1
# A looser verdict is put before a person only where it is worth the look.
LOOSER_SQUARES = 0.5
LOOSER_TIME = timedelta(minutes=15)
HOUR = timedelta(hours=1)


def rounded(verdict: DayVerdict) -> DayVerdict:
    """The verdict in steps of a tenth of a square and five minutes, rounded down: less, and sooner."""
    by = verdict.dry_in_by
    if by is not None:
        by = by.replace(minute=by.minute // TIME_STEP_MINUTES * TIME_STEP_MINUTES, second=0, microsecond=0)
    return replace(
        verdict,
        bare_at_once_squares=_down(verdict.bare_at_once_squares),
        in_all_today_squares=_down(verdict.in_all_today_squares),
        dry_in_by=by,
    )


def _down(squares: float) -> float:
    return round(floor(squares / SQUARES_STEP + 1e-6) * SQUARES_STEP, 1)


def tightens(new: DayVerdict, old: DayVerdict, now: datetime) -> bool:
    """True where any part of the new verdict asks for more care than the old one; only hours ahead count."""
    return is_tighter(_comparable(new, old), _comparable(old, new)) or bool(
        off_hours(new.bands, now) - off_hours(old.bands, now)
    )


def loosens(new: DayVerdict, old: DayVerdict, now: datetime) -> bool:
    """True where the new verdict would let so much more happen than the old one that a person is asked."""
    later = new.dry_in_by is not None and old.dry_in_by is not None and new.dry_in_by >= old.dry_in_by + LOOSER_TIME
    opens = new.verdict is Word.TEAR_OFF
    return (
        STRICTNESS[new.verdict] < STRICTNESS[old.verdict]
        or (opens and new.bare_at_once_squares >= old.bare_at_once_squares + LOOSER_SQUARES)
        or (opens and new.in_all_today_squares >= old.in_all_today_squares + LOOSER_SQUARES)
        or (opens and later)
        or (bool(off_hours(old.bands, now) - off_hours(new.bands, now)) and new.verdict is not Word.UNKNOWN)
    )


def _comparable(verdict: DayVerdict, other: DayVerdict) -> DayVerdict:
    """The verdict without what merely follows from work that was done: squares, where neither verdict opens."""
    if verdict.verdict is Word.TEAR_OFF or other.verdict is Word.TEAR_OFF:
        return verdict
    return replace(verdict, bare_at_once_squares=0.0, in_all_today_squares=0.0)


def in_force(old: DayVerdict, new: DayVerdict, now: datetime) -> DayVerdict:
    """What holds until a person accepts the new verdict: of each part the tighter one, hour by hour."""
    merged = merge_in_force(old, new)
    # Under a sky that is unknown by now a crew may have open what it has not reported: its dry-in moment stands.
    still_open = new.bare_now_squares > AREA_SLACK or merged.verdict in (Word.TEAR_OFF, Word.UNKNOWN)
    return replace(
        merged,
        bands=stricter_bands(new.bands, old.bands, now),
        dry_in_by=_sooner(merged.dry_in_by, old.dry_in_by if merged.verdict is Word.UNKNOWN else None)
        if still_open
        else None,
    )


def _sooner(one: datetime | None, other: datetime | None) -> datetime | None:
    return min((moment for moment in (one, other) if moment is not None), default=None)


def off_hours(bands: Sequence[Band], now: datetime) -> frozenset[datetime]:
    """The hours still ahead in which nobody may be on the roof for another reason than the dark."""
    hours: set[datetime] = set()
    for band in bands:
        hour = band.start
        while band.kind is Word.STAY_OFF and band.code != "dark" and hour < band.end:
            hours.add(hour)
            hour += HOUR
    return frozenset(hour for hour in hours if hour + HOUR > now)


def stricter_bands(new: Sequence[Band], old: Sequence[Band], now: datetime) -> tuple[Band, ...]:
    """Hour by hour the stricter of two bands of one day; hours that are over keep what was said of them."""
    was = _by_hour(old)
    hours: list[Band] = []
    for start, band in sorted({**was, **_by_hour(new)}.items()):
        known = was.get(start)
        over = start + HOUR <= now
        if known is not None and (over or STRICTNESS[known.kind] > STRICTNESS[band.kind]):
            band = known
        hours.append(Band(start, start + HOUR, band.kind, band.code))
    return _joined(hours)


def with_past(new: DayVerdict, old: DayVerdict, now: datetime) -> DayVerdict:
    """The new verdict with the hours that are over as they were told: a later forecast does not rewrite them."""
    over = {hour: band for hour, band in _by_hour(old.bands).items() if hour + HOUR <= now}
    hours = sorted({**_by_hour(new.bands), **over}.items())
    return replace(new, bands=_joined([replace(band, start=hour, end=hour + HOUR) for hour, band in hours]))


def _joined(hours: Sequence[Band]) -> tuple[Band, ...]:
    """Hour bands with equal neighbours joined."""
    joined: list[Band] = []
    for band in hours:
        if joined and joined[-1].end == band.start and (joined[-1].kind, joined[-1].code) == (band.kind, band.code):
            joined[-1] = replace(joined[-1], end=band.end)
        else:
            joined.append(band)
    return tuple(joined)


def _by_hour(bands: Sequence[Band]) -> dict[datetime, Band]:
    hours = {}
    for band in bands:
        start = band.start
        while start < band.end:
            hours[start] = band
            start += HOUR
    return hours


def capped(policy: Policy, verdict: DayVerdict) -> Policy:
    """The policy under which a walk stays within a verdict's squares."""
    if verdict.verdict is not Word.TEAR_OFF:
        return replace(policy, held=True)
    least = min(policy.bare_at_once_squares, max(verdict.bare_at_once_squares, SQUARES_STEP))
    own = verdict.in_all_today_squares
    if policy.own_limit_squares is not None:
        own = min(own, policy.own_limit_squares)
    return replace(policy, bare_at_once_squares=least, own_limit_squares=own)


def closed_from(sky: Sky, moment: datetime | None) -> Sky:
    """The sky in which no deck may lie bare from a moment on: what a dry-in time in force means for a walk."""
    if moment is None:
        return sky
    first = max(0, int(sky.minute(moment) // sky.slot_minutes))
    allowed = dict(sky.allowed)
    for kind in (Kind.BARE.value, Kind.TEAR_OFF.value):
        row = list(allowed[kind])
        allowed[kind] = [flag and slot < first for slot, flag in enumerate(row)]
    return replace(sky, allowed=allowed)
