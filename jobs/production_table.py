"""Labor rates and multipliers of a re-roof, each with its source.

Rates are paid labor-hours per unit for the base case: at most 6/12, one storey, simple roof, debris straight into the
container. Crew size changes how long it takes, not how many labor-hours it costs. Every value is a default that the
contractor replaces by the firm's own record.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise
from types import MappingProxyType

COST_DATA = "building construction cost data, CSI "
ESTIMATING_BOOK = "national home-improvement estimating book 2018"
COMMON_PRACTICE = "common practice, no source"


@dataclass(frozen=True)
class Rate:
    """Labor-hours per unit [h/unit] with the source of the value."""

    labor_hours: float
    unit: str
    source: str

    def __post_init__(self) -> None:
        if not self.labor_hours >= 0:  # also refuses NaN
            raise ValueError(f"A rate must not be negative, but is {self.labor_hours}.")


RATES: Mapping[str, Rate] = MappingProxyType(
    {
        # 3500 sq ft a day for a crew of five: 40 h / 35 sq; two layers take twice as long in the same table.
        "tear_off_layer": Rate(1.143, "sq and layer", COST_DATA + "07 05 05.10"),
        "remove_felt": Rate(0.114, "sq", COST_DATA + "07 05 05.10 (felt #15)"),
        "remove_drip_edge": Rate(0.008, "ft", COST_DATA + "07 05 05.10"),
        "remove_ridge_vent": Rate(0.026, "ft", COST_DATA + "07 05 05.10"),
        "deck_check": Rate(0.15, "sq", COMMON_PRACTICE + " (sweep, re-nail, look for rot)"),
        # 32 sq ft at 0.017 to take off and 0.010 to nail on by gun.
        "deck_sheet": Rate(0.864, "sheet", ESTIMATING_BOOK + "; " + COST_DATA + "06 16 36.10"),
        "ice_barrier": Rate(0.364, "sq of barrier", COST_DATA + "07 31 13.10 (self-adhering barrier)"),
        "drip_edge": Rate(0.020, "ft", COST_DATA + "07 31 13.10 (drip edge; value from memory)"),
        "felt15": Rate(0.125, "sq and layer", COST_DATA + "07 31 13.10 (felt #15)"),
        "felt30": Rate(0.138, "sq and layer", COST_DATA + "07 31 13.10 (felt #30)"),
        "synthetic": Rate(0.100, "sq and layer", COMMON_PRACTICE),
        "field": Rate(1.422, "sq", COST_DATA + "07 31 13.10 (laminate 240-260 lb, nail gun)"),
        "ridge_vent": Rate(0.050, "ft", COST_DATA + "07 72 26.10"),
        "caps": Rate(0.019, "ft", COST_DATA + "07 31 13.10 (ridge shingles, nail gun)"),
        "slot_cut": Rate(0.020, "ft", COMMON_PRACTICE),
        "ridge_cover": Rate(2 * 2 / 60 / 10, "ft", COMMON_PRACTICE + " (two people, 2 min per 10 ft)"),
        "valley_lining": Rate(0.030, "ft", COMMON_PRACTICE),
        "seal_penetration": Rate(0.10, "each", COMMON_PRACTICE + " (cap or seal before rain)"),
        "pipe_boot": Rate(0.5, "each", COMMON_PRACTICE),
        "chimney": Rate(4.0, "each", COMMON_PRACTICE),
        "skylight": Rate(2.5, "each", COMMON_PRACTICE),
        "step_flashing": Rate(0.06, "ft", COMMON_PRACTICE),
    }
)

# Labor multiplier at a pitch [in 12]; between the knots a straight line, above 12/12 the last value.
# Calibrated to the published step of 1.50 at 7/12 and over (mean of 7 to 12 = 1.56); the split is common practice.
PITCH_FACTORS: tuple[tuple[float, float], ...] = (
    (6, 1.00),
    (7, 1.25),
    (8, 1.35),
    (9, 1.50),
    (10, 1.60),
    (11, 1.75),
    (12, 1.90),
)
PITCH_FACTOR_OVER_12 = 2.20

STOREY_FACTORS: Mapping[int, float] = MappingProxyType({1: 1.00, 2: 1.08, 3: 1.20, 4: 1.35})  # common practice

CUT_UP_FACTORS: Mapping[str, float] = MappingProxyType(  # common practice
    {"simple": 1.00, "hips_valleys": 1.10, "cut_up": 1.25, "very_cut_up": 1.40}
)

# Debris tarped and carried instead of dropped straight into the container: on tear-off labor only.
DEBRIS_CARRY_FACTOR = 1.25  # national home-improvement estimating book 2018

# A day's own steps [min]: the plan counts these, never a percentage on top.
FIRST_DAY_SET_UP_MINUTES = 60.0  # common practice, no source
LATER_SET_UP_MINUTES = 30.0  # common practice, no source
CLEAN_UP_MINUTES = 45.0  # common practice, no source

# A rule of thumb of estimators for set-up, protection and clean-up together; for checking an estimate only.
ESTIMATE_SET_UP_SHARE = 0.15  # common practice, no source


@dataclass(frozen=True)
class RateTable:
    """The rates and multipliers that one calculation uses; `DEFAULT_RATES` unless a company has its own.

    Raises ValueError where a rate is missing or a factor is not above zero.
    """

    rates: Mapping[str, Rate]
    storey_factors: Mapping[int, float]
    cut_up_factors: Mapping[str, float]
    debris_carry_factor: float = DEBRIS_CARRY_FACTOR

    def __post_init__(self) -> None:
        missing = set(RATES) - set(self.rates)
        if missing:
            raise ValueError(f"The rate table lacks {', '.join(sorted(missing))}.")
        factors = (*self.storey_factors.values(), *self.cut_up_factors.values(), self.debris_carry_factor)
        if any(not factor > 0 for factor in factors):
            raise ValueError("A labor multiplier must be above zero.")

    def hours(self, name: str) -> float:
        """Labor-hours per unit of a rate."""
        return self.rates[name].labor_hours

    def with_rates(self, **labor_hours: float) -> "RateTable":
        """The same table with some rates replaced [h/unit], marked as the contractor's own figure."""
        own = {
            name: Rate(hours, self.rates[name].unit, "contractor's own figure") for name, hours in labor_hours.items()
        }
        return RateTable(
            MappingProxyType({**self.rates, **own}),
            self.storey_factors,
            self.cut_up_factors,
            self.debris_carry_factor,
        )

    def storey_factor(self, storeys: int) -> float:
        """Labor multiplier of the height; that of the tallest known house above it."""
        return self.storey_factors.get(storeys, max(self.storey_factors.values()))

    def cut_up_factor(self, cut_up: str) -> float:
        """Labor multiplier of how cut up the roof is.

        Raises ValueError for a word that the table does not hold.
        """
        if cut_up not in self.cut_up_factors:
            raise ValueError(f"“{cut_up}” is not a cut-up; use one of {', '.join(self.cut_up_factors)}.")
        return self.cut_up_factors[cut_up]


def pitch_labor_factor(pitch_in_12: float) -> float:
    """Return the labor multiplier of a pitch [-]: 1 up to 6/12, a straight line between the knots, 2.2 over 12/12."""
    if pitch_in_12 <= PITCH_FACTORS[0][0]:
        return PITCH_FACTORS[0][1]
    for (low, factor_low), (high, factor_high) in pairwise(PITCH_FACTORS):
        if pitch_in_12 <= high:
            return factor_low + (factor_high - factor_low) * (pitch_in_12 - low) / (high - low)
    return PITCH_FACTOR_OVER_12


DEFAULT_RATES = RateTable(RATES, STOREY_FACTORS, CUT_UP_FACTORS)
