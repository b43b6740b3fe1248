"""What a column keeps of a walk."""

from dataclasses import dataclass
from datetime import datetime

from crews.planner.exposure import Sky
from crews.planner.problem import CrewDay
from crews.planner.walk_state import Walker


@dataclass(frozen=True, slots=True)
class WalkResult:
    """One walk as the columns of all crews of its class share it."""

    finish: datetime | None
    p_wet: float
    peak_squares: float
    typical_open_days: int
    worked_labor_hours: float
    idle_labor_hours: float
    days_used: int


def summary(walker: Walker, sky: Sky, days: list[CrewDay]) -> WalkResult:
    """What a column keeps of a walk."""
    trace = walker.trace
    finish = trace.finish
    exposures = trace.exposures
    chances = [sky.chance(a, b) for a, b, _, _ in exposures]
    dry, highest = 1.0, 0.0
    for p in chances:
        known = 1.0 if p is None else p
        dry *= 1.0 - known
        highest = max(highest, known)
    far = {sky.moment(a).date() for a, _, _, _ in exposures if a >= sky.typical_from}
    used = sum(1 for day in days if finish is None or sky.minute(day.start) < finish)
    return WalkResult(
        finish=None if finish is None else sky.moment(finish),
        p_wet=highest + sky.theta * (1.0 - dry - highest),
        peak_squares=max((peak for _, _, peak, _ in exposures), default=0.0),
        typical_open_days=len(far),
        worked_labor_hours=trace.worked_minutes_people / 60.0,
        idle_labor_hours=trace.idle_minutes_people / 60.0,
        days_used=used,
    )
