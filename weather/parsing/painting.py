"""Turns entries that hold for stretches of time into one value per hour, without losing or inventing anything."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal

import numpy as np
from numpy.typing import NDArray

HOUR = timedelta(hours=1)
MINUTES = 60

# How the parts of one hour become its value: the mean, the highest, the first, or their sum.
Reduce = Literal["mean", "max", "first", "sum"]


@dataclass(frozen=True)
class Entry:
    """One value that holds on [start, end), UTC; NaN where the source gave none. Totals are totals of the stretch."""

    start: datetime
    end: datetime
    value: float


@dataclass(frozen=True)
class Painted:
    """One value per hour, and which hours the entries cover in full, overlap in, or leave out within the layer.

    after: hours that start at or after the end of the last entry.
    """

    values: NDArray[np.float64]
    gap: NDArray[np.bool_]
    overlap: NDArray[np.bool_]
    after: NDArray[np.bool_]


def paint(entries: Sequence[Entry], start: datetime, n_hours: int, reduce: Reduce) -> Painted:
    """One value per hour of [start, start + n_hours).

    Parameters
    ----------
    entries : sequence of Entry
        In the order of the document, which need not be sorted; where two overlap the later one in the document wins.
    start : datetime
        A whole UTC hour.
    n_hours : int
        Number of hours. [h]
    reduce : "mean", "max", "first" or "sum"
        What becomes of an hour whose parts differ. With "sum" each entry is a total that is spread evenly over its
        stretch, so that nothing is lost where it is wholly inside the table, and a running one is clipped pro rata.

    Returns
    -------
    Painted
        An hour that is not covered in full, or holds an unknown part, is NaN.
    """
    per_hour = 1 if all(_is_whole(entry.start) and _is_whole(entry.end) for entry in entries) else MINUTES
    n_cells = n_hours * per_hour
    values, layers = np.full(n_cells, np.nan), np.zeros(n_cells, dtype=np.int32)
    last_end, first_start = 0, n_cells
    for entry in entries:
        begin = round((entry.start - start) / HOUR * per_hour)
        end = round((entry.end - start) / HOUR * per_hour)
        share = entry.value / (end - begin) if reduce == "sum" and end > begin else entry.value
        first_start, last_end = min(first_start, begin), max(last_end, end)
        begin, end = max(begin, 0), min(end, n_cells)
        if end > begin:
            values[begin:end] = share
            layers[begin:end] += 1
    by_hour = layers.reshape(n_hours, per_hour)
    hours = np.arange(n_hours) * per_hour
    after = hours >= last_end
    return Painted(
        values=_reduced(values.reshape(n_hours, per_hour), reduce),
        gap=np.any(by_hour == 0, axis=1) & ~after & (hours + per_hour > first_start),
        overlap=np.asarray(np.any(by_hour > 1, axis=1)),
        after=after,
    )


def _is_whole(moment: datetime) -> bool:
    return moment.minute == moment.second == moment.microsecond == 0


def _reduced(cells: NDArray[np.float64], reduce: Reduce) -> NDArray[np.float64]:
    if reduce == "sum":
        return np.asarray(cells.sum(axis=1))
    if reduce == "mean":
        return np.asarray(cells.mean(axis=1))
    # The highest of parts of which one is unknown is unknown; so is the hour as a whole.
    unknown = np.isnan(cells).any(axis=1)
    picked = cells[:, 0] if reduce == "first" else cells.max(axis=1)
    return np.where(unknown, np.nan, picked)
