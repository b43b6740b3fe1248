"""Sun times against skyfield (JPL ephemeris de421, an independent computation) and almanac values."""

from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from skyfield import almanac
from skyfield.api import load as skyfield_load
from skyfield.api import load_file, wgs84
from skyfield_data import get_skyfield_data_path

from weather.daylight import SunDay, dark_hours, sun_days

PLACES = [
    (44.95, -93.09, "America/Chicago", date(2026, 11, 25)),
    (44.95, -93.09, "America/Chicago", date(2026, 6, 21)),
    (42.36, -71.06, "America/New_York", date(2026, 1, 15)),
    (47.61, -122.33, "America/Los_Angeles", date(2026, 3, 8)),  # clocks go forward
    (61.2, -149.9, "America/Anchorage", date(2026, 2, 28)),
]


@pytest.mark.filterwarnings("ignore:The file finals2000A")  # Earth rotation tables: seconds at most
@pytest.mark.parametrize(("lat", "lon", "zone", "day"), PLACES)
def test_sunrise_and_sunset_lie_within_a_minute_of_skyfield(lat: float, lon: float, zone: str, day: date) -> None:
    ephemeris = load_file(f"{get_skyfield_data_path()}/de421.bsp")
    scale = skyfield_load.timescale(builtin=True)
    ours = sun_days(lat, lon, day, 1, zone)[0]
    for moment, rises in ((ours.sunrise, True), (ours.sunset, False)):
        around = [scale.from_datetime(moment + timedelta(hours=h)) for h in (-3, 3)]
        times, events = almanac.find_discrete(*around, almanac.sunrise_sunset(ephemeris, wgs84.latlon(lat, lon)))
        theirs = next(t.utc_datetime() for t, event in zip(times, events, strict=True) if bool(event) == rises)
        assert abs(theirs - moment) <= timedelta(seconds=60)


@pytest.mark.parametrize(
    ("lat", "lon", "zone", "day", "sunrise", "sunset"),
    [
        # Computed with skyfield 1.55 and de421, local clock.
        (44.95, -93.09, "America/Chicago", date(2026, 11, 25), "07:23:27", "16:35:10"),
        (44.95, -93.09, "America/Chicago", date(2026, 6, 21), "05:25:54", "21:02:36"),
        (42.36, -71.06, "America/New_York", date(2026, 1, 15), "07:10:45", "16:36:57"),
    ],
)
def test_st_paul_and_boston_have_their_known_sun_times(
    lat: float, lon: float, zone: str, day: date, sunrise: str, sunset: str
) -> None:
    sun = sun_days(lat, lon, day, 1, zone)[0]
    for moment, clock in ((sun.sunrise, sunrise), (sun.sunset, sunset)):
        known = datetime.combine(day, time.fromisoformat(clock), ZoneInfo(zone))
        assert abs(known - moment) <= timedelta(seconds=60)


def test_civil_dawn_of_st_paul_comes_half_an_hour_before_sunrise() -> None:
    sun = sun_days(44.95, -93.09, date(2026, 11, 25), 1, "America/Chicago")[0]
    known = datetime(2026, 11, 25, 12, 50, 26, tzinfo=UTC)  # skyfield 1.55: sun 6 degrees below the horizon
    assert abs(sun.first_light - known) <= timedelta(seconds=60)


def test_days_follow_each_other_across_the_change_of_clocks() -> None:
    days = sun_days(44.95, -93.09, date(2026, 10, 31), 3, "America/Chicago")
    lengths = [(after.sunrise - before.sunrise) for before, after in pairwise(days)]
    assert all(timedelta(hours=24) < length < timedelta(hours=24, minutes=3) for length in lengths)


def test_where_the_sun_does_not_set_the_day_is_light_and_where_it_does_not_rise_it_is_dark() -> None:
    summer = sun_days(71.3, -156.8, date(2026, 6, 21), 1, "America/Anchorage")[0]
    winter = sun_days(78.0, -156.8, date(2026, 12, 21), 1, "America/Anchorage")[0]
    assert summer.sunset - summer.sunrise == timedelta(hours=24)
    assert winter.sunset == winter.sunrise == winter.first_light == winter.last_light


def test_an_hour_is_dark_when_any_part_of_it_lies_outside_civil_daylight() -> None:
    day = datetime(2026, 11, 25, tzinfo=UTC)
    sun = sun_days(44.95, -93.09, date(2026, 11, 25), 1, "America/Chicago")
    dark = dark_hours(day, 26, sun)
    assert [hour for hour in range(26) if not dark[hour]] == list(range(13, 23))  # 7 am to 5 pm local
    assert dark_hours(day + timedelta(days=2), 26, sun) == [True] * 26
    assert dark_hours(day - timedelta(days=2), 26, sun) == [True] * 26
    assert dark_hours(day, 2, ()) == [True, True]


def test_nonsense_is_refused() -> None:
    with pytest.raises(ValueError, match="no place"):
        sun_days(91, 0, date(2026, 1, 1), 1, "UTC")
    with pytest.raises(ValueError, match="At least one day"):
        sun_days(45, 0, date(2026, 1, 1), 0, "UTC")
    noon = datetime(2026, 1, 1, 12, tzinfo=UTC)
    with pytest.raises(ValueError, match="must run from dawn"):
        SunDay(noon, noon - timedelta(hours=1))
    with pytest.raises(ValueError, match="need a time zone"):
        SunDay(noon.replace(tzinfo=None), noon)
