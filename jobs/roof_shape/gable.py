"""Gable and shed roofs from wall lengths, pitch and overhangs."""

from jobs.roof_measure import EdgeKind, check_length, check_not_negative
from jobs.roof_shape.compass import side_name
from jobs.roof_shape.planes import Plane, RoofShape, roof_from_planes, turned


def gable(
    length_ft: float,
    width_ft: float,
    pitch_in_12: float,
    *,
    eave_overhang_ft: float = 1.0,
    rake_overhang_ft: float = 1.0,
    front_deg: float = 180.0,
    gable_faces_front: bool = False,
    vented_ridge: bool = True,
) -> RoofShape:
    """Return a gable roof: two slopes that meet in one ridge along the length.

    Parameters
    ----------
    length_ft, width_ft
        Outside of the walls, along and across the ridge [ft].
    pitch_in_12
        Rise per 12 of run, 0 to 24.
    eave_overhang_ft, rake_overhang_ft
        Horizontal, beyond the walls [ft].
    front_deg
        Compass bearing that the front of the house faces [degrees].
    gable_faces_front
        The ridge runs from front to back, so that the slopes lie at the sides of the house.

    Raises ValueError for a pitch or length out of range. Source: area = (L + 2 g)(W + 2 e) x pitch factor, handbook
    geometry.
    """
    half_x, half_y = _half_extents(length_ft, width_ft, eave_overhang_ft, rake_overhang_ft)
    turn_deg = front_deg + 90 if gable_faces_front else front_deg
    names = ("front slope", "back slope")
    if gable_faces_front:
        names = (f"{side_name(turn_deg)} slope", f"{side_name(turn_deg + 180)} slope")
    planes = (
        Plane(names[0], pitch_in_12, 180, ((-half_x, -half_y), (half_x, -half_y), (half_x, 0), (-half_x, 0))),
        Plane(names[1], pitch_in_12, 0, ((-half_x, 0), (half_x, 0), (half_x, half_y), (-half_x, half_y))),
    )
    return roof_from_planes(turned(planes, turn_deg), vented_ridges=vented_ridge)


def shed(
    length_ft: float,
    run_ft: float,
    pitch_in_12: float,
    *,
    eave_overhang_ft: float = 1.0,
    rake_overhang_ft: float = 1.0,
    front_deg: float = 180.0,
    against_wall: bool = True,
) -> RoofShape:
    """Return a shed roof: one slope that falls to the front.

    Parameters
    ----------
    length_ft, run_ft
        Along the eave, and horizontally from the low wall to the top [ft].
    eave_overhang_ft, rake_overhang_ft
        Horizontal, beyond the walls [ft]; a free top edge overhangs like the eave.
    against_wall
        The top edge ends at a wall; otherwise it is free and gets drip edge like a rake.

    Raises ValueError for a pitch or length out of range.
    """
    half_x, _ = _half_extents(length_ft, run_ft, eave_overhang_ft, rake_overhang_ft)
    top = run_ft if against_wall else run_ft + eave_overhang_ft
    outline = ((-half_x, -eave_overhang_ft), (half_x, -eave_overhang_ft), (half_x, top), (-half_x, top))
    plane = Plane("front slope", pitch_in_12, 180, outline, high_edge=EdgeKind.WALL if against_wall else EdgeKind.RAKE)
    return roof_from_planes(turned((plane,), front_deg))


def _half_extents(
    length_ft: float, width_ft: float, eave_overhang_ft: float, rake_overhang_ft: float
) -> tuple[float, float]:
    check_length("house length", length_ft)
    check_length("house width", width_ft)
    check_not_negative("eave overhang", eave_overhang_ft)
    check_not_negative("rake overhang", rake_overhang_ft)
    return length_ft / 2 + rake_overhang_ft, width_ft / 2 + eave_overhang_ft
