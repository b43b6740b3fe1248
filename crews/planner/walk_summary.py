"""What a column keeps of a walk."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from crews.planner.exposure import Sky
from crews.planner.problem import CrewDay
from crews.planner.walk_state import Walker


@dataclass(frozen=True, slots=True)
class WalkResult:
    """One walk as the columns of all crews of its class share it.

    wet_squares: expected squares of bare deck that rain falls on under the forecast: each span's chance times the most
    that lies bare in it. typical_open_squares: beyond the forecast, the most that lies bare on each day, summed, each
    day counted by its usable share (a slowed day stands for so much of a day on which a roof is opened at all).
    idle_labor_hours: waits that the forecast shows; lost_labor_hours: what weather is expected to take beyond it.
    """

    finish: datetime | None
    p_wet: float
    wet_squares: float
    typical_open_squares: float
    worked_labor_hours: float
    idle_labor_hours: float
    lost_labor_hours: float
    days_used: int


def summary(walker: Walker, sky: Sky, days: Sequence[CrewDay]) -> WalkResult:
    """What a column keeps of a walk."""
    trace = walker.trace
    finish = trace.finish
    dry, highest, wet_squares = 1.0, 0.0, 0.0
    for begin, end, peak, _ in trace.exposures:
        p = sky.chance(begin, end)
        known = 1.0 if p is None else p
        dry *= 1.0 - known
        highest = max(highest, known)
        wet_squares += known * peak
    used = sum(1 for day in days if finish is None or sky.minute(day.start) < finish)
    return WalkResult(
        finish=None if finish is None else sky.moment(finish),
        p_wet=highest + sky.theta * (1.0 - dry - highest),
        wet_squares=wet_squares,
        typical_open_squares=_typical_open_squares(walker, sky, days),
        worked_labor_hours=trace.worked_minutes_people / 60.0,
        idle_labor_hours=trace.idle_minutes_people / 60.0,
        lost_labor_hours=trace.lost_minutes_people / 60.0,
        days_used=used,
    )


def _typical_open_squares(walker: Walker, sky: Sky, days: Sequence[CrewDay]) -> float:
    """The most that lies bare on each day beyond the forecast, times the day's usable share, summed [squares]."""
    begins = [sky.minute(day.start) for day in days]
    peaks: dict[int, float] = {}
    for begin, _, peak, _ in walker.trace.exposures:
        if begin >= sky.typical_from:
            number = max(0, sum(1 for start in begins if start <= begin) - 1)
            peaks[number] = max(peaks.get(number, 0.0), peak)
    return sum(peak * days[number].usable for number, peak in peaks.items())
