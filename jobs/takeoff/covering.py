"""Shingles, starter, caps and their nails."""

from jobs.building_code import SPECIAL_ATTACHMENT_OVER_IN_12
from jobs.material_table import (
    CAP_BUNDLE_LB,
    CAP_EXPOSURE_IN,
    CAP_FT_PER_BUNDLE,
    CAP_NAIL,
    COIL_BOX_NAILS,
    DRIP_EDGE_NAIL_SPACING_FT,
    FIELD_NAIL,
    FIELD_NAILS_PER_LB,
    LONG_NAILS_PER_LB,
    LOOSE_NAIL_PACK,
    NAILS_PER_CAP,
    NAILS_PER_SHINGLE,
    NAILS_PER_SHINGLE_STEEP,
    STARTER_BUNDLE_LB,
    STARTER_FT_PER_BUNDLE,
    WASTE_SHARES,
    WASTE_VALLEYS_EXTRA,
    WASTE_WITH_HIPS,
    shingle_of,
)
from jobs.roof_measure import EdgeKind, RoofMeasure
from jobs.takeoff.line import TakeoffLine, packs
from jobs.takeoff.runs import drip_edge_runs_ft


def waste_share(roof: RoofMeasure) -> float:
    """Return the share of shingles that is cut away, by the roof's shape [0-1]."""
    share = WASTE_SHARES[roof.cut_up]
    if roof.edges_of(EdgeKind.HIP):
        share = max(share, WASTE_WITH_HIPS)
    if roof.edges_of(EdgeKind.VALLEY):
        share += WASTE_VALLEYS_EXTRA
    return share


def shingles(roof: RoofMeasure, waste: float) -> TakeoffLine:
    """Field shingles, rounded up to whole bundles."""
    kind = shingle_of(roof.product_line)
    need = roof.squares * (1 + waste)
    return TakeoffLine(
        "shingles",
        kind.label,
        need,
        "sq",
        bundles := packs(need * kind.bundles_per_square, 1),
        "bundle",
        f"{roof.squares:.3f} sq + {waste:.0%} waste = {need:.3f} sq, {kind.bundles_per_square} bundles a square",
        bundles * kind.lb_per_square / kind.bundles_per_square,
    )


def starter(roof: RoofMeasure) -> TakeoffLine:
    """Starter along eaves and rakes."""
    feet = sum(drip_edge_runs_ft(roof))
    order = packs(feet, STARTER_FT_PER_BUNDLE)
    how = f"eaves and rakes {feet:.1f} ft, {STARTER_FT_PER_BUNDLE:g} ft a bundle"
    return TakeoffLine("starter", "starter", feet, "ft", order, "bundle", how, order * STARTER_BUNDLE_LB)


def cap_pieces(roof: RoofMeasure) -> int:
    """Return the cap pieces of all ridges and hips, each line rounded up on its own."""
    lines = (*roof.edges_of(EdgeKind.RIDGE), *roof.edges_of(EdgeKind.HIP))
    return sum(packs(edge.length_ft * 12, CAP_EXPOSURE_IN) for edge in lines)


def caps(roof: RoofMeasure) -> TakeoffLine:
    """Caps for ridges and hips."""
    feet = roof.length_ft(EdgeKind.RIDGE, EdgeKind.HIP)
    order = packs(feet, CAP_FT_PER_BUNDLE)
    how = (
        f"ridges and hips {feet:.1f} ft, {cap_pieces(roof)} pieces at {CAP_EXPOSURE_IN:g} in, "
        f"{CAP_FT_PER_BUNDLE:g} ft a bundle"
    )
    return TakeoffLine("caps", "hip and ridge caps", feet, "ft", order, "bundle", how, order * CAP_BUNDLE_LB)


def field_nails(roof: RoofMeasure, waste: float) -> TakeoffLine:
    """Nails for field shingles and drip edge, in coil boxes."""
    kind = shingle_of(roof.product_line)
    shingle_nails = sum(
        section.squares
        * (1 + waste)
        * kind.pieces_per_square
        * (NAILS_PER_SHINGLE_STEEP if section.pitch_in_12 > SPECIAL_ATTACHMENT_OVER_IN_12 else NAILS_PER_SHINGLE)
        for section in roof.sections
    )
    edge_nails = sum(packs(run, DRIP_EDGE_NAIL_SPACING_FT) + 1 for run in drip_edge_runs_ft(roof))
    need = packs(shingle_nails, 1) + edge_nails
    how = (
        f"{kind.pieces_per_square:.1f} shingles a square, {NAILS_PER_SHINGLE} nails each (label wins in high wind), "
        f"and {edge_nails} for the drip edge at 12 in"
    )
    return TakeoffLine(
        "nails_field", FIELD_NAIL, need, "nail", packs(need, COIL_BOX_NAILS), "box", how, need / FIELD_NAILS_PER_LB
    )


def cap_nails(roof: RoofMeasure) -> TakeoffLine:
    """Nails for caps: never field nails, which end in the vent."""
    pieces = cap_pieces(roof)
    need = pieces * NAILS_PER_CAP
    how = f"{pieces} cap pieces, {NAILS_PER_CAP} nails each; not the nails of the field"
    order = packs(need, LOOSE_NAIL_PACK)
    return TakeoffLine("nails_caps", CAP_NAIL, need, "nail", order, "hundred", how, need / LONG_NAILS_PER_LB)
