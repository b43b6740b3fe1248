"""Explanations recomputed from the plan: the terms sum to its cost, and the reasons name what is true."""

from dataclasses import replace
from datetime import timedelta

import pytest

from crews.plan_values import LEAST_VALUE_USD
from crews.planner.climatology import WORKABLE_SHARE
from crews.planner.columns import ColumnMaker
from crews.planner.cost import TERMS, left_out_usd
from crews.planner.finish_range import DAILY_SD, Z90, finish_p90, slow_share, walk_with_range
from crews.planner.plan_problem import Capacity, CostRates, Pin
from crews.planner.problem import Policy
from crews.planner.roofday import walk
from crews.planner.solve import plan
from crews.planner.strips import strip_squares
from tests.factories.plans import FIRST_DAY, day, make_crew, make_job, make_problem
from tests.factories.skies import HANDBOOK_HOURS, at, make_day, make_roof, make_section, make_sky


@pytest.mark.parametrize("seed", range(6))
def test_the_terms_of_all_assignments_equal_the_plans_value_to_the_cent(seed: int) -> None:
    result = plan(make_problem(crews=2, jobs=7, n_days=6, seed=seed), seed)
    value = sum(a.value_usd - sum(a.cost.values()) for a in result.assignments)
    assert value == result.objective
    assert all(set(a.cost) == set(TERMS) for a in result.assignments)
    assert result.totals["late_days"] == sum(a.late_days for a in result.assignments)
    assert sum(result.totals[term] for term in TERMS) == sum(sum(a.cost.values()) for a in result.assignments)


def test_the_runner_up_is_the_jobs_best_other_column() -> None:
    problem = make_problem(crews=2, jobs=3, n_days=5, seed=2)
    columns = ColumnMaker(problem).make().columns
    for planned in plan(problem, 1).assignments:
        said = next(s for s in planned.reasons if s.code in ("runner_up", "better_taken"))
        others = [
            c.net_usd for c in columns
            if c.job_id == planned.job_id and (c.crew_id, c.start) != (planned.crew_id, planned.start)
        ]  # fmt: skip
        assert said.params["usd"] == planned.net_usd - max(others)


def reason_of(problem_changes: dict[str, object], job_changes: dict[str, object], value: float = 4000.0) -> str:
    """Why the only job of a question is left out."""
    problem = make_problem(crews=1, jobs=1, n_days=4)
    problem = replace(problem, jobs=(make_job(1, value=value, **job_changes),), **problem_changes)  # type: ignore[arg-type]
    result = plan(problem, 1)
    assert result.assignments == ()
    return result.unscheduled[0].reason.code


def test_a_job_that_is_left_out_says_why() -> None:
    steep = make_roof(make_section(1, pitch_in_12=14.0), ridges=())
    assert reason_of({}, {"work": steep}) == "too_steep"
    assert reason_of({}, {"skills_needed": frozenset({"flashing"})}) == "skills"
    assert reason_of({}, {"promised_from": day(30)}) == "before_promised"
    assert reason_of({}, {"blocked_dates": frozenset(day(n) for n in range(30))}) == "blocked_date"
    # Lawful: the way there costs more than the job and its labor are worth.
    far = {"crews": (make_crew(1, base=(40.0, -90.0)),), "rates": CostRates(travel_usd_per_mile=500.0)}
    assert reason_of(far, {"place": (40.1, -90.0)}) == "not_worth"
    assert reason_of({"capacity": Capacity(drops_per_day=0)}, {}) == "no_capacity"
    assert reason_of({"skies": {1: make_sky(24 * 20, wet=range(24 * 20))}}, {}) == "not_finished"
    uninsured = make_crew(1, needs_insurance=True, insurance_until=FIRST_DAY)
    assert reason_of({"crews": (uninsured,)}, {"promised_from": day(1)}) == "insurance"
    assert reason_of({"crews": (replace(make_crew(1), days=()),)}, {}) == "no_crew_days"


def test_a_signed_job_is_not_left_out_for_its_labor_or_for_being_late_already() -> None:
    """Whatever it brings, its table labor is paid sooner or later, and it would only be later still."""
    problem = make_problem(crews=1, jobs=1, n_days=4)
    long_ago = FIRST_DAY - timedelta(days=365)
    poor = make_job(1, squares=14.0, value=LEAST_VALUE_USD, promised_by=long_ago)
    result = plan(replace(problem, jobs=(poor,)), 1)
    assert result.unscheduled == ()
    placed = result.assignments[0]
    assert placed.cost["labor"] > LEAST_VALUE_USD
    assert placed.cost["lateness"] >= 365 * problem.rates.late_usd_per_day
    # What leaving it out would not save, by hand: handbook hours of 14 squares and 42 ft of ridge at 38 USD, four more
    # days late at 250 USD, four days waiting at 20 USD.
    labor = (14.0 * sum(HANDBOOK_HOURS.values()) + 42 * 0.089) * 38.0
    assert left_out_usd(problem, poor) == pytest.approx(labor + (365 + 4) * 250 + 4 * 20)
    assert placed.value_usd == round(LEAST_VALUE_USD + left_out_usd(problem, poor))


def test_time_that_a_typical_days_weather_takes_is_no_labor_and_no_opening() -> None:
    near = make_problem(crews=1, jobs=1, n_days=4, skies={1: make_sky(24 * 14)})
    far = replace(near, skies={1: make_sky(24 * 14, unknown=range(6, 24 * 14))})
    job = make_job(1, squares=30.0, value=9000.0)
    dry, typical = (plan(replace(p, jobs=(job,)), 1).assignments[0] for p in (near, far))
    assert len(typical.days) > len(dry.days)
    assert typical.finish_p50 > dry.finish_p50
    # More set-up and clean-up on more days, and some strips more to tie in; the stretched hours themselves are none.
    worked = sum(d.labor_hours for d in dry.days)
    extra_days = len(typical.days) - len(dry.days)
    assert worked <= sum(d.labor_hours for d in typical.days) <= worked + extra_days * 5 * 1.5 + 3
    assert typical.idle_labor_hours == dry.idle_labor_hours == 0.0
    assert (dry.cost["idle"], dry.cost["water_loss"]) == (0.0, 0.0)
    assert typical.cost["idle"] > 0  # priced like a wait under a forecast
    # At most five squares lie bare on each of the days, 2 % of the usable share of them get wet.
    most = 0.02 * 5.0 * WORKABLE_SHARE[7] * len(typical.days) * near.rates.water_loss_usd_per_square
    assert 0 < typical.cost["water_loss"] <= most


def test_expected_wet_squares_are_each_spans_chance_times_what_lies_bare_in_it() -> None:
    problem = make_problem(crews=1, jobs=1, n_days=3, skies={1: make_sky(24 * 13, base_pop=0.02)})
    job = make_job(1, squares=20.0, value=9000.0)
    placed = plan(replace(problem, jobs=(job,)), 1).assignments[0]
    run = walk(job.work, [make_day(day=n, people=4) for n in range(10)], problem.skies[1], placed.start, Policy())
    expected = sum((e.p_wet or 0.0) * e.peak_squares for e in run.exposures)
    assert expected > 0
    assert placed.cost["water_loss"] == round(expected * problem.rates.water_loss_usd_per_square)


def test_a_full_crew_is_named_with_the_job_it_is_busy_with() -> None:
    problem = make_problem(crews=1, jobs=2, n_days=1)
    jobs = (make_job(1, squares=14.0, value=9000.0), make_job(2, squares=14.0, value=4000.0))
    result = plan(replace(problem, jobs=jobs), 1)
    assert [a.job_id for a in result.assignments] == [1]
    reason = result.unscheduled[0].reason
    assert (reason.code, reason.params["with"]) == ("crews_full", "job 1")


def test_a_pinned_job_says_that_it_is_pinned() -> None:
    problem = make_problem(crews=2, jobs=2, n_days=5, seed=1)
    result = plan(replace(problem, pins=(Pin(1, 1, day(1)),)), 1)
    placed = next(a for a in result.assignments if a.job_id == 1)
    assert placed.reasons[0].code == "pinned"


def test_work_beyond_the_forecast_is_marked_typical() -> None:
    problem = make_problem(crews=1, jobs=1, n_days=4, skies={1: make_sky(24 * 14, unknown=range(24, 24 * 14))})
    placed = plan(replace(problem, jobs=(make_job(1, squares=40.0, value=20000.0),)), 1).assignments[0]
    assert placed.typical
    assert [d.typical for d in placed.days][-1]
    assert placed.cost["water_loss"] > 0
    assert "typical" in [said.code for said in placed.reasons]


def test_the_days_of_an_assignment_do_the_whole_roof() -> None:
    problem = make_problem(crews=2, jobs=4, n_days=6, seed=3)
    works = {job.job_id: job.work for job in problem.jobs}
    for placed in plan(problem, 1).assignments:
        squares = sum(s.squares for s in works[placed.job_id].sections)
        assert sum(d.torn_off_squares for d in placed.days) == pytest.approx(squares, abs=0.02)
        assert sum(d.dried_in_squares for d in placed.days) == pytest.approx(squares, abs=0.02)
        assert sum(d.shingled_squares for d in placed.days) == pytest.approx(squares, abs=0.02)
        assert sum(d.ridge_ft for d in placed.days) == pytest.approx(42.0, abs=0.05)
        assert placed.start <= placed.finish_p50 <= placed.finish_p90
        assert placed.days[-1].end == placed.finish_p50


def test_crews_that_walk_alike_share_their_walks() -> None:
    problem = make_problem(crews=2, jobs=2, n_days=5)
    alike = replace(problem, crews=(make_crew(1, people=5), make_crew(2, people=5)))
    found = ColumnMaker(alike).make()
    assert found.n_walks * 2 == len(found.columns)


def test_the_finish_range_widens_with_slower_days() -> None:
    roof, days = make_roof(), [make_day(day=n) for n in range(4)]
    likely = walk(roof, days, make_sky(96), at(6), Policy()).finish
    assert likely is not None
    late = finish_p90(roof, days, make_sky(96), at(6), Policy(), likely)
    assert late is not None
    assert late > likely
    # 90 % quantile of a lognormal daily output with a spread of 12 %, over one and over four days.
    assert slow_share(1) == pytest.approx(0.8575, abs=0.0005)
    assert slow_share(4) == pytest.approx(0.9260, abs=0.0005)
    assert (0.12, pytest.approx(1.28155, abs=1e-5)) == (DAILY_SD, Z90)
    assert walk_with_range(roof, days, make_sky(96), at(6), Policy()).finish_p90 == late


@pytest.mark.parametrize(
    ("old", "least", "most", "expected"),
    [
        (7.04, 1.68, 5.0, 3.52),  # two even swaths
        (4.9, 1.68, 5.0, 4.9),  # whole
        (12.0, 1.68, 5.0, 4.0),  # three even swaths
        (5.5, 3.0, 5.0, 3.0),  # even swaths would be narrower than the least: the rest is the narrow one
        (0.8, 1.68, 5.0, 0.8),  # a small plane whole
    ],
)
def test_a_plane_is_divided_into_even_swaths(old: float, least: float, most: float, expected: float) -> None:
    assert strip_squares(old, min(least, old), most) == pytest.approx(expected)
