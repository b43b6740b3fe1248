"""The takeoff of a whole roof."""

from dataclasses import dataclass

from jobs.material_table import BUNDLES_PER_PALLET
from jobs.roof_measure import RoofMeasure, check_not_negative
from jobs.takeoff.covering import cap_nails, caps, field_nails, shingles, starter, waste_share
from jobs.takeoff.debris import Debris, debris
from jobs.takeoff.line import TakeoffLine, packs
from jobs.takeoff.metal import drip_edge, flashing, ridge_vent_sections, vent_nails
from jobs.takeoff.sheets import deck_sheets, ice_barrier_rolls, plastic_caps, underlayment_rolls, valley_lining

ALWAYS_SHOWN = frozenset({"shingles", "starter", "underlayment", "drip_edge", "nails_field", "ice_barrier"})


@dataclass(frozen=True)
class Takeoff:
    """The materials of a roof and what comes off it; weights in lb."""

    lines: tuple[TakeoffLine, ...]
    debris: Debris
    waste_share: float

    def line(self, item: str) -> TakeoffLine:
        """The line of one item; KeyError where the roof needs none of it."""
        for line in self.lines:
            if line.item == item:
                return line
        raise KeyError(item)

    @property
    def weight_lb(self) -> float:
        """Weight of all materials [lb]."""
        return sum(line.weight_lb for line in self.lines)

    @property
    def debris_lb(self) -> float:
        """Weight of the debris [lb]."""
        return self.debris.weight_lb

    @property
    def container_yd3(self) -> int:
        """Size of the container [cubic yards]."""
        return self.debris.container_yd3

    @property
    def pallets(self) -> int:
        """Pallets of shingles."""
        return packs(self.line("shingles").order, BUNDLES_PER_PALLET)


def takeoff(roof: RoofMeasure, waste: float | None = None) -> Takeoff:
    """Return what a roof needs, line by line, each saying how it was computed.

    Parameters
    ----------
    roof
        The measured roof.
    waste
        Share of shingles cut away [0-1]; None takes it from the roof's shape.

    Raises ValueError for a negative share. Quantities are for ordering; check the label of each product.
    """
    share = waste_share(roof) if waste is None else check_not_negative("waste", waste)
    lines = (
        shingles(roof, share),
        starter(roof),
        caps(roof),
        underlayment_rolls(roof),
        ice_barrier_rolls(roof),
        valley_lining(roof),
        drip_edge(roof),
        ridge_vent_sections(roof),
        *flashing(roof),
        field_nails(roof, share),
        cap_nails(roof),
        vent_nails(roof),
        plastic_caps(roof),
        deck_sheets(roof),
    )
    shown = tuple(line for line in lines if line.need or line.item in ALWAYS_SHOWN)
    return Takeoff(shown, debris(roof), share)
