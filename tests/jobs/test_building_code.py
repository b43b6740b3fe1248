"""What the residential code asks, by article of the International Residential Code."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.building_code import CAUTION, Weight, findings, ice_barrier, underlayment_layers
from jobs.roof_shape import gable
from tests.factories.roofs import example_gable, measured

# 2018 IRC R905.1.2: from the lowest edge to 24 in inside the exterior wall line. Overhang and wall horizontal [in],
# pitch, horizontal need, along the slope, courses of 36 in with 4 in laps and what they cover, literal need (no wall).
ICE_ROWS = [
    (12, 6.5, 4, 42.5, 44.80, 2, 68, 37.95),
    (12, 6.5, 6, 42.5, 47.52, 2, 68, 40.25),
    (24, 6.5, 6, 54.5, 60.93, 2, 68, 53.67),
    (12, 4.5, 8, 40.5, 48.67, 2, 68, 43.27),
    (24, 6.5, 8, 54.5, 65.50, 2, 68, 57.69),
    (24, 6.5, 12, 54.5, 77.07, 3, 100, 67.88),
    (0, 6.5, 4, 30.5, 32.15, 1, 36, 25.30),
]


@pytest.mark.parametrize(("overhang", "wall", "pitch", "need", "slope", "courses", "covers", "literal"), ICE_ROWS)
def test_ice_barrier_of_an_eave(
    overhang: float, wall: float, pitch: float, need: float, slope: float, courses: int, covers: float, literal: float
) -> None:
    barrier = ice_barrier(overhang, wall, pitch, "2018")
    assert barrier.need_horizontal_in == pytest.approx(need)
    assert barrier.slope_in == pytest.approx(slope, abs=0.005)
    assert (barrier.courses, barrier.covers_in) == (courses, covers)
    assert ice_barrier(overhang, 0, pitch, "2018").slope_in == pytest.approx(literal, abs=0.005)


def test_at_8_in_12_the_larger_of_both_tests_counts_until_the_2024_edition() -> None:
    """24 in at 8/12 are 28.84 in along the slope; the 36 in rule of the 2015 to 2021 editions is the larger test."""
    assert ice_barrier(0, 0, 8, "2018").slope_in == 36
    assert ice_barrier(0, 0, 8, "2024").slope_in == pytest.approx(28.84, abs=0.005)
    assert ice_barrier(0, 0, 7.99, "2018").slope_in < 36
    # Never both added up.
    assert ice_barrier(24, 6.5, 8, "2018").slope_in == ice_barrier(24, 6.5, 8, "2024").slope_in


@given(st.floats(0, 60), st.floats(0, 36), st.floats(0, 24))
def test_the_courses_cover_the_need_and_one_less_would_not(overhang: float, wall: float, pitch: float) -> None:
    barrier = ice_barrier(overhang, wall, pitch, "2018")
    assert barrier.covers_in >= barrier.slope_in - 1e-6
    if barrier.courses > 1:
        assert barrier.covers_in - 32 < barrier.slope_in


@pytest.mark.parametrize(("pitch", "layers"), [(2, 2), (3.99, 2), (4, 1), (12, 1)])
def test_underlayment_is_double_below_4_in_12(pitch: float, layers: int) -> None:
    """2018 IRC R905.1.1."""
    assert underlayment_layers(pitch) == layers


def test_a_slope_below_2_in_12_stops_shingles() -> None:
    """2018 IRC R905.2.2."""
    found = findings(measured(gable(40, 28, 1.5)))
    assert found[0].weight is Weight.STOP
    assert found[0].article == "2018 IRC R905.2.2"
    assert "asphalt shingles need 2:12" in found[0].text


def test_every_finding_names_its_article_and_defers_to_the_adopted_code() -> None:
    found = findings(measured(gable(40, 28, 3), layers=2))
    assert {f.article for f in found} >= {
        "2018 IRC R905.1.1",
        "2018 IRC R905.1.2",
        "2018 IRC R905.2.8.5",
        "2018 IRC R908.3",
    }
    assert all(f.caution == CAUTION and "local amendments" in f.caution for f in found)


def test_no_ice_barrier_finding_where_the_office_said_it_is_not_needed() -> None:
    assert not any("Ice barrier" in f.text for f in findings(example_gable(ice_barrier_required=False)))


def test_an_unknown_edition_is_refused() -> None:
    with pytest.raises(ValueError, match="“1999” is not a known code edition"):
        ice_barrier(12, 6.5, 6, "1999")
