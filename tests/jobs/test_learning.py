"""A crew's rate from its record, against scipy's integral of the same model."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate, stats

from jobs.learning import shrunk_rate

JOBS = (1.70, 1.95, 1.60, 2.10)  # h per square; prior median 1.42, tau 0.25, job sd 0.35


def test_the_worked_example() -> None:
    """Values computed by hand from the closed form and by scipy; printed to six digits."""
    rate = shrunk_rate(JOBS, 1.42)
    assert rate.weight == pytest.approx(0.671141, abs=5e-7)
    assert rate.log_mean == pytest.approx(0.519746, abs=5e-7)
    assert rate.median_hours == pytest.approx(1.68160, abs=5e-6)
    assert rate.log_sd == pytest.approx(0.143366, abs=5e-7)
    assert rate.mean_hours == pytest.approx(1.69897, abs=5e-6)
    assert rate.next_job_hours(0.8) == pytest.approx(2.31190, abs=5e-6)


def test_scipy_integrates_the_same_posterior() -> None:
    def density(x: float) -> float:
        return float(stats.norm.pdf(x, math.log(1.42), 0.25) * np.prod(stats.norm.pdf(np.log(JOBS), x, 0.35)))

    whole, _ = integrate.quad(density, -2, 3, epsabs=1e-14)
    mean = integrate.quad(lambda x: x * density(x), -2, 3, epsabs=1e-14)[0] / whole
    variance = integrate.quad(lambda x: (x - mean) ** 2 * density(x), -2, 3, epsabs=1e-14)[0] / whole
    rate = shrunk_rate(JOBS, 1.42)
    assert rate.log_mean == pytest.approx(mean, abs=1e-9)
    assert rate.log_sd == pytest.approx(math.sqrt(variance), abs=1e-9)


@pytest.mark.parametrize(("n", "weight"), [(1, 0.3378), (2, 0.5051), (5, 0.7184), (10, 0.8361), (20, 0.9107)])
def test_the_record_weighs_more_the_longer_it_is(n: int, weight: float) -> None:
    assert shrunk_rate([1.5] * n, 1.42).weight == pytest.approx(weight, abs=5e-5)


def test_without_a_record_the_usual_rate_holds() -> None:
    rate = shrunk_rate([], 1.42)
    assert rate.median_hours == pytest.approx(1.42)
    assert (rate.weight, rate.n_jobs) == (0, 0)


@given(st.lists(st.floats(0.5, 5), min_size=1, max_size=30), st.floats(0.5, 5))
def test_the_rate_lies_between_the_usual_and_the_record(hours: list[float], usual: float) -> None:
    record = math.exp(sum(map(math.log, hours)) / len(hours))
    low, high = sorted((record, usual))
    assert low - 1e-9 <= shrunk_rate(hours, usual).median_hours <= high + 1e-9


@pytest.mark.parametrize("hours", [[0.0], [-1.0], [math.nan]])
def test_hours_that_are_none_are_refused(hours: list[float]) -> None:
    with pytest.raises(ValueError, match="must be above zero"):
        shrunk_rate(hours, 1.42)


def test_a_chance_outside_0_to_1_is_refused() -> None:
    with pytest.raises(ValueError, match="between 0 and 1"):
        shrunk_rate(JOBS, 1.42).next_job_hours(1.0)
