"""What one column costs, term by term, in whole dollars so that a plan's sum equals its terms exactly."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from crews.planner.plan_problem import PlanCrew, PlanJob, PlanProblem, PublishedPlace

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
    p_wet: float
    peak_squares: float
    typical_open_days: int
    worked_labor_hours: float
    idle_labor_hours: float
    overtime_labor_hours: float
    work_days: int


def late_days(job: PlanJob, finish_day: date) -> int:
    """Days after the promised last day [days]."""
    return max(0, (finish_day - job.promised_by).days) if job.promised_by else 0


def cost_terms(problem: PlanProblem, job: PlanJob, crew: PlanCrew, walked: Walked, miles: float) -> dict[str, int]:
    """Every cost of one column [whole USD]; priority is a credit where it is above the usual."""
    rates = problem.rates
    first, last = problem.day_of(walked.start), problem.day_of(walked.finish)
    earliest = max(problem.first_day, job.promised_from or problem.first_day)
    wet_squares = walked.peak_squares * (walked.p_wet + rates.typical_wet_chance * walked.typical_open_days)
    hourly = crew.labor_usd_per_hour
    terms = {
        LATE: late_days(job, last) * rates.late_usd_per_day,
        WAITING: max(0, (first - earliest).days) * rates.waiting_usd_per_day * (1 + max(0, job.priority)),
        WATER: wet_squares * rates.water_loss_usd_per_square,
        TRAVEL: 2 * miles * walked.work_days * rates.travel_usd_per_mile,
        LABOR: walked.worked_labor_hours * hourly,
        IDLE: walked.idle_labor_hours * hourly,
        OVERTIME: walked.overtime_labor_hours * hourly * (rates.overtime_factor - 1),
        STABILITY: _stability(problem, problem.published.get(job.job_id), crew.crew_id, walked.start),
        PRIORITY: -job.priority * rates.priority_usd,
    }
    return {term: round(usd) for term, usd in terms.items()}


def _stability(problem: PlanProblem, place: PublishedPlace | None, crew_id: int, start: datetime) -> float:
    """Cost of moving a job away from its published crew and day [USD]."""
    if place is None:
        return 0.0
    moved = abs((problem.day_of(start) - problem.day_of(place.start)) / timedelta(days=1))
    change = problem.rates.crew_change_usd if crew_id != place.crew_id else 0.0
    return change + moved * problem.rates.day_move_usd


def totals_of(costs: list[dict[str, float]]) -> dict[str, float]:
    """Sums of each term over several assignments [USD]."""
    return {term: sum(cost.get(term, 0.0) for cost in costs) for term in TERMS}
