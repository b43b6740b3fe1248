"""Pins: which of them can be kept together, and which stand in each other's way."""

from collections.abc import Sequence
from dataclasses import dataclass

from crews.planner.columns import Column
from crews.planner.packing import Packing, packing_of
from crews.planner.plan_problem import PlanProblem, Said
from crews.planner.solver.cpsat import choose

PIN_UNITS = 10.0


@dataclass(frozen=True)
class PinCheck:
    """Columns left for the choice, the pinned jobs that are kept, one way to keep them all, and named conflicts."""

    columns: list[Column]
    kept_jobs: frozenset[int]
    chosen_columns: list[int]
    conflicts: tuple[Said, ...]
    dropped: dict[int, Said]  # pinned jobs that cannot be kept: they are left out of the plan


def check_pins(problem: PlanProblem, columns: Sequence[Column], seed: int) -> PinCheck:
    """As many pins as can be kept together (most jobs, by exact search); every other is named with what it meets."""
    pinned = [pin.job_id for pin in problem.pins]
    if not pinned:
        return PinCheck(list(columns), frozenset(), [], (), {})
    ways = [index for index, column in enumerate(columns) if column.job_id in set(pinned)]
    of_pins = [columns[i] for i in ways]
    packing = packing_of(of_pins, problem.capacity)
    counted = Packing(tuple(1 for _ in of_pins), packing.rows)
    found = choose(counted, seed, PIN_UNITS)
    kept_ways = [ways[i] for i in found.columns] if found else []
    kept = {columns[i].job_id for i in kept_ways}
    dropped = {
        job: _conflict(problem, job, of_pins, [columns[i] for i in kept_ways]) for job in pinned if job not in kept
    }
    left = [column for column in columns if column.job_id not in dropped]
    place = {id(column): number for number, column in enumerate(left)}
    return PinCheck(
        columns=left,
        kept_jobs=frozenset(kept),
        chosen_columns=[place[id(columns[i])] for i in kept_ways],
        conflicts=tuple(dropped.values()),
        dropped=dropped,
    )


def _conflict(problem: PlanProblem, job_id: int, of_pins: Sequence[Column], kept: Sequence[Column]) -> Said:
    """Why one pin cannot be kept."""
    names = {job.job_id: job.name for job in problem.jobs}
    name = names.get(job_id, str(job_id))
    mine = [column for column in of_pins if column.job_id == job_id]
    if not mine:
        return Said(
            "pin_impossible",
            f"{name} cannot be done by its pinned crew from its pinned day.",
            {"job": name, "job_id": float(job_id)},
        )
    halves = {half for column in mine for half in column.half_days}
    others = sorted({c.job_id for c in kept if halves & set(c.half_days)})
    if others:
        met = ", ".join(names.get(other, str(other)) for other in others)
        return Said(
            "pin_conflict", f"The pins of {name} and {met} need the same crew at once.", {"job": name, "with": met}
        )
    day = mine[0].first_day
    return Said(
        "pin_capacity",
        f"The pin of {name} needs a drop or a dumpster on {day.isoformat()} that is not there.",
        {"job": name, "day": day.isoformat()},
    )
