"""What a roof still needs by the table, and a crew's rate on a full dry day, on the worked gable."""

from dataclasses import replace
from datetime import timedelta

import pytest

from crews.planner.table_labor import squares_on_a_dry_day, table_labor_hours
from tests.factories.skies import HANDBOOK_HOURS, at, make_day, make_ridge, make_roof, make_section

GABLE_SQUARES = 14.087  # 40 x 28 ft at 6/12 with overhangs
GABLE_LABOR_HOURS = 52.70  # tear-off to ridge, by building construction cost data, CSI 07 31 13.10 and 07 05 05.10
BOOK = GABLE_LABOR_HOURS / GABLE_SQUARES


def test_five_people_in_eight_hours_re_roof_about_nine_squares() -> None:
    """Building construction cost data, CSI 07 31 13.10: 3.741 labor-hours a square, tear-off to ridge.

    Half an hour of set-up and three quarters of clean-up are common practice, no source.
    """
    day = make_day(begin=8, end=16, people=5)
    assert pytest.approx(3.741, abs=0.001) == BOOK
    assert squares_on_a_dry_day(day, BOOK, 30.0, 45.0) == pytest.approx(5 * 6.75 / 3.741, abs=0.01)
    assert squares_on_a_dry_day(day, BOOK, 30.0, 45.0) == pytest.approx(9.02, abs=0.01)
    assert squares_on_a_dry_day(day, BOOK, 0.0, 0.0) == pytest.approx(10.69, abs=0.01)


def test_breaks_speed_and_people_count_and_weather_does_not() -> None:
    day = make_day(begin=8, end=16, people=5)
    full = squares_on_a_dry_day(day, BOOK, 30.0, 45.0)
    noon = (at(12), at(12) + timedelta(minutes=30))
    assert squares_on_a_dry_day(replace(day, breaks=(noon,)), BOOK, 30.0, 45.0) == pytest.approx(full * 6.25 / 6.75)
    assert squares_on_a_dry_day(replace(day, speed=1.1), BOOK, 30.0, 45.0) == pytest.approx(full * 1.1)
    assert squares_on_a_dry_day(replace(day, people=4), BOOK, 30.0, 45.0) == pytest.approx(full * 0.8)
    assert squares_on_a_dry_day(replace(day, usable=0.5), BOOK, 30.0, 45.0) == full
    assert squares_on_a_dry_day(day, BOOK, 400.0, 200.0) == 0.0


@pytest.mark.parametrize(("per_square", "set_up"), [(0.0, 30.0), (float("nan"), 30.0), (BOOK, -1.0)])
def test_a_rate_without_hours_is_refused(per_square: float, set_up: float) -> None:
    with pytest.raises(ValueError, match=r"above zero|less than no time"):
        squares_on_a_dry_day(make_day(), per_square, set_up, 45.0)


def test_table_labor_counts_only_what_is_still_to_be_done() -> None:
    ridge = make_ridge(finished_ft=20.0)
    part = make_section(
        1,
        old=2.0,
        bare_squares=1.0,
        dried_in_squares=3.0,
        shingled_squares=1.0,
        detail_closing_labor_hours=0.5,
        detail_field_labor_hours=0.25,
    )
    whole = sum(HANDBOOK_HOURS.values())
    field = HANDBOOK_HOURS[max(HANDBOOK_HOURS, key=lambda phase: HANDBOOK_HOURS[phase])]
    closing = 0.27 + 0.123 + 0.297
    assert field == 1.422
    by_hand = 2.0 * whole + 1.0 * (closing + field) + 3.0 * field + 0.75 + 22.0 * 0.089
    assert table_labor_hours(make_roof(part, ridges=(ridge,))) == pytest.approx(by_hand)
