"""Beyond the forecast: how much of a work day is usable in each month, and the sky that stands for it.

A plan over two weeks outruns the forecast. Its far days are walked under a 'typical' sky: every daylight hour allowed,
the crew slowed to what weather leaves of a day in that month. The time so lost is no labor. It is priced as a wait
under a forecast is, so that far days do not look better than near ones, and it is not counted among the idle hours,
which are those that a forecast shows. Such days permit nothing: on the day itself the forecast decides.
"""

from dataclasses import replace
from datetime import datetime

from crews.planner.exposure import Sky
from crews.planner.problem import CrewDay

# Usable share of an ordinary shift per month, northern United States; what darkness takes of it is counted in.
# Planning assumption, to be replaced by own records; no published source.
WORKABLE_SHARE = {
    1: 0.50, 2: 0.55, 3: 0.65, 4: 0.72, 5: 0.78, 6: 0.80,
    7: 0.82, 8: 0.83, 9: 0.82, 10: 0.78, 11: 0.66, 12: 0.52,
}  # fmt: skip


def with_typical(sky: Sky) -> Sky:
    """The sky with its trailing unknown hours made typical; hours missing inside the forecast stay unknown."""
    n_slots = len(sky.wet)
    first = n_slots
    per_hour = 60 // sky.slot_minutes
    while first > 0 and not sky.known[first - 1]:
        first -= 1
    first = -(-first // per_hour) * per_hour
    if first >= n_slots:
        return sky
    light = [not dark for dark in sky.dark[first:]]
    hours = first // per_hour
    return replace(
        sky,
        allowed={kind: [*row[:first], *light] for kind, row in sky.allowed.items()},
        wet=[*sky.wet[:first], *([False] * len(light))],
        danger=[*sky.danger[:first], *([False] * len(light))],
        known=[*sky.known[:first], *([True] * len(light))],
        pop=[*sky.pop[:hours], *([0.0] * (len(sky.pop) - hours))],
        block=list(range(len(sky.pop))) if not sky.block else sky.block,
        causes={kind: tuple(row[:hours]) for kind, row in sky.causes.items()},
        typical_from=first * sky.slot_minutes,
    )


def typical_day(day: CrewDay, sky: Sky) -> CrewDay:
    """A crew day with what weather leaves of it where it lies beyond the forecast; give the whole shift.

    The month's share counts darkness in, and the walk stops at dark by itself: of the lit part of the shift the share
    divided by that part is usable, at most all of it. So darkness is taken off once.
    """
    if sky.minute(day.start) < sky.typical_from:
        return day
    return replace(day, usable=min(1.0, WORKABLE_SHARE[day.start.month] / lit_share(day, sky)))


def lit_share(day: CrewDay, sky: Sky) -> float:
    """Share of a shift between sunrise and sunset (0-1]; 1 for a shift that lies in the dark altogether."""
    first, last = sky.minute(day.start), sky.minute(day.end)
    minutes = range(round(first), round(last), sky.slot_minutes)
    lit = sum(1 for minute in minutes if not sky.flag(sky.dark, minute, outside=False))
    return lit / len(minutes) if lit else 1.0


def is_typical(moment: datetime, sky: Sky) -> bool:
    """Whether a moment lies beyond the forecast."""
    return sky.minute(moment) >= sky.typical_from
