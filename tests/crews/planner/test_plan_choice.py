"""The choice of columns against independent references: brute force, textbook algorithms, a second solver."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from random import Random

import numpy as np
import pytest
from scipy.optimize import linear_sum_assignment

from crews.planner.columns import Column, ColumnMaker
from crews.planner.feasibility import check
from crews.planner.packing import Packing, greedy, packing_of
from crews.planner.plan_problem import Capacity, Pin, PlanProblem, PublishedPlace
from crews.planner.solve import Budget, gap_of, plan
from crews.planner.solver.cpsat import choose
from crews.planner.solver.lp import relax, solve_whole
from tests.factories.plans import FIRST_DAY, day, make_crew, make_job, make_problem
from tests.factories.skies import at, make_day, make_sky

UNITS = 50.0


def small_problem(seed: int) -> PlanProblem:
    """Two crews, up to eight jobs, scarce drops."""
    random = Random(seed)
    return make_problem(
        crews=2, jobs=random.randint(3, 8), n_days=4, seed=seed, capacity=Capacity(drops_per_day=random.randint(1, 2))
    )


def brute_force(columns: list[Column], capacity: Capacity) -> int:
    """The best value over every choice of at most one column per job, checked from the columns themselves."""
    jobs = sorted({c.job_id for c in columns})
    of_job = {job: [c for c in columns if c.job_id == job and c.net_usd > 0] for job in jobs}
    best = 0
    hopes = [0] * (len(jobs) + 1)
    for index in range(len(jobs) - 1, -1, -1):
        hopes[index] = hopes[index + 1] + max((c.net_usd for c in of_job[jobs[index]]), default=0)

    def extend(index: int, value: int, halves: set[tuple[object, ...]], drops: dict[object, int]) -> None:
        nonlocal best
        best = max(best, value)
        if index == len(jobs) or value + hopes[index] <= best:
            return
        for column in of_job[jobs[index]]:
            used = drops.get(column.first_day, 0) + column.drops
            if halves & set(column.half_days) or used > capacity.drops(column.first_day):
                continue
            extend(
                index + 1,
                value + column.net_usd,
                halves | set(column.half_days),
                {**drops, column.first_day: used},
            )
        extend(index + 1, value, halves, drops)

    extend(0, 0, set(), {})
    return best


@pytest.mark.parametrize("seed", range(12))
def test_a_plan_of_up_to_eight_jobs_is_the_best_of_all_by_brute_force(seed: int) -> None:
    problem = small_problem(seed)
    columns = ColumnMaker(problem).make().columns
    result = plan(problem, seed=seed)
    assert result.objective == brute_force(columns, problem.capacity)
    assert result.bound >= result.objective
    assert check(problem, result.assignments) == []


@pytest.mark.parametrize("seed", range(12, 22))
def test_highs_and_cp_sat_find_the_same_optimum(seed: int) -> None:
    problem = replace(small_problem(seed), crews=tuple(make_crew(n, days=20, people=4 + n) for n in (1, 2, 3)))
    packing = packing_of(ColumnMaker(problem).make().columns, problem.capacity)
    by_cp_sat = choose(packing, seed, UNITS)
    by_highs, bound = solve_whole(packing, seed)
    assert by_cp_sat is not None
    assert by_cp_sat.proved
    assert packing.fits(by_cp_sat.columns)
    assert packing.fits(by_highs)
    assert packing.value_of(by_cp_sat.columns) == packing.value_of(by_highs)
    assert relax(packing).bound >= packing.value_of(by_highs) - 1e-6
    assert bound >= packing.value_of(by_highs) - 0.6


def one_day_columns(values: np.ndarray) -> list[Column]:
    """One column per job and crew, all on one day: the assignment problem."""
    return [
        Column(
            job_id=job,
            crew_id=crew,
            start=at(7),
            finish=at(15),
            half_days=((crew, FIRST_DAY, 0), (crew, FIRST_DAY, 1)),
            value_usd=int(values[job, crew]),
            cost={},
            p_wet=0.0,
            typical=False,
            first_day=FIRST_DAY,
            last_day=FIRST_DAY,
            drops=0,
            dumpsters=0,
            idle_labor_hours=0.0,
            miles=0.0,
            make_up=False,
        )
        for job in range(values.shape[0])
        for crew in range(values.shape[1])
    ]


@pytest.mark.parametrize("seed", range(8))
def test_one_day_jobs_are_the_assignment_problem_of_scipy(seed: int) -> None:
    random = np.random.default_rng(seed)
    values = random.integers(1, 5000, size=(int(random.integers(2, 12)), int(random.integers(2, 9))))
    packing = packing_of(one_day_columns(values), Capacity())
    found = choose(packing, seed, UNITS)
    rows, columns = linear_sum_assignment(values, maximize=True)
    assert found is not None
    assert packing.value_of(found.columns) == int(values[rows, columns].sum())
    assert relax(packing).bound == pytest.approx(values[rows, columns].sum())


@pytest.mark.parametrize("seed", range(8))
def test_one_crew_is_weighted_interval_scheduling(seed: int) -> None:
    random = Random(seed)
    spans = []
    for _ in range(random.randint(5, 40)):
        first = random.randrange(28)
        spans.append((first, first + random.randint(1, 6), random.randint(1, 900)))
    base = one_day_columns(np.array([[1]]))[0]
    columns = [
        replace(
            base,
            job_id=number,
            value_usd=value,
            half_days=tuple((1, FIRST_DAY + timedelta(days=h // 2), h % 2) for h in range(first, last)),
        )
        for number, (first, last, value) in enumerate(spans)
    ]
    best = [0] * 40  # textbook dynamic programme over half-days
    for half in range(1, 40):
        best[half] = max([best[half - 1], *(best[f] + v for f, last, v in spans if last == half)])
    packing = packing_of(columns, Capacity())
    found = choose(packing, seed, UNITS)
    assert found is not None
    assert packing.value_of(found.columns) == best[-1]
    assert relax(packing).bound == pytest.approx(best[-1])  # interval matrices have whole corners


def test_the_same_seed_gives_the_same_plan() -> None:
    problem = make_problem(crews=3, jobs=10, n_days=7, seed=4)
    budget = Budget(choice_units=2.0, rounds=3)
    assert plan(problem, 7, budget) == plan(problem, 7, budget)


@pytest.mark.parametrize("seed", range(3))
def test_the_large_way_finds_sound_plans_near_the_bound(seed: int) -> None:
    problem = make_problem(crews=4, jobs=14, n_days=7, seed=seed)
    whole = plan(problem, seed)
    restricted = plan(problem, seed, Budget(choice_units=1.0, rounds=15, whole_model_columns=0, columns_per_job=3))
    assert check(problem, restricted.assignments) == []
    assert restricted.objective <= whole.objective <= restricted.bound + 1e-6
    assert restricted.gap < 0.05


def test_a_stopped_plan_is_sound_and_marked() -> None:
    problem = make_problem(crews=3, jobs=10, n_days=7, seed=2)
    asked: Iterator[bool] = iter([False] * 12)
    result = plan(problem, 1, stop=lambda: next(asked, True))
    assert result.stopped
    assert check(problem, result.assignments) == []
    assert result.assignments


def test_progress_is_told_in_order_and_the_gap_only_shrinks() -> None:
    told = []
    plan(make_problem(crews=3, jobs=9, n_days=7, seed=3), 1, Budget(rounds=4), progress=told.append)
    stages = [p.stage for p in told]
    assert stages == sorted(stages, key=["columns", "bound", "choice", "improvement", "explanation"].index)
    gaps = [p.gap for p in told if p.gap is not None]
    assert gaps == sorted(gaps, reverse=True)


def test_a_pin_keeps_crew_and_day_and_opens_nothing_more() -> None:
    problem = make_problem(crews=2, jobs=4, n_days=5, seed=1)
    free = plan(problem, 1)
    target = free.assignments[0]
    other = 1 if target.crew_id == 2 else 2
    pinned = replace(problem, pins=(Pin(target.job_id, other, day(2)),))
    result = plan(pinned, 1)
    placed = next(a for a in result.assignments if a.job_id == target.job_id)
    assert (placed.crew_id, placed.days[0].day, placed.pinned) == (other, day(2), True)
    assert result.objective <= free.objective
    assert check(pinned, result.assignments) == []


def test_conflicting_pins_are_named_and_the_rest_is_planned() -> None:
    problem = make_problem(crews=2, jobs=4, n_days=5, seed=1)
    jobs = [job.job_id for job in problem.jobs[:3]]
    pins = (Pin(jobs[0], 1, day(0)), Pin(jobs[1], 1, day(0)), Pin(jobs[2], 1, day(0)))
    result = plan(replace(problem, pins=pins), 1)
    assert result.pin_conflicts
    assert {said.code for said in result.pin_conflicts} <= {"pin_conflict", "pin_impossible"}
    left_out = {u.job_id: u.reason.code for u in result.unscheduled}
    placed = {a.job_id for a in result.assignments}
    for job in jobs:
        assert (job in placed) != (left_out.get(job) in {"pin_conflict", "pin_impossible"})


def test_a_pin_on_a_day_nobody_works_is_impossible_and_said_so() -> None:
    problem = make_problem(crews=2, jobs=3, n_days=7, seed=1)
    saturday = day((5 - FIRST_DAY.weekday()) % 7)
    result = plan(replace(problem, pins=(Pin(1, 1, saturday),)), 1)
    assert [said.code for said in result.pin_conflicts] == ["pin_impossible"]


def test_moving_against_the_published_plan_costs_and_keeps_a_job_where_it_is() -> None:
    problem = make_problem(crews=2, jobs=1, n_days=5, seed=5, skies={1: make_sky(24 * 20)})
    first = plan(problem, 1).assignments[0]
    other = 1 if first.crew_id == 2 else 2
    result = plan(replace(problem, published={1: PublishedPlace(other, at(7 + 24))}), 1)
    placed = result.assignments[0]
    assert (placed.crew_id, placed.days[0].day) == (other, day(1))
    assert placed.cost["stability"] == 0


def test_a_saturday_is_worked_at_overtime_cost_only_where_it_pays() -> None:
    saturday = (5 - FIRST_DAY.weekday()) % 7
    crew = make_crew(1, days=20, make_up_days=(make_day(day=saturday),))
    late = make_job(1, squares=60.0, value=30000.0, promised_by=day(saturday))
    urgent = make_problem(crews=1, jobs=1, n_days=3, crews_per_job=1)
    urgent = replace(urgent, crews=(crew,), jobs=(late,))
    eager = replace(urgent, rates=replace(urgent.rates, late_usd_per_day=5000.0))
    calm = replace(urgent, rates=replace(urgent.rates, late_usd_per_day=0.0))
    assert any(d.overtime for d in plan(eager, 1).assignments[0].days)
    assert plan(eager, 1).assignments[0].cost["overtime"] > 0
    assert not any(d.overtime for d in plan(calm, 1).assignments[0].days)


def test_greedy_takes_columns_in_order_while_they_fit() -> None:
    columns = one_day_columns(np.array([[5, 4], [3, 2]]))
    packing = packing_of(columns, Capacity())
    assert greedy(packing, [0, 1, 2, 3]) == [0, 3]
    assert packing.fits([0, 3])
    assert not packing.fits([0, 1])


def test_the_gap_is_relative_to_net_value() -> None:
    assert gap_of(100.0, 101.0) == pytest.approx(0.01)
    assert gap_of(100.0, 100.0) == 0.0
    assert gap_of(0.0, 5.0) == 1.0


def test_an_empty_question_has_an_empty_plan() -> None:
    result = plan(make_problem(crews=2, jobs=0), 1)
    assert result.assignments == ()
    assert (result.objective, result.gap) == (0.0, 0.0)
    assert relax(Packing((), ())).bound == 0.0
