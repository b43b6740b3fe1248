"""The standing content of a day sheet: steps and checks per phase, nails, and cautions for the day's conditions.

Everything here is a reminder. Local code, the manufacturer's printed instructions and the competent person on site come
first; the sheet says so. References name the federal rule a caution rests on; an empty one is common practice.
"""

from dataclasses import dataclass
from math import ceil

from crews.boards.sheet_content import Caution, Fastener, PhaseSteps, SourceNote
from jobs.phases import Phase

DETAILS = "details"
SET_UP = "set_up"
CLEAN_UP = "clean_up"

# phase -> (steps, checks); order as the work runs [common practice, no source, but for what SOURCES names]
STEPS: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    SET_UP: (
        ("talk", "anchors", "ladder", "cover_plants", "drop_zone", "container"),
        ("sky_agrees", "deck_carries", "permit_visible", "tarps_on_roof"),
    ),
    Phase.TEAR_OFF: (
        ("strip_order", "strip_full_swath", "pull_nails", "sweep_deck"),
        ("not_past_stop", "not_over_bare", "next_strip_after_dry"),
    ),
    Phase.DECK: (
        ("probe_deck", "replace_sheets", "renail_deck", "photo_deck"),
        ("deck_flat", "deck_dry", "inspector_or_photo"),
    ),
    Phase.ICE_BARRIER: (
        ("drip_edge_eave", "barrier_from_eave", "barrier_past_wall", "valley_lining", "photo_tape"),
        ("barrier_warm_dry", "laps_rolled"),
    ),
    Phase.UNDERLAYMENT: (
        ("roll_across", "cap_nails", "drip_edge_rake", "lap_over_ridge", "tie_in_old", "cap_pipes"),
        ("every_side_tied", "walls_sealed", "not_over_wind"),
    ),
    DETAILS: (
        ("step_flashing", "chimney_flashing", "boots"),
        ("flashing_under_course", "no_face_nails"),
    ),
    Phase.FIELD: (
        ("color_check", "starter", "chalk_lines", "stagger", "nail_line"),
        ("nails_flush", "nail_count", "valley_cut", "cold_hand_seal"),
    ),
    Phase.RIDGE: (
        ("ridge_chalk", "slot_cut", "slot_stops", "vent_gap", "vent_one_side", "vent_other_side", "ridge_caps"),
        ("slot_finish_or_cover", "vent_flat", "vent_nails", "caps_wind", "last_cap_sealed"),
    ),
    CLEAN_UP: (
        ("magnet", "gutters", "ladder_down", "container_level"),
        ("bare_zero", "ridge_zero", "laps_capped", "photos_closed", "report_hours"),
    ),
}

SOURCES: tuple[SourceNote, ...] = (
    SourceNote("tie_off", "29 CFR 1926.501(b)(13)"),
    SourceNote("steep", "29 CFR 1926.501(b)(11)"),
    SourceNote("anchor", "29 CFR 1926.502(d)(15)"),
    SourceNote("surface", "29 CFR 1926.501(a)(2)"),
    SourceNote("ladder", "29 CFR 1926.1053(b)(1), (b)(5)(i)"),
    SourceNote("lines", "29 CFR 1926.1408 Table A, 29 CFR 1926.451(f)(6)"),
    SourceNote("debris", "29 CFR 1926.252(a)"),
    SourceNote("ice", "29 CFR 1926.451(f)(8)"),
    SourceNote("competent", "29 CFR 1926.20(b)(2), 29 CFR 1926.21(b)(2)"),
    SourceNote("hole", "29 CFR 1926.501(b)(4)"),
)
REFERENCE = {note.code: note.reference for note in SOURCES}

FALL_HEIGHT_FT = 6.0  # 29 CFR 1926.501(b)(13)
STEEP_PITCH_IN_12 = 4.0  # above it: steep roof, 29 CFR 1926.500(b)
LINE_CLEARANCE_FT = 10.0  # to 50 kV, 29 CFR 1926.1408 Table A
CHUTE_DROP_FT = 20.0  # 29 CFR 1926.252(a)
STOREY_FT = 10.0  # eave height per storey [common practice, no source]
LADDER_ABOVE_FT = 3.0  # 29 CFR 1926.1053(b)(1)
THUNDER_BACK_MINUTES = 30.0  # after the last thunder: NWS lightning safety, "When thunder roars, go indoors"
HEAT_CAUTION_F = 80.0  # NWS heat index, caution from 80 degF
HEAT_HIGH_F = 91.0  # OSHA heat index guide for employers: moderate from 91 degF
FROST_F = 32.0

# Rigid ridge vent: 4 ft sections, 10 nails each; caps at 5 in exposure, 4 nails each [common practice, no source]
VENT_SECTION_IN = 48.0
VENT_GAP_IN = 0.125
VENT_NAILS = 10
CAP_EXPOSURE_IN = 5.0
CAP_NAILS = 4
SHINGLES_PER_SQUARE = 80  # strip shingle of 36 in at 5 in exposure
NAILS_PER_SHINGLE = 4
NAILS_PER_SHINGLE_STEEP = 6  # above 21/12, 2018 IRC R905.2.6: special fastening
STEEP_FASTENING_IN_12 = 21.0


@dataclass(frozen=True)
class DayConditions:
    """What the day is like where the crew works; None is unknown."""

    pitch_in_12: float
    storeys: int
    thunder_first: bool
    gust_max_mph: float | None
    gust_limit_mph: float
    temp_min_f: float | None
    heat_index_max_f: float | None
    frost: bool
    hazards: str = ""
    skylights: int = 0


def steps_for(phases: tuple[str, ...]) -> tuple[PhaseSteps, ...]:
    """Steps and checks of the phases that are worked on today, set-up first and clean-up last."""
    wanted = {SET_UP, CLEAN_UP, *phases}
    return tuple(PhaseSteps(str(phase), *STEPS[phase]) for phase in STEPS if phase in wanted)


def cautions_for(day: DayConditions) -> tuple[Caution, ...]:
    """Cautions for today's conditions, those that hold at any pitch first.

    Sources: the rules that each caution names; heat bands of the NWS heat index.
    """
    found = [Caution("tie_off", REFERENCE["tie_off"], limit=FALL_HEIGHT_FT, unit="ft")]
    if day.pitch_in_12 > STEEP_PITCH_IN_12:
        found.append(Caution("steep", REFERENCE["steep"], day.pitch_in_12, STEEP_PITCH_IN_12, "in 12"))
    found.append(Caution("surface", REFERENCE["surface"]))
    found.append(Caution("ladder", REFERENCE["ladder"], limit=LADDER_ABOVE_FT, unit="ft"))
    found.append(Caution("lines", REFERENCE["lines"], limit=LINE_CLEARANCE_FT, unit="ft"))
    if day.skylights:
        found.append(Caution("skylight", REFERENCE["hole"], float(day.skylights)))
    if day.storeys * STOREY_FT >= CHUTE_DROP_FT:
        found.append(Caution("chute", REFERENCE["debris"], limit=CHUTE_DROP_FT, unit="ft"))
    found.extend(_weather_cautions(day))
    if day.hazards:
        found.append(Caution("site", REFERENCE["competent"], text=day.hazards))
    found.append(Caution("competent", REFERENCE["competent"]))
    return tuple(found)


def _weather_cautions(day: DayConditions) -> list[Caution]:
    found = []
    if day.thunder_first:
        found.append(Caution("thunder_today", "", limit=THUNDER_BACK_MINUTES, unit="min"))
    else:
        found.append(Caution("thunder", "", limit=THUNDER_BACK_MINUTES, unit="min"))
    if day.gust_max_mph is None:
        found.append(Caution("gust_unknown", "", limit=day.gust_limit_mph, unit="mph"))
    else:
        code = "gust_over" if day.gust_max_mph >= day.gust_limit_mph else "gust"
        found.append(Caution(code, "", day.gust_max_mph, day.gust_limit_mph, "mph"))
    if day.heat_index_max_f is not None and day.heat_index_max_f >= HEAT_CAUTION_F:
        code = "heat_high" if day.heat_index_max_f >= HEAT_HIGH_F else "heat"
        found.append(Caution(code, "", day.heat_index_max_f, HEAT_CAUTION_F, "degF"))
    if day.frost or (day.temp_min_f is not None and day.temp_min_f <= FROST_F):
        found.append(Caution("frost", REFERENCE["ice"], day.temp_min_f, FROST_F, "degF"))
    return found


def field_nail_length_in(layers_under: int, over_new_deck: bool) -> float:
    """Length of the field nail [in]: 1-1/4 in on stripped deck, 1-1/2 in where something stays below.

    Must reach 3/4 in into the deck or through it: 2018 IRC R905.2.5. Lengths are common practice, no source.
    """
    return 1.25 if over_new_deck and layers_under == 0 else 1.5


def fasteners_for(phases: tuple[str, ...], squares: float, ridge_ft: float, pitch_in_12: float) -> tuple[Fastener, ...]:
    """Nails by phase: kind, length, count per piece and in all for today's squares [sq] and ridge [ft]."""
    found = []
    if Phase.DECK in phases:
        found.append(Fastener(Phase.DECK, "deck_nail", 2.5, None, "sheet", 6.0, "edges_6_field_12", None))
    if Phase.UNDERLAYMENT in phases:
        found.append(Fastener(Phase.UNDERLAYMENT, "cap_nail", 1.0, None, "roll", 12.0, "laps_closer", None))
        found.append(Fastener(Phase.UNDERLAYMENT, "drip_edge_nail", 1.25, None, "stick", 12.0, "", None))
    if Phase.FIELD in phases:
        per = NAILS_PER_SHINGLE_STEEP if pitch_in_12 > STEEP_FASTENING_IN_12 else NAILS_PER_SHINGLE
        nails = ceil(squares * SHINGLES_PER_SQUARE * per)
        length = field_nail_length_in(layers_under=0, over_new_deck=True)
        found.append(Fastener(Phase.FIELD, "roofing_nail", length, per, "shingle", None, "wrapper_rules", nails))
    if Phase.RIDGE in phases and ridge_ft > 0:
        sections = vent_sections(ridge_ft)
        caps = ceil(ridge_ft * 12 / CAP_EXPOSURE_IN - 1e-9)
        found.append(Fastener(Phase.RIDGE, "vent_nail", 3.0, VENT_NAILS, "vent", None, "label", sections * VENT_NAILS))
        found.append(Fastener(Phase.RIDGE, "cap_shingle_nail", 2.5, CAP_NAILS, "cap", None, "", caps * CAP_NAILS))
    return tuple(found)


def vent_sections(ridge_ft: float) -> int:
    """Number of 4 ft vent sections for a ridge [ft], an eighth of an inch left between them."""
    return ceil((ridge_ft * 12 + VENT_GAP_IN) / (VENT_SECTION_IN + VENT_GAP_IN) - 1e-9)
