"""Drip edge, ridge vent and flashing."""

from dataclasses import dataclass

from jobs.material_table import (
    DRIP_EDGE_LAP_FT,
    DRIP_EDGE_STICK_FT,
    DRIP_EDGE_STICK_LB,
    FLASHING_KIT_LB,
    LONG_NAILS_PER_LB,
    LOOSE_NAIL_PACK,
    PIPE_BOOT_LB,
    STEP_FLASHING_EXPOSURE_IN,
    STEP_FLASHING_LB,
    VENT_GAP_IN,
    VENT_NAIL,
    VENT_NAILS_PER_SECTION,
    VENT_SECTION_IN,
    VENT_SECTION_LB,
)
from jobs.roof_measure import DetailKind, EdgeKind, RoofMeasure, check_length
from jobs.takeoff.line import TakeoffLine, packs
from jobs.takeoff.runs import drip_edge_runs_ft


@dataclass(frozen=True)
class RidgeVent:
    """Rigid vent on one ridge: sections, length of the trimmed last one [in], nails."""

    sections: int
    last_section_in: float
    nails: int


def ridge_vent(length_ft: float) -> RidgeVent:
    """Return the vent sections of one ridge [ft]: 48 in sections with 1/8 in gaps, the last one trimmed.

    Raises ValueError for a length that is not above zero. Source: common practice, no source; the vent's label wins.
    """
    length_in = check_length("ridge", length_ft) * 12
    pitch_in = VENT_SECTION_IN + VENT_GAP_IN
    sections = packs(length_in + VENT_GAP_IN, pitch_in)
    last_in = length_in - (sections - 1) * pitch_in
    if last_in <= 0:
        # Less than a gap is left: the section before ends the ridge.
        sections, last_in = sections - 1, VENT_SECTION_IN
    return RidgeVent(sections, last_in, sections * VENT_NAILS_PER_SECTION)


def drip_edge(roof: RoofMeasure) -> TakeoffLine:
    """Drip edge, counted run by run."""
    runs = drip_edge_runs_ft(roof)
    net_ft = DRIP_EDGE_STICK_FT - DRIP_EDGE_LAP_FT
    order = sum(packs(run, net_ft) for run in runs)
    how = f"{len(runs)} runs, each in whole sticks of {DRIP_EDGE_STICK_FT:g} ft less 2 in lap"
    return TakeoffLine("drip_edge", "drip edge", sum(runs), "ft", order, "stick", how, order * DRIP_EDGE_STICK_LB)


def ridge_vent_sections(roof: RoofMeasure) -> TakeoffLine:
    """Ridge vent, ridge by ridge."""
    ridges = [edge for edge in roof.edges_of(EdgeKind.RIDGE) if edge.vented]
    vents = [ridge_vent(edge.length_ft) for edge in ridges]
    order = sum(vent.sections for vent in vents)
    words = [
        f"{edge.length_ft:g} ft: {vent.sections} sections, last cut to {vent.last_section_in:.3f} in"
        for edge, vent in zip(ridges, vents, strict=True)
    ]
    how = "; ".join(words) if words else "no vented ridge"
    feet = sum(edge.length_ft for edge in ridges)
    return TakeoffLine("ridge_vent", "ridge vent, 4 ft", feet, "ft", order, "section", how, order * VENT_SECTION_LB)


def vent_nails(roof: RoofMeasure) -> TakeoffLine:
    """Nails for the vent: through vent, shingles and deck, never field nails."""
    need = sum(ridge_vent(edge.length_ft).nails for edge in roof.edges_of(EdgeKind.RIDGE) if edge.vented)
    how = f"{VENT_NAILS_PER_SECTION} nails a section; not the nails of the field"
    order = packs(need, LOOSE_NAIL_PACK)
    return TakeoffLine("nails_vent", VENT_NAIL, need, "nail", order, "hundred", how, need / LONG_NAILS_PER_LB)


def flashing(roof: RoofMeasure) -> tuple[TakeoffLine, ...]:
    """Flashing by the piece, for what the roof has."""
    counts = {kind: sum(d.count for d in roof.details if d.kind is kind) for kind in DetailKind}
    lines = [
        TakeoffLine(item, label, counts[kind], "each", counts[kind], "each", "counted", counts[kind] * lb)
        for item, label, kind, lb in (
            ("pipe_boots", "pipe boots", DetailKind.PIPE_BOOT, PIPE_BOOT_LB),
            ("chimney_flashing", "chimney flashing sets", DetailKind.CHIMNEY, FLASHING_KIT_LB),
            ("skylight_flashing", "skylight flashing sets", DetailKind.SKYLIGHT, FLASHING_KIT_LB),
        )
        if counts[kind]
    ]
    steps = [d.length_ft for d in roof.details if d.kind is DetailKind.STEP_FLASHING]
    if steps:
        pieces = sum(packs(length * 12, STEP_FLASHING_EXPOSURE_IN) for length in steps)
        how = f"one piece each {STEP_FLASHING_EXPOSURE_IN:g} in along {sum(steps):.1f} ft"
        weight_lb = pieces * STEP_FLASHING_LB
        lines.append(TakeoffLine("step_flashing", "step flashing", sum(steps), "ft", pieces, "piece", how, weight_lb))
    return tuple(lines)
