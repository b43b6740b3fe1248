"""The feasibility check catches a planted fault of every rule (it uses neither the solver nor the columns)."""

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

import pytest

from crews.planner.feasibility import check
from crews.planner.plan_problem import Capacity, Pin, Planned, PlanProblem
from crews.planner.solve import plan
from tests.factories.plans import day, make_problem
from tests.factories.skies import make_sky

Case = tuple[PlanProblem, tuple[Planned, ...]]


@pytest.fixture(scope="module")
def sound() -> Case:
    """A plan of three crews and nine jobs that keeps every rule."""
    problem = make_problem(crews=3, jobs=9, n_days=7, seed=11)
    assignments = plan(problem, 1).assignments
    assert len(assignments) >= 4
    return problem, assignments


def with_job(problem: PlanProblem, job_id: int, **changes: object) -> PlanProblem:
    """The question with one job changed."""
    return replace(problem, jobs=tuple(replace(j, **changes) if j.job_id == job_id else j for j in problem.jobs))  # type: ignore[arg-type]


def with_crew(problem: PlanProblem, crew_id: int, **changes: object) -> PlanProblem:
    """The question with one crew changed."""
    return replace(problem, crews=tuple(replace(c, **changes) if c.crew_id == crew_id else c for c in problem.crews))  # type: ignore[arg-type]


def unknown_job(case: Case) -> Case:
    problem, (first, *rest) = case
    return problem, (replace(first, job_id=999), *rest)


def unknown_crew(case: Case) -> Case:
    problem, (first, *rest) = case
    return problem, (replace(first, crew_id=999), *rest)


def crew_away(case: Case) -> Case:
    problem, assignments = case
    first = assignments[0]
    crew = next(c for c in problem.crews if c.crew_id == first.crew_id)
    kept = tuple(d for d in crew.days if d.start.date() != first.days[-1].day)
    return with_crew(problem, crew.crew_id, days=kept), assignments


def outside_shift(case: Case) -> Case:
    problem, (first, *rest) = case
    early = replace(first.days[0], start=first.days[0].start - timedelta(hours=3))
    return problem, (replace(first, days=(early, *first.days[1:])), *rest)


def blocked_date(case: Case) -> Case:
    problem, assignments = case
    first = assignments[0]
    return with_job(problem, first.job_id, blocked_dates=frozenset({first.days[-1].day})), assignments


def before_promised(case: Case) -> Case:
    problem, assignments = case
    return with_job(problem, assignments[0].job_id, promised_from=day(30)), assignments


def too_steep(case: Case) -> Case:
    problem, assignments = case
    return with_crew(problem, assignments[0].crew_id, steep_limit_in_12=4.0), assignments


def skills(case: Case) -> Case:
    problem, assignments = case
    return with_job(problem, assignments[0].job_id, skills_needed=frozenset({"flashing"})), assignments


def insurance(case: Case) -> Case:
    problem, assignments = case
    until = assignments[0].days[-1].day - timedelta(days=1)
    return with_crew(problem, assignments[0].crew_id, needs_insurance=True, insurance_until=until), assignments


def takes_longer(case: Case) -> Case:
    problem, assignments = case
    crew = next(c for c in problem.crews if c.crew_id == assignments[0].crew_id)
    fewer = tuple(replace(d, people=1) for d in crew.days)
    return with_crew(problem, crew.crew_id, days=fewer), assignments


def takes_longer_under_a_wetter_sky(case: Case) -> Case:
    problem, assignments = case
    return replace(problem, skies={1: make_sky(24 * 20, wet=range(24 * 20))}), assignments


def job_twice(case: Case) -> Case:
    problem, assignments = case
    return problem, (*assignments, assignments[0])


def crew_overlap(case: Case) -> Case:
    problem, assignments = case
    first = assignments[0]
    other = next(a for a in assignments if a.crew_id != first.crew_id and a.days[0].day == first.days[0].day)
    return problem, (first, replace(other, crew_id=first.crew_id))


def drops_over(case: Case) -> Case:
    problem, assignments = case
    return replace(problem, capacity=Capacity(drops_by_day={assignments[0].days[0].day: 0})), assignments


def dumpsters_over(case: Case) -> Case:
    problem, assignments = case
    return replace(problem, capacity=Capacity(dumpsters_by_day={assignments[0].days[0].day: 0})), assignments


def pin_moved(case: Case) -> Case:
    problem, assignments = case
    first = assignments[0]
    return replace(
        problem, pins=(Pin(first.job_id, first.crew_id, first.days[0].day + timedelta(days=1)),)
    ), assignments


FAULTS: list[tuple[Callable[[Case], Case], str]] = [
    (unknown_job, "unknown_job"),
    (unknown_crew, "unknown_crew"),
    (crew_away, "crew_away"),
    (outside_shift, "outside_shift"),
    (blocked_date, "blocked_date"),
    (before_promised, "before_promised"),
    (too_steep, "too_steep"),
    (skills, "skills"),
    (insurance, "insurance"),
    (takes_longer, "takes_longer"),
    (takes_longer_under_a_wetter_sky, "takes_longer"),
    (job_twice, "job_twice"),
    (crew_overlap, "crew_overlap"),
    (drops_over, "drops_over"),
    (dumpsters_over, "dumpsters_over"),
    (pin_moved, "pin_moved"),
]


def test_a_sound_plan_breaks_no_rule(sound: Case) -> None:
    assert check(*sound) == []
    assert check(*sound, publishing=True) == []


@pytest.mark.parametrize(("plant", "rule"), FAULTS, ids=[plant.__name__ for plant, _ in FAULTS])
def test_a_planted_fault_is_named(sound: Case, plant: Callable[[Case], Case], rule: str) -> None:
    broken = check(*plant(sound))
    assert rule in {b.rule for b in broken}
    assert all(b.text.endswith(".") for b in broken)


def test_a_job_that_is_not_ready_can_be_pencilled_in_but_not_published(sound: Case) -> None:
    problem, assignments = sound
    unready = with_job(problem, assignments[0].job_id, missing=("permit",))
    assert check(unready, assignments) == []
    assert {b.rule for b in check(unready, assignments, publishing=True)} == {"not_ready"}


def test_a_capacity_that_is_exceeded_carries_its_figures(sound: Case) -> None:
    problem, assignments = drops_over(sound)
    broken = next(b for b in check(problem, assignments) if b.rule == "drops_over")
    assert broken.limit == 0
    assert broken.used is not None
    assert broken.used >= 1
    assert broken.day == assignments[0].days[0].day


@pytest.mark.parametrize("seed", range(20))
def test_every_plan_passes(seed: int) -> None:
    problem = make_problem(crews=1 + seed % 3, jobs=3 + seed % 6, n_days=5 + seed % 4, seed=100 + seed)
    assert check(problem, plan(problem, seed).assignments) == []
