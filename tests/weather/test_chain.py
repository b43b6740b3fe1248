"""Which forecast is believed, and for how long."""

from datetime import datetime, timedelta

import pytest

from tests.weather.tables import START, mild
from weather.chain import Chosen, Held, Why, choose
from weather.limits import Limits

NOW = START + timedelta(hours=12)


def held(issued_h_ago: float, checked_h_ago: float, source: str = "nws", n_hours: int = 120) -> Held:
    ago = [NOW - timedelta(hours=hours) for hours in (issued_h_ago, checked_h_ago)]
    return Held(mild(n_hours=n_hours), source, ago[0], ago[1], forecast_id=7)


def chosen(*forecasts: Held, now: datetime = NOW, limits: Limits | None = None) -> Chosen:
    return choose(forecasts, now, limits)


def test_a_fresh_forecast_is_used_with_its_ages() -> None:
    sky = chosen(held(2, 0.5))
    assert (sky.usable_today, sky.usable_beyond, sky.why) == (True, True, Why.USED)
    assert (sky.age_hours, sky.checked_hours, sky.forecast_id) == (2, 0.5, 7)


@pytest.mark.parametrize(
    ("issued", "checked", "today", "beyond", "why"),
    [
        (17.9, 5.9, True, True, Why.USED),
        (8, 6.1, False, True, Why.CHECK_TOO_OLD),
        (13, 12.1, False, False, Why.CHECK_TOO_OLD),
        (18.1, 0, False, False, Why.ISSUE_TOO_OLD),
    ],
)
def test_a_forecast_stops_being_believed_after_six_twelve_and_eighteen_hours(
    issued: float, checked: float, today: bool, beyond: bool, why: Why
) -> None:
    """Last good check over 6 h for today or 12 h beyond, or issued over 18 h ago: the documented defaults."""
    sky = chosen(held(issued, checked))
    assert (sky.usable_today, sky.usable_beyond, sky.why) == (today, beyond, why)
    assert sky.hourly is not None  # it may be shown with its age


def test_the_company_may_believe_it_for_a_shorter_time() -> None:
    assert not chosen(held(3, 3), limits=Limits(forecast_checked_today_h=2)).usable_today


def test_the_first_source_wins_while_it_is_fresh_then_the_second() -> None:
    assert chosen(held(2, 1, "nws"), held(1, 0, "openmeteo")).source == "nws"
    assert chosen(held(20, 7, "nws"), held(1, 0, "openmeteo")).source == "openmeteo"


def test_where_none_is_fresh_the_one_checked_last_is_shown() -> None:
    sky = chosen(held(30, 28, "nws"), held(30, 20, "openmeteo"))
    assert (sky.source, sky.usable_today, sky.usable_beyond) == ("openmeteo", False, False)


def test_without_any_forecast_nothing_is_known() -> None:
    sky = chosen()
    assert (sky.hourly, sky.usable_today, sky.usable_beyond, sky.why) == (None, False, False, Why.NO_FORECAST)


def test_a_table_that_does_not_hold_this_hour_is_not_used_for_today() -> None:
    sky = chosen(held(1, 0, n_hours=6))
    assert (sky.usable_today, sky.why) == (False, Why.TODAY_MISSING)


def test_a_clock_that_is_ahead_makes_no_negative_age() -> None:
    sky = chosen(held(-0.5, -0.5))
    assert (sky.age_hours, sky.checked_hours, sky.usable_today) == (0, 0, True)
