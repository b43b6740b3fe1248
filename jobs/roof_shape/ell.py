"""L- and T-shaped roofs: a gable house with one gable wing of the same pitch in front."""

from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.polygon import orient

from jobs.roof_measure import Point, check_length, check_not_negative
from jobs.roof_shape.compass import side_name
from jobs.roof_shape.planes import Plane, RoofShape, roof_from_planes, turned

SAME_FT = 1e-6


def ell(
    length_ft: float,
    width_ft: float,
    wing_width_ft: float,
    wing_projection_ft: float,
    pitch_in_12: float,
    *,
    wing_offset_ft: float = 0.0,
    wing_name: str = "wing",
    eave_overhang_ft: float = 1.0,
    rake_overhang_ft: float = 1.0,
    front_deg: float = 180.0,
    vented_ridges: bool = True,
) -> RoofShape:
    """Return a gable roof with a gable wing that projects from its front; both eaves lie at one height.

    Parameters
    ----------
    length_ft, width_ft
        The main house outside of its walls, along and across its ridge [ft].
    wing_width_ft, wing_projection_ft
        The wing's width along the front and how far its end wall stands before the front wall [ft].
    wing_offset_ft
        From the left end wall (seen from the front) to the wing's wall [ft]; 0 = flush, the L.
    wing_name
        What the wing is called: "garage" gives "garage, east" and "garage, west".

    Raises ValueError for lengths or pitch out of range, a wing wider than the house is deep (then the wing is the main
    house), or a wing that reaches beyond the ends of the house.
    Source: plan union x pitch factor; valley length = (wing width / 2 + overhang) x hip factor, handbook geometry.
    """
    for name, value in (
        ("house length", length_ft),
        ("house width", width_ft),
        ("width of the wing", wing_width_ft),
        ("projection of the wing", wing_projection_ft),
    ):
        check_length(name, value)
    check_not_negative("offset of the wing", wing_offset_ft)
    check_not_negative("eave overhang", eave_overhang_ft)
    check_not_negative("rake overhang", rake_overhang_ft)
    if pitch_in_12 == 0:
        raise ValueError("An L or T roof needs a pitch above 0/12.")
    half_x, half_y = length_ft / 2 + rake_overhang_ft, width_ft / 2 + eave_overhang_ft
    # Seen from the front (from the south) the left end is the west end.
    left = -length_ft / 2 + wing_offset_ft - eave_overhang_ft
    right = left + wing_width_ft + 2 * eave_overhang_ft
    half_wing = (right - left) / 2
    if half_wing > half_y + SAME_FT:
        raise ValueError("The wing is wider than the house is deep: take the wing as the main house instead.")
    if left < -half_x - SAME_FT or right > half_x + SAME_FT:
        raise ValueError("The wing reaches beyond the end of the house; move it in or use a larger rake overhang.")
    end_y = -width_ft / 2 - wing_projection_ft - rake_overhang_ft
    if end_y > -half_y - SAME_FT:
        raise ValueError("The wing does not stand out beyond the eave of the house.")
    ridge_end: Point = ((left + right) / 2, -half_y + half_wing)
    notch: tuple[Point, ...] = ((left, -half_y), (right, -half_y), ridge_end)
    planes = (
        *_front_slopes(half_x, half_y, notch, pitch_in_12, front_deg),
        Plane("back slope", pitch_in_12, 0, ((-half_x, 0), (half_x, 0), (half_x, half_y), (-half_x, half_y))),
        *_wing_slopes(notch, end_y, pitch_in_12, wing_name, front_deg),
    )
    return roof_from_planes(turned(planes, front_deg), vented_ridges=vented_ridges)


def tee(
    length_ft: float,
    width_ft: float,
    wing_width_ft: float,
    wing_projection_ft: float,
    pitch_in_12: float,
    *,
    wing_name: str = "wing",
    eave_overhang_ft: float = 1.0,
    rake_overhang_ft: float = 1.0,
    front_deg: float = 180.0,
    vented_ridges: bool = True,
) -> RoofShape:
    """Return a gable roof with a wing in the middle of its front; parameters as for `ell`."""
    return ell(
        length_ft,
        width_ft,
        wing_width_ft,
        wing_projection_ft,
        pitch_in_12,
        wing_offset_ft=max(0.0, (length_ft - wing_width_ft) / 2),
        wing_name=wing_name,
        eave_overhang_ft=eave_overhang_ft,
        rake_overhang_ft=rake_overhang_ft,
        front_deg=front_deg,
        vented_ridges=vented_ridges,
    )


def _front_slopes(
    half_x: float, half_y: float, notch: tuple[Point, ...], pitch_in_12: float, front_deg: float
) -> tuple[Plane, ...]:
    """The front slope without what lies under the wing; two planes where the wing's ridge meets the main ridge."""
    whole = Polygon([(-half_x, -half_y), (half_x, -half_y), (half_x, 0), (-half_x, 0)])
    rest = whole.difference(Polygon(notch))
    parts = list(rest.geoms) if isinstance(rest, MultiPolygon) else [rest]
    parts = sorted((orient(part) for part in parts if part.area > 1), key=lambda part: part.centroid.x)
    if len(parts) == 1:
        names: tuple[str, ...] = ("front slope",)
    else:
        names = (f"front slope, {side_name(front_deg + 90)}", f"front slope, {side_name(front_deg - 90)}")
    return tuple(
        Plane(name, pitch_in_12, 180, tuple((float(x), float(y)) for x, y in part.exterior.coords[:-1]))
        for name, part in zip(names, parts, strict=True)
    )


def _wing_slopes(
    notch: tuple[Point, ...], end_y: float, pitch_in_12: float, wing_name: str, front_deg: float
) -> tuple[Plane, Plane]:
    (left, eave_y), (right, _), (ridge_x, ridge_y) = notch
    return (
        Plane(
            f"{wing_name}, {side_name(front_deg + 90)}",
            pitch_in_12,
            270,
            ((left, end_y), (ridge_x, end_y), (ridge_x, ridge_y), (left, eave_y)),
        ),
        Plane(
            f"{wing_name}, {side_name(front_deg - 90)}",
            pitch_in_12,
            90,
            ((ridge_x, end_y), (right, end_y), (right, eave_y), (ridge_x, ridge_y)),
        ),
    )
