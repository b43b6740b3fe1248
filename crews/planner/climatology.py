"""Beyond the forecast: how much of a work day is usable in each month, and the sky that stands for it.

A plan over two weeks outruns the forecast. Its far days are walked under a 'typical' sky: every daylight hour allowed,
the crew slowed to the month's usable share. Such days permit nothing: on the day itself the forecast decides.
"""

from dataclasses import replace
from datetime import datetime

from crews.planner.exposure import Sky
from crews.planner.problem import CrewDay

# Usable share of a work day per month, northern United States.
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
    """A crew day slowed to its month's usable share where it lies beyond the forecast."""
    if sky.minute(day.start) < sky.typical_from:
        return day
    return replace(day, speed=day.speed * WORKABLE_SHARE[day.start.month])


def is_typical(moment: datetime, sky: Sky) -> bool:
    """Whether a moment lies beyond the forecast."""
    return sky.minute(moment) >= sky.typical_from
