"""Small planning questions with invented crews and jobs (names and figures are made up)."""

from datetime import date, timedelta
from random import Random

from crews.planner.plan_problem import Capacity, PlanCrew, PlanJob, PlanProblem
from tests.factories.skies import DAY_START, at, make_day, make_roof, make_section, make_sky

FIRST_DAY = DAY_START.date()  # a Tuesday; the test zone is UTC


def make_crew(number: int = 1, days: int = 12, people: float = 5, **changes: object) -> PlanCrew:
    """A crew that works every day but Saturdays and Sundays, 7 to 16 h."""
    work_days = [d for d in range(days) if (FIRST_DAY + timedelta(days=d)).weekday() < 5]
    values: dict[str, object] = {
        "crew_id": number,
        "name": f"crew {number}",
        "days": tuple(make_day(day=d, people=people) for d in work_days),
    }
    return PlanCrew(**(values | changes))  # type: ignore[arg-type]


def make_job(number: int = 1, squares: float = 14.0, value: float = 4000.0, **changes: object) -> PlanJob:
    """A gable of two equal slopes, each 42 ft along the eave."""
    half = squares / 2
    sections = [make_section(number * 10 + side, old=half, run_ft=half * 100 / 42.0) for side in (1, 2)]
    values: dict[str, object] = {
        "job_id": number,
        "name": f"job {number}",
        "work": make_roof(*sections),
        "sky_id": 1,
        "value_usd": value,
    }
    return PlanJob(**(values | changes))  # type: ignore[arg-type]


def make_problem(crews: int = 2, jobs: int = 4, n_days: int = 7, seed: int = 0, **changes: object) -> PlanProblem:
    """A yard's question over some days under a sky with two wet afternoons."""
    random = Random(seed)
    made = [
        make_job(
            number + 1,
            squares=round(random.uniform(6, 30), 1),
            value=round(random.uniform(1500, 6000)),
            promised_by=FIRST_DAY + timedelta(days=random.randrange(1, n_days + 3)),
        )
        for number in range(jobs)
    ]
    values: dict[str, object] = {
        "first_day": FIRST_DAY,
        "n_days": n_days,
        "zone": "UTC",
        "now": at(5),
        "crews": tuple(make_crew(number + 1, days=n_days + 10, people=4 + number % 3) for number in range(crews)),
        "jobs": tuple(made),
        "skies": {1: make_sky(24 * (n_days + 10), wet=[15, 16, 17, 24 + 12, 24 + 13, 72 + 14])},
        "capacity": Capacity(),
    }
    return PlanProblem(**(values | changes))  # type: ignore[arg-type]


def day(number: int) -> date:
    """The date of a day of the plan."""
    return FIRST_DAY + timedelta(days=number)
