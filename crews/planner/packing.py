"""The choice as a packing question: columns in rows with capacities. Nothing here knows a solver."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from crews.planner.columns import Column
from crews.planner.plan_problem import Capacity

# What a row stands for: ("job", job id), ("half", crew id, day, half), ("drops", day), ("dumpsters", day).
RowKey = tuple[str | int | date, ...]


@dataclass(frozen=True)
class Row:
    """At most `capacity` of the weights of the columns chosen. exactly: the capacity must be met (a pinned job)."""

    key: RowKey
    columns: tuple[int, ...]
    weights: tuple[int, ...]
    capacity: int
    exactly: bool = False


@dataclass(frozen=True)
class Packing:
    """Maximise the sum of values of the columns chosen, subject to the rows. Values are whole USD."""

    values: tuple[int, ...]
    rows: tuple[Row, ...]

    def value_of(self, chosen: Iterable[int]) -> int:
        """Sum of the values of some columns."""
        return sum(self.values[i] for i in chosen)

    def fits(self, chosen: Sequence[int]) -> bool:
        """Whether some columns keep every row."""
        taken = set(chosen)
        for row in self.rows:
            used = sum(w for c, w in zip(row.columns, row.weights, strict=True) if c in taken)
            if used > row.capacity or (row.exactly and used != row.capacity):
                return False
        return True


def packing_of(columns: Sequence[Column], capacity: Capacity, pinned_jobs: frozenset[int] = frozenset()) -> Packing:
    """The packing of all columns: jobs at most once, crews never twice in a half-day, drops and dumpsters per day."""
    members: dict[RowKey, list[tuple[int, int]]] = {}
    for index, column in enumerate(columns):
        members.setdefault(("job", column.job_id), []).append((index, 1))
        for crew, day, half in column.half_days:
            members.setdefault(("half", crew, day, half), []).append((index, 1))
        if column.drops:
            members.setdefault(("drops", column.first_day), []).append((index, column.drops))
        if column.dumpsters:
            members.setdefault(("dumpsters", column.first_day), []).append((index, column.dumpsters))
    rows = []
    for key, entries in members.items():
        limit = _capacity(key, capacity)
        exactly = key[0] == "job" and key[1] in pinned_jobs
        if not exactly and sum(weight for _, weight in entries) <= limit:
            continue  # never binding
        rows.append(Row(key, tuple(i for i, _ in entries), tuple(w for _, w in entries), limit, exactly))
    return Packing(tuple(column.net_usd for column in columns), _without_twins(rows))


def _capacity(key: RowKey, capacity: Capacity) -> int:
    """Capacity of a row."""
    day = key[1]
    if key[0] == "drops" and isinstance(day, date):
        return capacity.drops(day)
    if key[0] == "dumpsters" and isinstance(day, date):
        return capacity.dumpsters(day)
    return 1


def _without_twins(rows: list[Row]) -> tuple[Row, ...]:
    """The rows without those that repeat another's columns and capacity (half-days that always go together)."""
    seen: set[tuple[tuple[int, ...], tuple[int, ...], int, bool]] = set()
    kept = []
    for row in rows:
        content = (row.columns, row.weights, row.capacity, row.exactly)
        if content not in seen:
            seen.add(content)
            kept.append(row)
    return tuple(kept)


def greedy(packing: Packing, order: Sequence[int], start: Sequence[int] = ()) -> list[int]:
    """Columns taken in an order as long as they fit and bring something, beside those of `start`."""
    of_column: dict[int, list[tuple[int, int]]] = {}
    room = []
    for number, row in enumerate(packing.rows):
        room.append(row.capacity)
        for column, weight in zip(row.columns, row.weights, strict=True):
            of_column.setdefault(column, []).append((number, weight))
    chosen: list[int] = []
    must = set(start)
    for column in (*start, *order):
        if column in must and column in chosen:
            continue
        rows = of_column.get(column, [])
        if (column in must or packing.values[column] > 0) and all(room[r] >= w for r, w in rows):
            chosen.append(column)
            for r, w in rows:
                room[r] -= w
    return chosen


def part(packing: Packing, kept: Sequence[int], fixed: Iterable[int] = ()) -> tuple[Packing, list[int]]:
    """The packing of some columns only, with the capacity that fixed columns take removed; and their old numbers."""
    number = {column: new for new, column in enumerate(kept)}
    taken = set(fixed)
    rows = []
    for row in packing.rows:
        used = sum(w for c, w in zip(row.columns, row.weights, strict=True) if c in taken)
        entries = [(number[c], w) for c, w in zip(row.columns, row.weights, strict=True) if c in number]
        room = row.capacity - used
        if not entries or (not row.exactly and sum(w for _, w in entries) <= room):
            continue
        rows.append(Row(row.key, tuple(c for c, _ in entries), tuple(w for _, w in entries), room, row.exactly))
    return Packing(tuple(packing.values[c] for c in kept), tuple(rows)), list(kept)
