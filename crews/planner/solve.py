"""Planning: columns, bound, choice, improvement, and the plan that comes out, with its gap and its reasons."""

from collections.abc import Callable
from dataclasses import dataclass

from crews.planner.assignment import planned
from crews.planner.columns import Column, ColumnMaker, ColumnSet
from crews.planner.cost import totals_of
from crews.planner.crew_calendar import Calendars
from crews.planner.explain import reasons_of, unscheduled_of
from crews.planner.packing import Packing, greedy, packing_of, part
from crews.planner.pinning import PinCheck, check_pins
from crews.planner.plan_problem import PlanProblem, PlanResult
from crews.planner.solver.cpsat import choose
from crews.planner.solver.lp import Relaxed, relax
from crews.planner.solver.neighbourhood import improve


@dataclass(frozen=True)
class Budget:
    """How much work planning may do, in units that do not depend on the clock.

    choice_units: CP-SAT's deterministic time for the first choice; rounds: neighbourhoods planned anew; gap_goal: gap
    in net value at which the search ends; whole_model_columns: up to so many columns the whole model is searched, above
    it the columns_per_job best by reduced cost.
    """

    choice_units: float = 20.0
    rounds: int = 60
    gap_goal: float = 0.001
    whole_model_columns: int = 12_000
    columns_per_job: int = 12

    def __post_init__(self) -> None:
        if self.choice_units < 0 or self.rounds < 0 or self.gap_goal < 0:
            raise ValueError("A budget must not be negative.")


@dataclass(frozen=True)
class Progress:
    """How far planning is: stage, share of it done [0-1], and the gap where a plan stands."""

    stage: str  # columns, bound, choice, improvement, explanation
    share: float
    gap: float | None = None


Tell = Callable[[Progress], None]
Stop = Callable[[], bool]


def _silent(progress: Progress) -> None:
    """Tell nobody."""


def _never() -> bool:
    """Never stop."""
    return False


def plan(
    problem: PlanProblem,
    seed: int = 1,
    budget: Budget | None = None,
    progress: Tell = _silent,
    stop: Stop = _never,
) -> PlanResult:
    """The best plan found within the budget; same question, seed and budget give the same plan.

    `stop` is asked between steps and, from a watcher thread, while a search runs; a plan that it cut short is marked
    stopped and is still a sound plan (the best so far). Values are whole USD; gap = (bound - value) / value.
    """
    budget = budget or Budget()
    found = ColumnMaker(problem).make(lambda share: progress(Progress("columns", share)), stop)
    pins = check_pins(problem, found.columns, seed)
    columns = pins.columns
    packing = packing_of(columns, problem.capacity, pins.kept_jobs)
    progress(Progress("bound", 0.0))
    relaxed = relax(packing, seed)
    chosen, bound = _chosen(packing, columns, relaxed, pins, seed, budget, progress, stop)
    return _result(problem, found, pins, packing, chosen, bound, seed, stop(), progress)


def gap_of(value: float, bound: float) -> float:
    """Gap in net value; 0 where the bound is met, 1 (all of it) where nothing of worth was chosen but could be."""
    if bound <= value:
        return 0.0
    return (bound - value) / value if value > 0 else 1.0


def _chosen(
    packing: Packing,
    columns: list[Column],
    relaxed: Relaxed,
    pins: PinCheck,
    seed: int,
    budget: Budget,
    progress: Tell,
    stop: Stop,
) -> tuple[list[int], float]:
    """Columns of the plan and the bound on any plan."""
    order = sorted(
        range(len(columns)), key=lambda i: (-relaxed.shares[i], -relaxed.reduced_costs[i], -packing.values[i], i)
    )
    chosen = greedy(packing, order, pins.chosen_columns)
    bound = relaxed.bound
    if stop():
        return chosen, bound
    progress(Progress("choice", 0.0, gap_of(packing.value_of(chosen), bound)))
    whole = len(columns) <= budget.whole_model_columns
    kept = list(range(len(columns))) if whole else _best_per_job(columns, relaxed, chosen, budget.columns_per_job)
    small, numbers = part(packing, kept)
    hint = [new for new, old in enumerate(numbers) if old in set(chosen)]
    found = choose(small, seed, budget.choice_units, hint, budget.gap_goal, stop)
    if found is not None and small.value_of(found.columns) >= packing.value_of(chosen):
        chosen = [numbers[i] for i in found.columns]
    if whole and found is not None:
        bound = min(bound, found.bound)
    progress(Progress("improvement", 0.0, gap_of(packing.value_of(chosen), bound)))

    def told(done: int, value: int) -> None:
        progress(Progress("improvement", done / max(1, budget.rounds), gap_of(value, bound)))

    chosen = improve(
        packing,
        columns,
        chosen,
        relaxed.reduced_costs,
        seed=seed,
        rounds=budget.rounds,
        good_enough=lambda value: gap_of(value, bound) <= budget.gap_goal,
        progress=told,
        stop=stop,
    )
    return chosen, max(bound, packing.value_of(chosen))


def _best_per_job(columns: list[Column], relaxed: Relaxed, chosen: list[int], per_job: int) -> list[int]:
    """Each job's columns with the best reduced cost, and all that are chosen already."""
    of_job: dict[int, list[int]] = {}
    for index, column in enumerate(columns):
        of_job.setdefault(column.job_id, []).append(index)
    kept = set(chosen)
    for indexes in of_job.values():
        kept.update(sorted(indexes, key=lambda i: (-relaxed.reduced_costs[i], i))[:per_job])
    return sorted(kept)


def _result(
    problem: PlanProblem,
    found: ColumnSet,
    pins: PinCheck,
    packing: Packing,
    chosen: list[int],
    bound: float,
    seed: int,
    stopped: bool,
    progress: Tell,
) -> PlanResult:
    """The plan as data: every assignment walked out in full, explained, and what is left out with its reason."""
    progress(Progress("explanation", 0.0))
    taken = [pins.columns[i] for i in chosen]
    calendars = Calendars(problem)
    assignments = []
    for column in sorted(taken, key=lambda c: (c.start, c.crew_id, c.job_id)):
        said = reasons_of(problem, column, pins.columns, taken)
        assignments.append(planned(calendars, column, said))
    value = float(packing.value_of(chosen))
    totals = totals_of([a.cost for a in assignments])
    totals |= {
        "late_days": float(sum(a.late_days for a in assignments)),
        "idle_labor_hours": sum(a.idle_labor_hours for a in assignments),
        "water_loss_usd": totals["water_loss"],
        "travel_miles": sum(a.travel_miles for a in assignments),
    }
    return PlanResult(
        assignments=tuple(assignments),
        unscheduled=unscheduled_of(problem, found, pins, taken),
        pin_conflicts=pins.conflicts,
        objective=value,
        bound=bound,
        gap=gap_of(value, bound),
        seed=seed,
        stopped=stopped,
        n_columns=len(found.columns),
        n_walks=found.n_walks,
        totals=totals,
    )
