"""Strips and key lines for tests of the drawing: one invented day, October 13, 2026, at US Central time."""

from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta
from typing import Any

from crews.boards.key_line import KeyLine
from crews.boards.sky_strip import AreaPoint, Band, SkyHour, Strip

ZONE = "America/Chicago"
DAY = date(2026, 10, 13)
MIDNIGHT = datetime(2026, 10, 13, 5, tzinfo=UTC)  # 0:00 on the wall in that zone


def at(hour: float) -> datetime:
    """The moment at which the wall clock of the invented day shows this hour."""
    return MIDNIGHT + timedelta(hours=hour)


def sky_hours(
    chances: Sequence[float | None] = (),
    gusts: Sequence[float | None] = (),
    rain_in: float | None = 0.0,
    first: int = 6,
) -> tuple[SkyHour, ...]:
    """Hours from `first` on; what is not named is dry and calm."""
    n = 14
    chance = [*chances, *[0.0] * (n - len(chances))]
    gust = [*gusts, *[8.0] * (n - len(gusts))]
    return tuple(
        SkyHour(
            start=at(first + i), rain_chance=chance[i], rain_in=rain_in, gust_mph=gust[i], wind_mph=5.0, temp_f=60.0
        )
        for i in range(n)
    )


def areas(*points: tuple[float, float, float, float, float]) -> tuple[AreaPoint, ...]:
    """Break points from (hour, old, bare, dried-in, shingled)."""
    return tuple(AreaPoint(at(h), old, bare, 0.0, dried, shingled) for h, old, bare, dried, shingled in points)


# Tears off from 7:30, at most 5 bare, all dried in at 1:30 pm, shingles after; 20 squares in all.
WORKED_DAY = areas(
    (6, 12, 0, 0, 8),
    (7.5, 12, 0, 0, 8),
    (9.5, 7, 5, 0, 8),
    (11.5, 2, 5, 5, 8),
    (13.5, 2, 0, 10, 8),
    (16, 2, 0, 5, 13),
    (20, 2, 0, 5, 13),
)


def strip(**changes: Any) -> Strip:
    """A dry tear-off day from 6 am to 8 pm at 9:20 am, dry in by 1:30 pm."""
    values: dict[str, Any] = {
        "day": DAY,
        "zone": ZONE,
        "start": at(6),
        "end": at(20),
        "now": at(9 + 20 / 60),
        "sunrise": at(7 + 20 / 60),
        "sunset": at(18 + 28 / 60),
        "hours": sky_hours(),
        "bands": (Band(at(7 + 20 / 60), at(13.5), "tear_off"), Band(at(13.5), at(18), "no_tear_off")),
        "areas": WORKED_DAY,
        "squares": 20.0,
        "dry_in_by": at(13.5),
        "gust_limit_mph": 30.0,
        "rain_limit": 0.1,
    }
    return Strip(**{**values, **changes})


def key_line(**changes: Any) -> KeyLine:
    """Five at once, 9.8 in all, dry in by 1:30 pm."""
    values: dict[str, Any] = {
        "verdict": "tear_off",
        "bare_at_once_squares": 5.0,
        "in_all_today_squares": 9.8,
        "stop_line": "the garage valley",
        "dry_in_by": at(13.5),
        "cause": None,
        "old_squares": 15.6,
        "has_closed_work": True,
    }
    return KeyLine(**{**values, **changes})
