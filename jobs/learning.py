"""What a crew's own record says about its rates: shrinkage of log labor-hours towards what is usual.

Normal prior and normal errors on the log of labor-hours per unit give the posterior in closed form. Source: conjugate
normal model with known variances, e.g. Gelman et al., Bayesian Data Analysis, section 2.5.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, isfinite, log, sqrt
from statistics import NormalDist

PRIOR_SD = 0.25  # spread of crews around the usual, in log hours; contractor's own figure, to be calibrated
JOB_SD = 0.35  # spread of one crew's jobs, in log hours; contractor's own figure, to be calibrated


@dataclass(frozen=True)
class Posterior:
    """A crew's rate after its record: mean and sd of log labor-hours per unit, weight of the record [0-1], jobs."""

    log_mean: float
    log_sd: float
    weight: float
    n_jobs: int
    job_sd: float

    @property
    def median_hours(self) -> float:
        """Middle of what the rate may be [labor-hours per unit]."""
        return exp(self.log_mean)

    @property
    def mean_hours(self) -> float:
        """Mean of what the rate may be [labor-hours per unit]."""
        return exp(self.log_mean + self.log_sd**2 / 2)

    def next_job_hours(self, share: float) -> float:
        """Labor-hours per unit that the next job stays below with this chance [0-1]: rate and job spread together.

        Raises ValueError for a chance outside 0 to 1.
        """
        if not 0 < share < 1:
            raise ValueError(f"A chance lies between 0 and 1, but is {share:g}.")
        return exp(NormalDist(self.log_mean, sqrt(self.log_sd**2 + self.job_sd**2)).inv_cdf(share))


def shrunk_rate(
    hours_per_unit: Sequence[float],
    usual_hours_per_unit: float,
    *,
    prior_sd: float = PRIOR_SD,
    job_sd: float = JOB_SD,
) -> Posterior:
    """Return a crew's rate from its finished jobs, drawn towards the usual rate the fewer they are.

    Parameters
    ----------
    hours_per_unit
        Labor-hours per unit of each finished job; may be empty [h/unit].
    usual_hours_per_unit
        Rate that a crew without record is planned with [h/unit].
    prior_sd, job_sd
        Spread of crews, and of one crew's jobs, in log hours [-].

    Raises ValueError for hours or spreads that are not above zero.
    """
    for value in (*hours_per_unit, usual_hours_per_unit, prior_sd, job_sd):
        if not isfinite(value) or value <= 0:
            raise ValueError(f"Hours per unit and spreads must be above zero, but one is {value:g}.")
    n_jobs = len(hours_per_unit)
    prior_mean = log(usual_hours_per_unit)
    if n_jobs == 0:
        return Posterior(prior_mean, prior_sd, 0.0, 0, job_sd)
    weight = prior_sd**2 / (prior_sd**2 + job_sd**2 / n_jobs)
    record_mean = sum(log(value) for value in hours_per_unit) / n_jobs
    log_mean = prior_mean + weight * (record_mean - prior_mean)
    return Posterior(log_mean, prior_sd * sqrt(1 - weight), weight, n_jobs, job_sd)
