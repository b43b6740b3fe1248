"""The crews app's kinds of background work: planning, and fetching the forecasts in use."""

import uuid
from datetime import date, datetime, timedelta
from typing import Any

from crews.actions.forecasts import FORECAST_KIND, refresh_forecasts
from crews.actions.planning import WORK_KIND, make_plan, solve_in_child
from crews.actions.watch import watch_yards
from crews.planner.plan_problem import PlanProblem, PlanResult
from crews.planner.solve import Budget
from roofops.record import clock
from roofops.record.access import Access
from roofops.record.runners import Progress, Stopped, register

PLAN_LEASE = timedelta(minutes=2)
FETCH_LEASE = timedelta(minutes=5)


@register(WORK_KIND, lease=PLAN_LEASE)
def run_plan(work_id: int, token: uuid.UUID, progress: Progress, params: dict[str, Any], now: datetime) -> Any:
    """Make a plan; stopped by a person, its best plan so far is kept as a proposal marked 'stopped'."""
    going_on = True

    def report(share: float, note: str) -> bool:
        nonlocal going_on
        going_on = progress(share, note) and going_on
        return going_on

    def solve(problem: PlanProblem) -> PlanResult:
        return solve_in_child(problem, params["seed"], Budget(), report)

    plan = make_plan(
        Access.system(),
        params["yard"],
        date.fromisoformat(params["first_day"]),
        params["days"],
        params["seed"],
        now,
        clock=clock.now,
        solve=solve,
        user_id=params.get("user"),
    )
    if not going_on:
        raise Stopped
    return {"plan": plan.pk, "number": plan.number, "gap": plan.gap, "stopped": plan.stopped}


@register(FORECAST_KIND, lease=FETCH_LEASE)
def run_refresh(work_id: int, token: uuid.UUID, progress: Progress, params: dict[str, Any], now: datetime) -> Any:
    """Fetch the forecasts of every place in use, or of one yard's."""
    found = refresh_forecasts(
        Access.system(), clock.now, yard_id=params.get("yard"), progress=lambda share: progress(share, "")
    )
    watch_yards(clock.now)
    return {"cells": len(found), "failed": sum(1 for cell in found if not cell.ok)}
