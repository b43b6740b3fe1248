"""Roofs from polygons: the same as the simple forms, unchanged by turning, refused where they make no roof."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.roof_measure import EdgeKind
from jobs.roof_shape import Plane, RoofShape, ell, gable, hip, roof_from_planes, shed


def planes_of(shape: RoofShape) -> list[Plane]:
    return [Plane(s.name, s.pitch_in_12, s.downslope_deg, s.outline_ft) for s in shape.sections]


def moved(planes: list[Plane], turn_deg: float, dx: float, dy: float) -> list[Plane]:
    """Planes turned clockwise (as bearings grow) about the origin, then pushed."""
    a = math.radians(-turn_deg)
    return [
        replace(
            plane,
            downslope_deg=(plane.downslope_deg + turn_deg) % 360,
            outline_ft=tuple(
                (x * math.cos(a) - y * math.sin(a) + dx, x * math.sin(a) + y * math.cos(a) + dy)
                for x, y in plane.outline_ft
            ),
        )
        for plane in planes
    ]


def feet(shape: RoofShape) -> dict[EdgeKind, float]:
    return {kind: shape.length_ft(kind) for kind in EdgeKind}


@pytest.mark.parametrize(
    "shape", [gable(44, 27, 7), hip(38, 25, 9), ell(52, 30, 22, 14, 5)], ids=["gable", "hip", "ell"]
)
@given(turn=st.floats(0, 360), dx=st.floats(-500, 500), dy=st.floats(-500, 500))
def test_turning_and_moving_a_roof_changes_nothing(shape: RoofShape, turn: float, dx: float, dy: float) -> None:
    again = roof_from_planes(moved(planes_of(shape), turn, dx, dy))
    assert again.area_ft2 == pytest.approx(shape.area_ft2, rel=1e-9)
    assert feet(again) == pytest.approx(feet(shape), abs=1e-6)
    assert [e.kind for e in again.edges] == [e.kind for e in shape.edges]


@pytest.mark.parametrize("shape", [gable(44, 27, 7), hip(38, 25, 9), shed(20, 12, 4, against_wall=False)])
def test_polygons_give_what_the_simple_form_gives(shape: RoofShape) -> None:
    again = roof_from_planes(planes_of(shape))
    assert again.area_ft2 == pytest.approx(shape.area_ft2, abs=1e-6)
    assert feet(again) == pytest.approx(feet(shape), abs=1e-6)


def test_a_clockwise_outline_is_the_same_roof() -> None:
    shape = gable(40, 28, 6)
    backwards = [replace(plane, outline_ft=tuple(reversed(plane.outline_ft))) for plane in planes_of(shape)]
    assert feet(roof_from_planes(backwards)) == pytest.approx(feet(shape))


def test_a_plane_in_two_sections_has_no_edge_between_them() -> None:
    left = Plane("front slope, house side", 6, 180, ((0, 0), (20, 0), (20, 14), (0, 14)))
    right = Plane("front slope, garage side", 6, 180, ((20, 0), (40, 0), (40, 14), (20, 14)))
    kinds = [edge.kind for edge in roof_from_planes([left, right]).edges]
    assert EdgeKind.HIP not in kinds
    assert EdgeKind.VALLEY not in kinds
    assert kinds.count(EdgeKind.EAVE) == 2


def test_outlines_from_a_tape_meet_within_tolerance() -> None:
    front = Plane("front slope", 6, 180, ((0, 0), (40, 0), (40, 14.1), (0, 14.1)))
    back = Plane("back slope", 6, 0, ((0.1, 14.2), (40.1, 14.2), (40, 28), (0, 28)))
    assert roof_from_planes([front, back], tolerance_ft=0.25).length_ft(EdgeKind.RIDGE) == pytest.approx(39.9, abs=0.1)


def test_a_self_crossing_outline_is_refused_by_name() -> None:
    with pytest.raises(ValueError, match="outline of “front slope” crosses itself"):
        Plane("front slope", 6, 180, ((0, 0), (40, 14), (40, 0), (0, 14)))


def test_overlapping_planes_are_refused_with_how_much() -> None:
    front = Plane("front slope", 6, 180, ((0, 0), (40, 0), (40, 16), (0, 16)))
    back = Plane("back slope", 6, 0, ((0, 14), (40, 14), (40, 28), (0, 28)))
    with pytest.raises(ValueError, match="“front slope” and “back slope” overlap by 80 sq ft"):
        roof_from_planes([front, back])


def test_planes_that_climb_differently_along_their_line_are_refused() -> None:
    """A hip whose one plane falls the wrong way does not meet its neighbour."""
    planes = planes_of(hip(40, 28, 6))
    planes[2] = replace(planes[2], downslope_deg=(planes[2].downslope_deg + 180) % 360)
    with pytest.raises(ValueError, match="do not meet: along their common line"):
        roof_from_planes(planes)


@pytest.mark.parametrize(
    ("outline", "reason"),
    [
        (((0, 0), (10, 0)), "at least three corners"),
        (((0, 0), (10, 0), (20, 0)), "crosses itself|encloses no area"),
        (((0, 0), (0.5, 0), (0.5, 0.5)), "encloses no area"),
    ],
)
def test_an_outline_without_area_is_refused(outline: tuple[tuple[float, float], ...], reason: str) -> None:
    with pytest.raises(ValueError, match=reason):
        Plane("front slope", 6, 180, outline)


def test_no_plane_and_two_of_one_name_are_refused() -> None:
    with pytest.raises(ValueError, match="at least one section"):
        roof_from_planes([])
    plane = Plane("slope", 6, 180, ((0, 0), (40, 0), (40, 14), (0, 14)))
    with pytest.raises(ValueError, match="same name"):
        roof_from_planes([plane, replace(plane)])
