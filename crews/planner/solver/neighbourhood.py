"""Large neighbourhood search: the best choice of a few crews at a time, the rest of the plan held fast."""

from collections.abc import Callable, Sequence
from random import Random

from crews.planner.columns import Column
from crews.planner.packing import Packing, part
from crews.planner.solver.cpsat import choose

CREWS_AT_ONCE = 10
WORST_REDUCED_COST_USD = 400.0  # columns that cost more beside the relaxation are left out of a round
UNITS_PER_ROUND = 0.5


def improve(
    packing: Packing,
    columns: Sequence[Column],
    chosen: Sequence[int],
    reduced_costs: Sequence[float],
    *,
    seed: int,
    rounds: int,
    good_enough: Callable[[int], bool] = lambda value: False,
    progress: Callable[[int, int], None] = lambda done, value: None,
    stop: Callable[[], bool] = lambda: False,
) -> list[int]:
    """A choice at least as good: in each round some crews that share jobs are planned anew.

    good_enough(value) ends the search early; progress(rounds done, value) is told after each round. Same seed and
    rounds, same choice.
    """
    random = Random(seed)  # noqa: S311 - repeatable search, not a secret
    best = list(chosen)
    value = packing.value_of(best)
    crews = sorted({column.crew_id for column in columns})
    of_crew: dict[int, list[int]] = {crew: [] for crew in crews}
    crews_of_job: dict[int, set[int]] = {}
    for index, column in enumerate(columns):
        of_crew[column.crew_id].append(index)
        crews_of_job.setdefault(column.job_id, set()).add(column.crew_id)
    for done in range(rounds):
        if stop() or good_enough(value) or not crews:
            break
        free_crews = _neighbours(random, crews, of_crew, columns, crews_of_job)
        better = _round(packing, columns, best, free_crews, of_crew, reduced_costs, seed + done, stop)
        if packing.value_of(better) > value:
            best, value = better, packing.value_of(better)
        progress(done + 1, value)
    return best


def _neighbours(
    random: Random,
    crews: list[int],
    of_crew: dict[int, list[int]],
    columns: Sequence[Column],
    crews_of_job: dict[int, set[int]],
) -> set[int]:
    """A crew and others that could take its jobs, those with most jobs in common first (ties by lot)."""
    centre = random.choice(crews)
    shared: dict[int, int] = {}
    for job in {columns[i].job_id for i in of_crew[centre]}:
        for crew in crews_of_job[job]:
            shared[crew] = shared.get(crew, 0) + 1
    lots = {crew: random.random() for crew in crews}
    near = sorted((crew for crew in shared if crew != centre), key=lambda c: (-shared[c], lots[c]))
    return {centre, *near[: CREWS_AT_ONCE - 1]}


def _round(
    packing: Packing,
    columns: Sequence[Column],
    best: list[int],
    free_crews: set[int],
    of_crew: dict[int, list[int]],
    reduced_costs: Sequence[float],
    seed: int,
    stop: Callable[[], bool],
) -> list[int]:
    """The best choice when only some crews are planned anew."""
    fixed = [i for i in best if columns[i].crew_id not in free_crews]
    freed = {i for i in best if columns[i].crew_id in free_crews}
    fixed_jobs = {columns[i].job_id for i in fixed}
    kept = [
        index
        for crew in sorted(free_crews)
        for index in of_crew[crew]
        if columns[index].job_id not in fixed_jobs
        and (index in freed or reduced_costs[index] > -WORST_REDUCED_COST_USD)
    ]
    small, numbers = part(packing, kept, fixed)
    hint = [new for new, old in enumerate(numbers) if old in freed]
    found = choose(small, seed, UNITS_PER_ROUND, hint, stop=stop)
    return best if found is None else [*fixed, *(numbers[i] for i in found.columns)]
