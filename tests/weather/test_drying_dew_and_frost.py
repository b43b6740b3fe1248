"""How long a roof stays wet, and what a clear night leaves on it. All figures: common practice, no source."""

import math

import pytest

from tests.weather.tables import START, celsius, mild, mph, suns
from weather.hourly import Hourly
from weather.limits import Limits
from weather.moisture import dew_and_frost
from weather.work_hours import Code, Kind, judge

SUNRISE_HOUR = 6  # 5:51 am: the first whole hour after sunrise


def blocked(hourly: Hourly, code: Code, kind: Kind = Kind.TEAR_OFF, limits: Limits | None = None) -> list[int]:
    work = judge(hourly, limits or Limits(), suns(), START, hourly.n_hours)
    return [hour for hour, v in enumerate(work.by_kind[kind]) if any(reason.code is code for reason in v.reasons)]


def test_a_light_shower_dries_in_two_hours_of_daylight() -> None:
    assert blocked(mild(pop={10: 0.5}, qpf_mm={10: 0.5}), Code.WET) == [11, 12]


def test_half_a_tenth_of_an_inch_takes_six_hours() -> None:
    assert blocked(mild(pop={10: 0.5}, qpf_mm={10: 1.27}), Code.WET) == [11, 12, 13, 14, 15, 16]


def test_amounts_of_one_spell_add_up() -> None:
    shower = {10: 0.5, 11: 0.5}
    assert len(blocked(mild(pop=shower, qpf_mm={10: 0.7, 11: 0.7}), Code.WET)) == 6


def test_an_unknown_amount_counts_as_much() -> None:
    assert len(blocked(mild(pop={10: 0.5}, qpf_mm={10: math.nan}), Code.WET)) == 6


def test_an_unknown_chance_leaves_the_hours_after_it_wet() -> None:
    assert len(blocked(mild(pop={10: math.nan}, qpf_mm={10: math.nan}), Code.WET)) == 6


def test_darkness_dries_by_a_quarter() -> None:
    # Rain until 9 pm. The dark from 9 pm to 6 am dries 135 of 360 minutes; light does the rest in four hours.
    assert blocked(mild(pop={20: 0.9}, qpf_mm={20: 5.0}), Code.WET) == list(range(21, 34))


def test_wet_says_how_many_minutes_have_dried_of_how_many() -> None:
    work = judge(mild(pop={10: 0.5}, qpf_mm={10: 5.0}), Limits(), suns(), START, 24)
    reason = next(r for r in work.by_kind[Kind.FIELD][13].reasons if r.code is Code.WET)
    assert (reason.value, reason.limit, reason.unit) == (120, 360, "min")


def test_drying_never_stops_the_cover_or_a_bare_deck_that_is_there() -> None:
    table = mild(pop={10: 0.5}, qpf_mm={10: 5.0})
    for kind in (Kind.UNDERLAYMENT, Kind.TARP, Kind.BARE, Kind.DECK):
        assert blocked(table, Code.WET, kind) == []
    assert blocked(table, Code.WET, Kind.ICE_BARRIER)


def clear_night(air_f: float, dew_f: float, **spoilt: object) -> Hourly:
    """A day that begins with a clear calm night and ends before the next one."""
    night = {
        "air_temp_c": celsius(air_f),
        "dew_point_c": celsius(dew_f),
        "wind_ms": mph(2),
        "gust_ms": mph(8),
        "sky_cover": 0.1,
    }
    return mild(n_hours=20, **(night | spoilt))


def test_frost_after_a_clear_calm_night_clears_an_hour_and_a_half_after_sunrise() -> None:
    # 36 F air over a 34 F dew point: the roof, 6 F below, is at 30 F. Sunrise 5:51, clear at 7:21: from 8 am.
    assert blocked(clear_night(36, 34), Code.FROST) == list(range(8))


def test_under_cloud_it_takes_three_hours() -> None:
    cloudy = dict.fromkeys(range(SUNRISE_HOUR, 20), 0.9)
    assert blocked(clear_night(36, 34, sky_cover={**dict.fromkeys(range(6), 0.1), **cloudy}), Code.FROST) == list(
        range(9)
    )


def test_a_warmer_night_leaves_dew() -> None:
    assert blocked(clear_night(50, 47), Code.DEW) == list(range(8))
    assert blocked(clear_night(50, 47), Code.FROST) == []


def test_frost_stays_while_the_air_is_below_freezing() -> None:
    rows = dew_and_frost(clear_night(30, 29), Limits(), suns())
    assert all(row is not None for row in rows[:20])


@pytest.mark.parametrize(
    "spoilt", [{"dew_point_c": celsius(28)}, {"wind_ms": mph(6)}, {"sky_cover": 0.6}], ids=["dry air", "wind", "cloud"]
)
def test_dry_air_wind_or_cloud_keep_frost_away(spoilt: dict[str, float]) -> None:
    assert blocked(clear_night(36, 34, **spoilt), Code.FROST) == []


def test_what_is_not_known_counts_as_met() -> None:
    table = clear_night(36, 34, dew_point_c=math.nan, sky_cover=math.nan)
    assert blocked(table, Code.FROST)[:6] == list(range(6))


def test_frost_names_the_roofs_likely_temperature_against_freezing() -> None:
    row = dew_and_frost(clear_night(36, 34), Limits(), suns())[3]
    assert row is not None
    assert (row.value, row.limit) == (pytest.approx(30), 32)
    assert row.until is not None


def test_snow_lies_until_it_had_its_hours_above_freezing() -> None:
    fall = dict.fromkeys(range(6, 9), 2.0)
    cold_until_ten = dict.fromkeys(range(10), -1.0)
    table = mild(n_hours=24, snow_mm=fall, air_temp_c=cold_until_ten, dew_point_c=-9.0)
    assert blocked(table, Code.SNOW) == list(range(6, 16))  # six hours from 10 am on


def test_a_trace_of_snow_does_not_stop_work_but_a_glaze_of_ice_does() -> None:
    assert blocked(mild(snow_mm={12: 1.0}), Code.SNOW) == []
    assert 12 in blocked(mild(ice_mm={12: 0.3}), Code.SNOW)
