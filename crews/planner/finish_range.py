"""When a job is likely finished, and by when it is finished nine times out of ten."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from math import exp, sqrt

from crews.planner.exposure import Sky
from crews.planner.problem import CrewDay, Policy, RoofWork, Run
from crews.planner.roofday import walk, walked

DAILY_SD = 0.12  # lognormal spread of a crew's output from day to day; a planning assumption until own records exist
Z90 = 1.2815515655446004  # 90 % quantile of the standard normal


def slow_share(work_days: int) -> float:
    """Speed at the 10 % quantile of the mean of so many independent days, as a share of the usual [0-1]."""
    return exp(-Z90 * DAILY_SD / sqrt(max(1, work_days)))


def finish_p90(
    work: RoofWork, crew_days: Sequence[CrewDay], sky: Sky, start: datetime, policy: Policy, likely: datetime
) -> datetime | None:
    """The finish at the 90 % quantile: the same walk at the speed that nine days out of ten reach on the average.

    likely: the finish of the walk at the usual speed. None when the slow walk does not finish within the crew days.
    """
    work_days = sum(1 for day in crew_days if start < day.end and day.start < likely)
    share = slow_share(work_days)
    slow = [replace(day, speed=day.speed * share) for day in crew_days]
    finish = walked(work, slow, sky, start, policy).trace.finish
    return None if finish is None else max(likely, sky.moment(finish))


def walk_with_range(work: RoofWork, crew_days: Sequence[CrewDay], sky: Sky, start: datetime, policy: Policy) -> Run:
    """A Run whose finish carries its 90 % quantile."""
    run = walk(work, crew_days, sky, start, policy)
    if run.finish is None:
        return run
    return replace(run, finish_p90=finish_p90(work, crew_days, sky, start, policy, run.finish))
