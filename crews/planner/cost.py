"""What one column costs, term by term, in whole dollars so that a plan's sum equals its terms exactly.

A signed job is done sooner or later. Leaving it out of a plan saves neither its table labor nor the days it is late or
waits meanwhile; `left_out_usd` is that sum and counts as value of every column of the job. So the terms stay what they
say, and a job is left out only where crews or capacities do not suffice, or where weather, way and overtime alone cost
more than it is worth.
"""

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from crews.planner.plan_problem import PlanCrew, PlanJob, PlanProblem, PublishedPlace
from crews.planner.table_labor import table_labor_hours

# Names of the terms, in the order in which they are shown.
LATE, WAITING, WATER, TRAVEL, LABOR, IDLE, OVERTIME, STABILITY, PRIORITY = TERMS = (
    "lateness",
    "waiting",
    "water_loss",
    "travel",
    "labor",
    "idle",
    "overtime",
    "stability",
    "priority",
)


@dataclass(frozen=True, slots=True)
class Walked:
    """What a column's walk found, as far as money asks."""

    start: datetime
    finish: datetime
    wet_squares: float
    typical_open_squares: float
    worked_labor_hours: float
    idle_labor_hours: float  # waits, those that are expected beyond the forecast included
    overtime_labor_hours: float
    work_days: int


def late_days(job: PlanJob, finish_day: date) -> int:
    """Days after the promised last day [days]."""
    return max(0, (finish_day - job.promised_by).days) if job.promised_by else 0


def cost_terms(problem: PlanProblem, job: PlanJob, crew: PlanCrew, walked: Walked, miles: float) -> dict[str, int]:
    """Every cost of one column [whole USD]; priority is a credit where it is above the usual."""
    rates = problem.rates
    first, last = problem.day_of(walked.start), problem.day_of(walked.finish)
    wet_squares = walked.wet_squares + rates.typical_wet_chance * walked.typical_open_squares
    hourly = crew.labor_usd_per_hour
    terms = {
        LATE: late_days(job, last) * rates.late_usd_per_day,
        WAITING: _waiting(problem, job, first),
        WATER: wet_squares * rates.water_loss_usd_per_square,
        TRAVEL: 2 * miles * walked.work_days * rates.travel_usd_per_mile,
        LABOR: walked.worked_labor_hours * hourly,
        IDLE: walked.idle_labor_hours * hourly,
        OVERTIME: walked.overtime_labor_hours * hourly * (rates.overtime_factor - 1),
        STABILITY: _stability(problem, problem.published.get(job.job_id), crew.crew_id, walked.start),
        PRIORITY: -job.priority * rates.priority_usd,
    }
    return {term: round(usd) for term, usd in terms.items()}


def left_out_usd(problem: PlanProblem, job: PlanJob) -> float:
    """What leaving a job out does not save [USD]: its table labor, and lateness and waiting to the day after the plan.

    Table labor at the mean of the crews' labor cost, because it is not known who will do it then.
    """
    after = problem.last_start_day + timedelta(days=1)
    labor = table_labor_hours(job.work) * problem.mean_labor_usd_per_hour
    return labor + late_days(job, after) * problem.rates.late_usd_per_day + _waiting(problem, job, after)


def _waiting(problem: PlanProblem, job: PlanJob, start: date) -> float:
    """Cost of starting later than the job could [USD]; a higher priority waits dearer."""
    earliest = max(problem.first_day, job.promised_from or problem.first_day)
    return max(0, (start - earliest).days) * problem.rates.waiting_usd_per_day * (1 + max(0, job.priority))


def _stability(problem: PlanProblem, place: PublishedPlace | None, crew_id: int, start: datetime) -> float:
    """Cost of moving a job away from its published crew and day [USD]; what is over counts as the first day."""
    if place is None:
        return 0.0
    was = max(problem.day_of(place.start), problem.first_day)
    moved = abs((problem.day_of(start) - was) / timedelta(days=1))
    change = problem.rates.crew_change_usd if crew_id != place.crew_id else 0.0
    return change + moved * problem.rates.day_move_usd


def totals_of(costs: list[dict[str, float]]) -> dict[str, float]:
    """Sums of each term over several assignments [USD]."""
    return {term: sum(cost.get(term, 0.0) for cost in costs) for term in TERMS}
