"""Underlayment, ice barrier, valley lining and deck sheets."""

from jobs.building_code import ice_barrier, underlayment_layers
from jobs.material_table import (
    ICE_END_LAP_FT,
    ICE_ROLL_FT,
    ICE_ROLL_LB,
    PLASTIC_CAPS_PER_SQUARE,
    SHEET_FT2,
    SHEET_LB,
    UNDERLAYMENT_ROLLS,
)
from jobs.production import barrier_squares
from jobs.roof_measure import SQUARE_FT2, EdgeKind, RoofMeasure
from jobs.takeoff.line import TakeoffLine, packs
from jobs.takeoff.runs import eave_runs_ft


def ice_barrier_rolls(roof: RoofMeasure) -> TakeoffLine:
    """Ice barrier along the eaves: courses x feet of eave, in rolls."""
    courses_ft, words = 0.0, []
    if roof.ice_barrier_required:
        for length_ft, pitch in eave_runs_ft(roof):
            barrier = ice_barrier(roof.eave_overhang_in, roof.wall_thickness_in, pitch, roof.code_edition)
            courses_ft += barrier.courses * length_ft
            words.append(f"{barrier.courses} courses of {length_ft:.1f} ft")
    how = "; ".join(words) if words else "not required here"
    order = packs(courses_ft, ICE_ROLL_FT - ICE_END_LAP_FT)
    return TakeoffLine("ice_barrier", "ice barrier", courses_ft, "ft", order, "roll", how, order * ICE_ROLL_LB)


def underlayment_rolls(roof: RoofMeasure) -> TakeoffLine:
    """Underlayment on what the ice barrier leaves, doubled below 4:12."""
    need = sum(
        (section.squares - barrier_squares(roof, section)) * underlayment_layers(section.pitch_in_12) * SQUARE_FT2
        for section in roof.sections
    )
    roll = UNDERLAYMENT_ROLLS[roof.underlayment.value]
    double = any(underlayment_layers(section.pitch_in_12) == 2 for section in roof.sections)
    how = f"area less ice barrier{', doubled below 4:12' if double else ''}, {roll.net_ft2:.0f} sq ft net a roll"
    order = packs(need, roll.net_ft2)
    return TakeoffLine("underlayment", roll.label, need, "sq ft", order, "roll", how, order * roll.lb)


def plastic_caps(roof: RoofMeasure) -> TakeoffLine:
    """Plastic-cap nails that hold the underlayment."""
    need = packs(underlayment_rolls(roof).need / SQUARE_FT2 * PLASTIC_CAPS_PER_SQUARE, 1)
    how = f"about {PLASTIC_CAPS_PER_SQUARE} a square of underlayment; the label wins"
    return TakeoffLine(
        "plastic_caps", "plastic-cap nails", need, "nail", packs(need, 1000), "thousand", how, need / 100
    )


def valley_lining(roof: RoofMeasure) -> TakeoffLine:
    """One 36 in course of self-adhering sheet centred in each valley."""
    feet = roof.length_ft(EdgeKind.VALLEY)
    order = packs(feet, ICE_ROLL_FT - ICE_END_LAP_FT)
    how = f"one 36 in course along {feet:.1f} ft of valley"
    return TakeoffLine("valley_lining", "valley lining", feet, "ft", order, "roll", how, order * ICE_ROLL_LB)


def deck_sheets(roof: RoofMeasure) -> TakeoffLine:
    """Deck sheets as an allowance."""
    sheets = roof.deck_sheets_allowance
    how = f"allowance for rotten deck, {SHEET_FT2:g} sq ft each; what is not used goes back"
    return TakeoffLine("deck_sheets", "deck sheets 4 x 8 ft", sheets, "sheet", sheets, "sheet", how, sheets * SHEET_LB)
