"""One line of a takeoff, and rounding up to whole packs."""

from dataclasses import dataclass
from math import ceil

ROUNDING = 1e-9  # a need of 3.0000000001 packs is three packs


@dataclass(frozen=True)
class TakeoffLine:
    """What a roof needs of one material, what to order, its weight, and how it was computed.

    item: stable key; label: words; need in need_unit; order: whole packs in order_unit; how: the calculation in words.
    """

    item: str
    label: str
    need: float
    need_unit: str
    order: int
    order_unit: str
    how: str
    weight_lb: float = 0.0

    def __post_init__(self) -> None:
        if not self.need >= 0 or self.order < 0 or not self.weight_lb >= 0:
            raise ValueError(f"A takeoff line must not be negative: {self.label}.")


def packs(need: float, per_pack: float) -> int:
    """Return how many whole packs hold a need; 0 for no need."""
    return max(0, ceil(need / per_pack - ROUNDING))
