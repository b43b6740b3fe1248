"""Simple roof shapes against handbook formulas and against plane geometry by shapely."""

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely.geometry import Polygon, box
from shapely.ops import unary_union

from jobs.roof_measure import EdgeKind
from jobs.roof_shape import RoofShape, ell, gable, hip, hip_factor, pitch_factor, shed, tee
from jobs.roof_shape.hip import PYRAMID_FT

pitches = st.floats(1, 24)
lengths = st.floats(12, 120)
overhangs = st.floats(0, 4)
bearings = st.floats(0, 359)


def names(shape: RoofShape) -> list[str]:
    return [section.name for section in shape.sections]


def test_the_gable_of_the_handbook() -> None:
    """40 x 28 ft, overhangs 1 ft, 6/12: (L + 2 g)(W + 2 e) x factor; rafter (W/2 + e) x factor."""
    shape = gable(40, 28, 6)
    assert shape.plan_ft2 == pytest.approx(1260)
    assert shape.area_ft2 == pytest.approx(1408.72, abs=0.005)
    assert shape.squares == pytest.approx(14.087, abs=0.0005)
    assert shape.length_ft(EdgeKind.EAVE) == pytest.approx(84)
    assert shape.length_ft(EdgeKind.RAKE) == pytest.approx(67.08, abs=0.005)
    assert shape.lengths_ft(EdgeKind.RAKE) == pytest.approx([16.7705] * 4, abs=5e-5)
    assert shape.lengths_ft(EdgeKind.RIDGE) == pytest.approx([42])
    assert names(shape) == ["front slope", "back slope"]


def test_a_steeper_gable_of_the_handbook() -> None:
    shape = gable(48, 26, 8, eave_overhang_ft=1.5, rake_overhang_ft=1)
    assert shape.plan_ft2 == pytest.approx(1450)
    assert shape.area_ft2 == pytest.approx(1742.68, abs=0.005)
    assert shape.sections[0].run_ft == pytest.approx(17.4268, abs=5e-5)


def test_the_hip_of_the_handbook() -> None:
    """Same area as the gable of equal plan; ridge L - W; hips (W/2 + e) x hip factor."""
    shape = hip(40, 28, 6)
    assert shape.area_ft2 == pytest.approx(1408.72, abs=0.005)
    assert shape.lengths_ft(EdgeKind.RIDGE) == pytest.approx([12])
    assert shape.lengths_ft(EdgeKind.HIP) == pytest.approx([22.5] * 4)
    assert shape.length_ft(EdgeKind.EAVE) == pytest.approx(144)
    by_name = {section.name: section.area_ft2 for section in shape.sections}
    assert by_name["front slope"] == by_name["back slope"] == pytest.approx(452.804, abs=0.0005)
    assert by_name["west end"] == by_name["east end"] == pytest.approx(251.558, abs=0.0005)


def test_the_pyramid_of_the_handbook_has_no_ridge() -> None:
    shape = hip(30, 30, 5, eave_overhang_ft=1.5)
    assert shape.area_ft2 == pytest.approx(1179.75)
    assert shape.lengths_ft(EdgeKind.RIDGE) == ()
    assert shape.lengths_ft(EdgeKind.HIP) == pytest.approx([24.3262] * 4, abs=5e-5)
    assert shape.length_ft(EdgeKind.HIP) == pytest.approx(97.305, abs=0.0005)


@pytest.mark.parametrize("offset", [1, 5, 19])
def test_the_ell_of_the_handbook(offset: float) -> None:
    """40 x 28 with a wing of 20 x 16: union of the plans 1612 sq ft; valleys 11 ft of run x 1.5."""
    shape = ell(40, 28, 20, 16, 6, wing_offset_ft=offset, wing_name="garage")
    assert shape.plan_ft2 == pytest.approx(1612)
    assert shape.area_ft2 == pytest.approx(1802.27, abs=0.005)
    assert shape.lengths_ft(EdgeKind.VALLEY) == pytest.approx([16.5, 16.5])
    assert names(shape) == ["front slope", "back slope", "garage, west", "garage, east"]


def test_a_wing_as_deep_as_the_house_parts_the_front_slope() -> None:
    shape = tee(40, 28, 28, 16, 6)
    assert names(shape)[:2] == ["front slope, west", "front slope, east"]
    assert shape.lengths_ft(EdgeKind.VALLEY) == pytest.approx([22.5, 22.5])
    assert shape.length_ft(EdgeKind.RIDGE) == pytest.approx(42 + 31)


def test_a_shed_against_a_wall_has_no_ridge() -> None:
    shape = shed(20, 12, 4)
    assert shape.area_ft2 == pytest.approx(22 * 13 * pitch_factor(4))
    assert shape.lengths_ft(EdgeKind.WALL) == pytest.approx([22])
    assert shape.lengths_ft(EdgeKind.EAVE) == pytest.approx([22])
    assert shape.length_ft(EdgeKind.RIDGE) == 0
    free = shed(20, 12, 4, against_wall=False)
    assert free.length_ft(EdgeKind.WALL) == 0
    assert free.length_ft(EdgeKind.RAKE) == pytest.approx(22 + 2 * 14 * pitch_factor(4))


def test_slopes_fall_to_the_side_they_are_named_by() -> None:
    assert [s.downslope_deg for s in gable(40, 28, 6, front_deg=270).sections] == [270, 90]
    sideways = gable(40, 28, 6, front_deg=180, gable_faces_front=True)
    assert {s.name: s.downslope_deg for s in sideways.sections} == {"west slope": 270, "east slope": 90}
    ends = {s.name: s.downslope_deg for s in hip(40, 28, 6, front_deg=0).sections}
    assert ends["east end"] == 90
    assert ends["west end"] == 270


def test_only_ridges_are_vented() -> None:
    assert {e.kind for e in ell(40, 28, 20, 16, 6).edges if e.vented} == {EdgeKind.RIDGE}
    assert not any(e.vented for e in hip(40, 28, 6, vented_ridge=False).edges)


@given(lengths, lengths, pitches, overhangs, overhangs, bearings)
def test_area_is_plan_times_factor_however_the_gable_is_turned(
    length: float, width: float, pitch: float, eave: float, rake: float, front: float
) -> None:
    shape = gable(length, width, pitch, eave_overhang_ft=eave, rake_overhang_ft=rake, front_deg=front)
    assert shape.area_ft2 == pytest.approx((length + 2 * rake) * (width + 2 * eave) * pitch_factor(pitch), rel=1e-9)
    assert shape.length_ft(EdgeKind.EAVE) == pytest.approx(2 * (length + 2 * rake), rel=1e-6)
    assert shape.length_ft(EdgeKind.RIDGE) == pytest.approx(length + 2 * rake, rel=1e-6)
    assert len(shape.lengths_ft(EdgeKind.RAKE)) == 4


@given(lengths, lengths, pitches, overhangs, bearings)
def test_a_hip_has_the_area_of_its_gable_and_hips_by_the_formula(
    length: float, width: float, pitch: float, eave: float, front: float
) -> None:
    assume(abs(length - width) > 1)
    shape = hip(length, width, pitch, eave_overhang_ft=eave, front_deg=front)
    half = min(length, width) / 2 + eave
    assert shape.area_ft2 == pytest.approx((length + 2 * eave) * (width + 2 * eave) * pitch_factor(pitch), rel=1e-9)
    assert shape.lengths_ft(EdgeKind.HIP) == pytest.approx([half * hip_factor(pitch)] * 4, rel=1e-6)
    assert shape.length_ft(EdgeKind.RIDGE) == pytest.approx(abs(length - width), rel=1e-6)


@given(st.floats(30, 80), st.floats(24, 40), st.floats(10, 22), st.floats(4, 30), pitches, st.floats(0, 8), bearings)
def test_an_ell_covers_the_union_of_its_plans(
    length: float, width: float, wing: float, projection: float, pitch: float, offset: float, front: float
) -> None:
    shape = ell(length, width, wing, projection, pitch, wing_offset_ft=offset, front_deg=front)
    # shapely's union of the two rectangles, wing to the left end, house centred.
    house = box(-length / 2 - 1, -width / 2 - 1, length / 2 + 1, width / 2 + 1)
    left = -length / 2 + offset - 1
    arm = box(left, -width / 2 - projection - 1, left + wing + 2, 0)
    plan = unary_union([house, arm]).area
    assert shape.plan_ft2 == pytest.approx(plan, rel=1e-9)
    assert shape.area_ft2 == pytest.approx(plan * pitch_factor(pitch), rel=1e-9)
    drawn = unary_union([Polygon(section.outline_ft) for section in shape.sections])
    assert drawn.area == pytest.approx(plan, rel=1e-9)
    assert shape.lengths_ft(EdgeKind.VALLEY) == pytest.approx([(wing / 2 + 1) * hip_factor(pitch)] * 2, rel=1e-6)


@given(lengths, lengths, pitches, overhangs)
def test_every_plane_meets_its_neighbours_at_one_height(length: float, width: float, pitch: float, eave: float) -> None:
    """Heights from both planes at the ends of each shared line agree: z = rise x distance from the eave.

    A house that is square to a tenth of a foot is drawn as a pyramid, so its peak may be off by half that ridge's rise.
    """
    shape = hip(length, width, pitch, eave_overhang_ft=eave)
    slack = PYRAMID_FT / 2 * pitch / 12 if abs(length - width) < PYRAMID_FT else 0.0
    for edge in shape.edges:
        if edge.other_section is None:
            continue
        rises = []
        for index in (edge.section, edge.other_section):
            section = shape.sections[index]
            bearing = math.radians(section.downslope_deg)
            low = max(x * math.sin(bearing) + y * math.cos(bearing) for x, y in section.outline_ft)
            rises.append(
                [(low - (x * math.sin(bearing) + y * math.cos(bearing))) * pitch / 12 for x, y in edge.line_ft]
            )
        assert rises[0] == pytest.approx(rises[1], abs=slack + 1e-6)


@pytest.mark.parametrize("length", [0, -28, math.nan])
def test_a_length_that_is_none_is_refused(length: float) -> None:
    with pytest.raises(ValueError, match="The house width must be longer than 0 ft"):
        gable(40, length, 6)
    with pytest.raises(ValueError, match="must be longer than 0 ft"):
        shed(20, length, 4)


def test_a_negative_overhang_is_refused() -> None:
    with pytest.raises(ValueError, match="The eave overhang must not be negative"):
        hip(40, 28, 6, eave_overhang_ft=-1)


@pytest.mark.parametrize("build", [gable, hip, shed])
def test_a_pitch_of_40_in_12_is_refused(build: object) -> None:
    with pytest.raises(ValueError, match="A pitch of 40/12 is not a roof"):
        build(40, 28, 40)  # type: ignore[operator]


def test_a_wing_that_is_no_wing_is_refused() -> None:
    with pytest.raises(ValueError, match="take the wing as the main house"):
        ell(40, 28, 30, 16, 6)
    with pytest.raises(ValueError, match="reaches beyond the end"):
        ell(40, 28, 20, 16, 6, wing_offset_ft=25)
    with pytest.raises(ValueError, match="needs a pitch above"):
        ell(40, 28, 20, 16, 0)
    with pytest.raises(ValueError, match="does not stand out"):
        ell(40, 28, 20, 0.5, 6, wing_offset_ft=5, eave_overhang_ft=2, rake_overhang_ft=1)
