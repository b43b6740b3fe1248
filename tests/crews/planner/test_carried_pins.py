"""A pin whose day is over keeps its crew; the roof goes on when that crew is next at work."""

from dataclasses import replace

from crews.planner.carried_pins import carried_on
from crews.planner.feasibility import check
from crews.planner.plan_problem import Pin
from crews.planner.solve import plan
from tests.factories.plans import day, make_problem

YESTERDAY = day(-1)


def test_a_day_that_is_over_becomes_the_crews_next_one() -> None:
    problem = make_problem(crews=2, jobs=2)
    pins = (Pin(1, 2, YESTERDAY), Pin(2, 1, day(1)))
    carried = carried_on(pins, problem.crews, problem.jobs, problem.first_day, problem.zone)
    first = min(problem.day_of(one.start) for one in problem.crews[1].days if problem.day_of(one.start) >= day(0))
    assert carried == (Pin(1, 2, first), Pin(2, 1, day(1)))


def test_a_day_on_which_nobody_may_come_is_passed_over() -> None:
    problem = make_problem(crews=1, jobs=1)
    crew_days = sorted(problem.day_of(one.start) for one in problem.crews[0].days)
    jobs = [replace(problem.jobs[0], blocked_dates=frozenset(crew_days[:2]))]
    [pin] = carried_on((Pin(1, 1, YESTERDAY),), problem.crews, jobs, problem.first_day, problem.zone)
    assert pin.day == crew_days[2]


def test_a_pinned_crew_that_never_works_again_keeps_its_pin_to_be_named() -> None:
    problem = make_problem(crews=1, jobs=1)
    pins = (Pin(1, 9, YESTERDAY),)
    assert carried_on(pins, problem.crews, problem.jobs, problem.first_day, problem.zone) == pins


def test_the_plan_of_the_next_day_keeps_the_roof_that_was_begun() -> None:
    problem = make_problem(crews=2, jobs=4, n_days=5, seed=1)
    pins = carried_on((Pin(3, 2, YESTERDAY),), problem.crews, problem.jobs, problem.first_day, problem.zone)
    pinned = replace(problem, pins=pins)
    result = plan(pinned, 1)
    [placed] = [a for a in result.assignments if a.job_id == 3]
    assert (placed.crew_id, placed.pinned) == (2, True)
    assert result.pin_conflicts == ()
    assert check(pinned, result.assignments) == []
