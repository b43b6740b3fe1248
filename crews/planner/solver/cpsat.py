"""The best choice of a packing by CP-SAT: one search worker, a seed and a budget of work units."""

import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from ortools.sat.python import cp_model

from crews.planner.packing import Packing

ASK_EVERY_SECONDS = 0.2  # how often a running search is asked whether it should stop


@dataclass(frozen=True)
class Chosen:
    """Columns chosen, the bound that the search proved [USD], and whether it proved the choice to be the best."""

    columns: list[int]
    bound: float
    proved: bool


def choose(
    packing: Packing,
    seed: int,
    work_units: float,
    hint: Sequence[int] = (),
    gap_goal: float = 0.0,
    stop: Callable[[], bool] = lambda: False,
) -> Chosen | None:
    """The best choice found within the work units (CP-SAT's deterministic time), or None when none exists.

    Repeatable: same packing, seed and work units give the same choice, unless `stop` cut the search short.
    """
    if not packing.values:
        return Chosen([], 0.0, proved=True)
    model, taken = _model(packing)
    chosen_before = set(hint)
    if hint:
        for index, variable in enumerate(taken):
            model.add_hint(variable, index in chosen_before)
    solver = cp_model.CpSolver()
    solver.parameters.num_search_workers = 1
    solver.parameters.random_seed = seed % 2**31
    solver.parameters.max_deterministic_time = max(work_units, 0.001)
    solver.parameters.relative_gap_limit = gap_goal
    status = _solve(solver, model, stop)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    columns = [index for index, variable in enumerate(taken) if solver.boolean_value(variable)]
    return Chosen(columns, solver.best_objective_bound, status == cp_model.OPTIMAL)


def _model(packing: Packing) -> tuple[cp_model.CpModel, list[cp_model.IntVar]]:
    """Variables, rows and objective."""
    model = cp_model.CpModel()
    taken = [model.new_bool_var("") for _ in packing.values]
    for row in packing.rows:
        variables = [taken[c] for c in row.columns]
        if row.capacity == 1 and all(w == 1 for w in row.weights):
            if row.exactly:
                model.add_exactly_one(variables)
            else:
                model.add_at_most_one(variables)
        else:
            total = cp_model.LinearExpr.weighted_sum(variables, list(row.weights))
            model.add(total == row.capacity if row.exactly else total <= row.capacity)
    model.maximize(cp_model.LinearExpr.weighted_sum(taken, list(packing.values)))
    return model, taken


def _solve(solver: cp_model.CpSolver, model: cp_model.CpModel, stop: Callable[[], bool]) -> object:
    """Solve, with a watcher beside the search that ends it when asked to."""
    done = threading.Event()

    def watch() -> None:
        while not done.wait(ASK_EVERY_SECONDS):
            if stop():
                solver.stop_search()
                return

    watcher = threading.Thread(target=watch, daemon=True)
    watcher.start()
    try:
        return solver.solve(model)
    finally:
        done.set()
        watcher.join()
