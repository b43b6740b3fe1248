"""Pins of roofs that were begun before a plan's first day: the crew stays, and goes on when it is next at work."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from zoneinfo import ZoneInfo

from crews.planner.plan_problem import Pin, PlanCrew, PlanJob


def carried_on(
    pins: Sequence[Pin], crews: Sequence[PlanCrew], jobs: Sequence[PlanJob], first_day: date, zone: str
) -> tuple[Pin, ...]:
    """The pins with every day that is over moved to the crew's next one that the job allows, within the plan.

    zone: the yard's, whose calendar the days are of. A pin without such a day stays as it is, and the plan names it as
    one that cannot be kept.
    """
    blocked = {job.job_id: job.blocked_dates for job in jobs}
    days = {crew.crew_id: sorted({day.start.astimezone(ZoneInfo(zone)).date() for day in crew.days}) for crew in crews}
    carried = []
    for pin in pins:
        ahead = (
            day
            for day in days.get(pin.crew_id, ())
            if day >= first_day and day not in blocked.get(pin.job_id, frozenset())
        )
        carried.append(pin if pin.day >= first_day else replace(pin, day=next(ahead, pin.day)))
    return tuple(carried)
