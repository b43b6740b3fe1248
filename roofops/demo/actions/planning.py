"""The demo's first plan: proposed and published by the manager, within the process that loads the demo."""

from dataclasses import replace
from datetime import datetime

from crews.actions import publish
from crews.actions.planning import make_plan
from crews.models import Crew
from crews.planner.plan_problem import Pin, PlanProblem, PlanResult
from crews.planner.solve import Budget, plan
from crews.queries.yards import local_day
from jobs.models import Job, Yard
from roofops.demo.scenario.jobs_at_work import JOBS_AT_WORK
from roofops.record import clock
from roofops.record.access import Access

DAYS, SEED = 14, 1
# Enough for two dozen jobs; the office's own proposals get the full budget.
BUDGET = Budget(choice_units=4.0, rounds=12)


def publish_first_plan(office: Access, yard: Yard, crews: dict[str, Crew], jobs: dict[str, Job], now: datetime) -> None:
    """Propose a plan from today on and publish it. The crews on a roof are pinned to it: they stay where they are."""
    today = local_day(now, yard.time_zone)
    pins = tuple(Pin(jobs[story.number].pk, crews[story.crew].pk, today) for story in JOBS_AT_WORK)

    def solve(problem: PlanProblem) -> PlanResult:
        return plan(replace(problem, pins=pins), SEED, BUDGET)

    proposal = make_plan(office, yard.pk, today, DAYS, SEED, now, clock=clock.now, solve=solve)
    publish(office, proposal.pk, proposal.made_from_id, now)
