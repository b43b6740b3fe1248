"""The stop line inside a slope as a place that a crew can find with a tape."""

from dataclasses import replace

import pytest

from crews.queries.lines import place_words
from crews.verdict.stop_line import plain_words, stop_place
from jobs.roof_drawing.reach import reach
from jobs.roof_shape import gable
from tests.factories.roofs import measured


def test_half_a_rectangular_slope_ends_halfway_along_its_eave() -> None:
    roof = measured(gable(40, 28, 6))
    front = roof.sections[0]
    place = stop_place(roof, front.section_id, front.squares / 2)
    assert (place.edge, place.along) == ("", "eave")
    assert place.feet == pytest.approx(front.eave_ft / 2, abs=0.5)
    assert place.squares_in == pytest.approx(front.squares / 2)


def test_the_end_is_the_left_one_for_who_looks_up_the_slope() -> None:
    front = measured(gable(40, 28, 6)).sections[0]
    assert front.downslope_deg is not None
    found = {
        name: reach(replace(front, downslope_deg=bearing), front.squares / 2)
        for name, bearing in (("south", 180.0), ("north", 0.0))
    }
    assert found["south"] is not None
    assert found["north"] is not None
    # Who faces a slope that falls south looks north and has the west on the left.
    assert (found["south"].end, found["north"].end) == ("west", "east")


def test_feet_are_rounded_towards_what_is_already_open() -> None:
    roof = measured(gable(40, 28, 6))
    front = roof.sections[0]
    place = stop_place(roof, front.section_id, front.squares * 0.37)
    assert place.feet <= front.eave_ft * 0.37 < place.feet + 0.5


def test_a_hip_end_is_measured_along_its_eave_by_the_area_of_the_swath() -> None:
    # An end slope of 20 ft eave and 10 ft run in plan: the area left of x (x < 10) is x^2 / 2, of 100 sq ft in all.
    end = replace(
        measured(gable(40, 28, 6)).sections[0],
        squares=1.0,
        old_squares=1.0,
        outline_ft=((0.0, 0.0), (20.0, 0.0), (10.0, 10.0)),
        downslope_deg=180.0,
    )
    found = reach(end, 0.32)
    assert found is not None
    assert found.along == "eave"
    assert found.feet == pytest.approx(8.0, abs=0.01)  # 8^2 / 2 = 32


def test_a_slope_that_a_valley_cuts_short_at_the_eave_is_measured_along_its_top() -> None:
    # The top runs 0 to 20, the eave only 10 to 20: a valley climbs away from the eave's first corner.
    slope = replace(
        measured(gable(40, 28, 6)).sections[0],
        squares=1.5,
        old_squares=1.5,
        outline_ft=((10.0, 0.0), (20.0, 0.0), (20.0, 10.0), (0.0, 10.0)),
        downslope_deg=180.0,
    )
    found = reach(slope, 1.0)
    assert found is not None
    assert (found.along, found.end) == ("top", "west")
    assert found.feet == pytest.approx(15.0, abs=0.01)  # 10 x 10 / 2 behind the valley, then 10 sq ft each foot


def test_a_slope_that_nobody_drew_keeps_its_squares() -> None:
    roof = measured(gable(40, 28, 6))
    bare = replace(roof, sections=tuple(replace(section, outline_ft=()) for section in roof.sections))
    front = bare.sections[0]
    place = stop_place(bare, front.section_id, 2.0)
    assert place.feet == 0
    assert plain_words(place) == f"2.0 of {front.squares:.1f} squares of the {front.name}"


def test_the_words_give_feet_and_the_end_to_measure_from() -> None:
    roof = measured(gable(40, 28, 6))
    front = roof.sections[0]
    place = stop_place(roof, front.section_id, front.squares / 2)
    assert plain_words(place) == f"{place.feet:g} ft from the {place.end} end of the {front.name}"
    assert place_words(place).replace("\N{NO-BREAK SPACE}", " ") == plain_words(place)
