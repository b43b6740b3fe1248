"""Packs, coverages, weights and counts of roofing material, each with where it comes from.

Defaults that the contractor replaces by the label of the product on the order. "Common practice" means no source.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType


@dataclass(frozen=True)
class Shingle:
    """One kind of asphalt shingle: bundles and pieces per square, weight [lb/sq]."""

    label: str
    bundles_per_square: int
    pieces_per_square: float
    lb_per_square: float


# Bundles: Estimating in Building Construction, asphalt shingles (3 a square, heavy laminates 4).
# Pieces: 12 x 36 in with 5 in exposure = 80; 39-3/8 in x 5-5/8 in exposure = 14400 / (39.375 x 5.625) = 65.02.
# Weights: published ranges 180-350 lb/sq for strips, 240-260 and 300-385 lb/sq for laminates; middle of the range.
SHINGLES: Mapping[str, Shingle] = MappingProxyType(
    {
        "strip": Shingle("strip shingles", 3, 80.0, 230.0),
        "laminate": Shingle("laminate shingles", 3, 14400 / (39.375 * 5.625), 250.0),
        "heavy laminate": Shingle("heavy laminate shingles", 4, 14400 / (39.375 * 5.625), 340.0),
    }
)
DEFAULT_SHINGLE = "laminate"

# Waste by how cut up the roof is [share of area]: gable 8-10 %, hip 12-15 %, cut-up 15-20 %. Common practice.
WASTE_SHARES: Mapping[str, float] = MappingProxyType(
    {"simple": 0.10, "hips_valleys": 0.15, "cut_up": 0.18, "very_cut_up": 0.20}
)
WASTE_WITH_HIPS = 0.13  # a roof called simple that has hips all the same; common practice
WASTE_VALLEYS_EXTRA = 0.02  # closed-cut valleys; common practice


@dataclass(frozen=True)
class Roll:
    """One roll: what it covers net of laps [sq ft] and weighs [lb]."""

    label: str
    net_ft2: float
    lb: float


# Net of laps: #15, 36 in x 144 ft, 2 in side lap: 408 sq ft; #30, 36 in x 72 ft: 204; synthetic, 48 in x 250 ft, 4 in
# lap: 916.7. Roll sizes: construction handbook tables for felt; synthetic and weights common practice.
UNDERLAYMENT_ROLLS: Mapping[str, Roll] = MappingProxyType(
    {
        "felt15": Roll("felt #15", 144 * 34 / 12, 60.0),
        "felt30": Roll("felt #30", 72 * 34 / 12, 60.0),
        "synthetic": Roll("synthetic underlayment", 250 * 44 / 12, 45.0),
    }
)
ICE_ROLL_FT = 200 / 3  # 36 in wide, 200 sq ft; common practice
ICE_END_LAP_FT = 0.5  # common practice
ICE_ROLL_LB = 60.0  # common practice

STARTER_FT_PER_BUNDLE = 100.0  # 100-120 ft; the low figure. Common practice
STARTER_BUNDLE_LB = 40.0  # common practice
CAP_EXPOSURE_IN = 5.0  # Estimating in Building Construction: hip and ridge units at the shingle's exposure
CAP_FT_PER_BUNDLE = 25.0  # packaged caps cover 20-33 ft. Common practice
CAP_BUNDLE_LB = 40.0  # common practice

DRIP_EDGE_STICK_FT = 10.0  # common practice
DRIP_EDGE_LAP_FT = 2 / 12  # 2018 IRC R905.2.8.5: laps of at least 2 in
DRIP_EDGE_STICK_LB = 3.0  # common practice
DRIP_EDGE_NAIL_SPACING_FT = 1.0  # 2018 IRC R905.2.8.5: fasteners at most 12 in apart

VENT_SECTION_IN = 48.0  # rigid ridge vent; common practice
VENT_GAP_IN = 0.125  # between sections; common practice
VENT_NAILS_PER_SECTION = 10  # common practice
VENT_SECTION_LB = 3.0  # common practice
NAILS_PER_CAP = 4  # common practice
NAILS_PER_SHINGLE = 4  # 2018 IRC R905.2.6; 6 in high wind or where the label asks
NAILS_PER_SHINGLE_STEEP = 6  # over 21:12; the label wins. Common practice
PLASTIC_CAPS_PER_SQUARE = 80  # underlayment; common practice

FIELD_NAIL = "1-1/4 in roofing nails"  # 3/4 in into the deck or through it: 2018 IRC R905.2.5
CAP_NAIL = "2-1/2 in roofing nails"  # through caps, vent, shingles and deck. Common practice
VENT_NAIL = "3 in roofing nails"  # common practice
COIL_BOX_NAILS = 7200  # common practice
LOOSE_NAIL_PACK = 100  # common practice: counted and ordered by the hundred
FIELD_NAILS_PER_LB = 210.0  # 11 ga, 1-1/4 in; from memory
LONG_NAILS_PER_LB = 75.0  # 2-1/2 to 3 in. Common practice, low figure

STEP_FLASHING_EXPOSURE_IN = 5.0  # one piece for each course; common practice
STEP_FLASHING_LB = 0.4  # common practice
PIPE_BOOT_LB = 2.0  # common practice
FLASHING_KIT_LB = 15.0  # chimney or skylight; common practice

SHEET_FT2 = 32.0  # 4 x 8 ft
SHEET_LB = 50.0  # 1/2 in plywood 45-50 lb; common practice

BUNDLES_PER_PALLET = 36  # 33-42; common practice

DEBRIS_LB_PER_SQUARE_LAYER = 300.0  # published range 250-400 by type of shingle
DEBRIS_YD3_PER_SQUARE_LAYER = 0.5  # published range 0.4-0.5


@dataclass(frozen=True)
class Container:
    """A container size with the most that it takes: squares of one layer, weight [lb], volume [cubic yards]."""

    yd3: int
    square_layers: float
    lb: float


# Weight governs: 10 yd often carries 2-3 t. Never 40 yd for shingles. Common practice; the hauler's own limit wins.
CONTAINERS: tuple[Container, ...] = (
    Container(10, 5, 4_000),
    Container(15, 15, 6_000),
    Container(20, 25, 8_000),
    Container(30, 40, 12_000),
)


def shingle_of(product_line: str) -> Shingle:
    """Return the kind of shingle that a product line names in its words, a laminate where it names none."""
    words = product_line.lower()
    for key in sorted(SHINGLES, key=len, reverse=True):
        if key in words:
            return SHINGLES[key]
    return SHINGLES[DEFAULT_SHINGLE]
