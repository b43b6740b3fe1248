"""Hip roofs from wall lengths, pitch and overhang."""

from jobs.roof_measure import Point, check_length, check_not_negative
from jobs.roof_shape.compass import side_name
from jobs.roof_shape.planes import Plane, RoofShape, roof_from_planes, turned

PYRAMID_FT = 0.1  # a ridge shorter than this is a point


def hip(
    length_ft: float,
    width_ft: float,
    pitch_in_12: float,
    *,
    eave_overhang_ft: float = 1.0,
    front_deg: float = 180.0,
    vented_ridge: bool = True,
) -> RoofShape:
    """Return a regular hip roof: four slopes of one pitch, hips over the corners at 45 degrees in plan.

    length_ft lies along the front, width_ft from front to back, both outside of the walls [ft]; a square house gives a
    pyramid without ridge, a house deeper than long a ridge from front to back.

    Raises ValueError for a pitch or length out of range, or a flat pitch, which has no hips.
    Source: same area as the gable of equal plan and pitch; hip length = (W/2 + e) x hip factor, handbook geometry.
    """
    check_length("house length", length_ft)
    check_length("house width", width_ft)
    check_not_negative("eave overhang", eave_overhang_ft)
    if pitch_in_12 == 0:
        raise ValueError("A hip roof needs a pitch above 0/12.")
    x, y = length_ft / 2 + eave_overhang_ft, width_ft / 2 + eave_overhang_ft
    inset = min(x, y)
    a: Point = (-(x - inset), -(y - inset))
    b: Point = (x - inset, y - inset)
    if max(x, y) - inset < PYRAMID_FT / 2:
        a = b = (0.0, 0.0)
    west, east = side_name(front_deg + 90), side_name(front_deg - 90)
    # The ridge runs from a to b: along x where the house is longer than deep, along y otherwise.
    along_x = x >= y
    south_top, north_top = ((b, a), (a, b)) if along_x else ((a,), (b,))
    east_top, west_top = ((b,), (a,)) if along_x else ((b, a), (a, b))
    if a == b:
        south_top = north_top = east_top = west_top = (a,)
    planes = (
        Plane("front slope", pitch_in_12, 180, ((-x, -y), (x, -y), *south_top)),
        Plane("back slope", pitch_in_12, 0, ((x, y), (-x, y), *north_top)),
        Plane(f"{west} end", pitch_in_12, 270, ((-x, y), (-x, -y), *west_top)),
        Plane(f"{east} end", pitch_in_12, 90, ((x, -y), (x, y), *east_top)),
    )
    return roof_from_planes(turned(planes, front_deg), vented_ridges=vented_ridge)
