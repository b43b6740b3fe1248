"""The invented weather of the demonstration shows every verdict, whatever the real date is."""

import socket
from datetime import UTC, date, datetime, time, timedelta
from typing import NoReturn
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from weather.chain import Held, choose
from weather.daylight import sun_days
from weather.hourly import COLUMNS
from weather.limits import Limits
from weather.parsing import UnreadableForecast
from weather.rain import chance_in_window
from weather.sources import recorded, recorded_document
from weather.work_hours import Code, Kind, WorkHours, judge

LAT, LON, ZONE = 44.95, -93.09, "America/Chicago"
DATES = [
    date(2026, 11, 25),
    date(2026, 7, 1),
    date(2027, 1, 10),
    date(2026, 3, 8),
    date(2026, 11, 1),
    date(2028, 2, 29),
]


def moment(day: date, hour: float) -> datetime:
    return datetime.combine(day, time(), ZoneInfo(ZONE)).astimezone(UTC) + timedelta(hours=hour)


def today(pattern: str, day: date, n_hours: int = 24) -> WorkHours:
    table = recorded.hourly(pattern, LAT, LON, moment(day, 6.5), ZONE)
    return judge(table, Limits(), sun_days(LAT, LON, day, 3, ZONE), moment(day, 0), n_hours)


def codes(work: WorkHours, kind: Kind, hour: int) -> set[Code]:
    return {reason.code for reason in work.by_kind[kind][hour].reasons}


@pytest.mark.parametrize("day", DATES)
def test_the_dry_day_may_be_opened_from_morning_to_afternoon_and_tomorrow_begins_with_frost(day: date) -> None:
    work = today("westmere-dry", day, 36)
    assert all(work.allowed(Kind.TEAR_OFF)[9:16])
    assert all(work.allowed(Kind.FIELD)[10:16])
    assert Code.FROST in codes(work, Kind.TEAR_OFF, 24 + 6)


@pytest.mark.parametrize("day", DATES)
def test_the_storm_comes_at_three_with_thunder_and_is_dry_enough_before(day: date) -> None:
    work = today("westmere-storm", day, 34)
    assert all(work.allowed(Kind.BARE)[9:14])
    table = recorded.hourly("westmere-storm", LAT, LON, moment(day, 6.5), ZONE)
    chance = chance_in_window(table, moment(day, 9), moment(day, 14))
    assert chance is not None
    assert chance.point < Limits().rain_open_chance
    three = _row_of(work, day, 15)
    assert codes(work, Kind.BARE, three) >= {Code.RAIN, Code.THUNDER}
    assert codes(work, Kind.TARP, three) >= {Code.THUNDER}
    assert work.by_kind[Kind.BARE][three].reasons[0].value >= 0.70  # type: ignore[operator]


def _row_of(work: WorkHours, day: date, clock_hour: int) -> int:
    row = work.index_of(datetime.combine(day, time(clock_hour), ZoneInfo(ZONE)).astimezone(UTC))
    assert row is not None
    return row


@pytest.mark.parametrize("day", DATES)
def test_on_the_windy_day_people_stay_off_at_noon(day: date) -> None:
    work = today("westmere-wind", day)
    assert codes(work, Kind.ON_ROOF, _row_of(work, day, 12)) == {Code.GUST}


@pytest.mark.parametrize("day", DATES)
def test_the_frosty_morning_turns_mild(day: date) -> None:
    work = today("westmere-frost", day)
    assert Code.FROST in codes(work, Kind.TEAR_OFF, _row_of(work, day, 6))
    assert work.allowed(Kind.TEAR_OFF)[_row_of(work, day, 12)]


def test_where_the_office_went_silent_today_is_unknown() -> None:
    now = moment(DATES[0], 7.25)
    table = recorded.hourly("westmere-silent", LAT, LON, now, ZONE)
    sky = choose([Held(table, "recorded", table.issued_at, recorded.checked_at("westmere-silent", now))], now)
    assert not sky.usable_today
    assert sky.checked_hours == pytest.approx(9, abs=1)


@pytest.mark.parametrize("pattern", [name for name in recorded.PATTERNS if name != "westmere-silent"])
def test_every_other_pattern_is_fresh_at_any_hour(pattern: str) -> None:
    for hour in range(48):
        now = moment(DATES[0], hour + 0.99)
        table = recorded.hourly(pattern, LAT, LON, now, ZONE)
        assert choose([Held(table, "recorded", table.issued_at, recorded.checked_at(pattern, now))], now).usable_today


def test_the_same_day_always_gives_the_same_table_marked_as_invented() -> None:
    early, late = (recorded.hourly("westmere-dry", LAT, LON, moment(DATES[0], hour), ZONE) for hour in (1, 23.5))
    for name in COLUMNS:
        np.testing.assert_array_equal(getattr(early, name), getattr(late, name))
    assert early.attribution == "invented weather for the demonstration"
    assert all("invented" in words for words in early.flags)
    assert early.n_hours == 180


@pytest.mark.parametrize("pattern", sorted(recorded.PATTERNS))
def test_noon_is_mild_enough_for_asphalt_on_every_day(pattern: str) -> None:
    table = recorded.hourly(pattern, LAT, LON, moment(DATES[2], 8), ZONE)
    noons = [table.air_temp_c[hour] * 1.8 + 32 for hour in range(13, 168, 24)]
    assert all(50 <= air_f <= 68 for air_f in noons)


def test_it_works_in_a_half_hour_zone_and_without_a_zone() -> None:
    assert recorded.hourly("westmere-dry", 20.0, 75.0, moment(DATES[0], 8), "Asia/Kolkata").start.minute == 0
    assert recorded.zone_of(-93.0) == "America/Chicago"
    assert recorded.zone_of(-120.0) == "America/Los_Angeles"


def test_it_makes_no_outside_call(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object, **__: object) -> NoReturn:
        raise AssertionError("the demonstration opened a connection")

    monkeypatch.setattr(socket, "socket", refuse)
    monkeypatch.setattr(socket, "create_connection", refuse)
    assert recorded.hourly("westmere-dry", LAT, LON, moment(DATES[0], 8)).n_hours == 180


@pytest.mark.parametrize(
    ("body", "words"),
    [
        ("{}", "for which moment"),
        ('{"pattern": "sunny", "now": "2026-05-04T12:00:00Z"}', "no invented weather called 'sunny'"),
        ('{"pattern": "westmere-dry", "now": "2026-05-04T12:00:00"}', "no time zone"),
        ('{"pattern": "westmere-dry", "now": "2026-05-04T12:00:00Z"}', "no place at nan"),
        ('{"pattern": "westmere-dry", "now": "2026-05-04T12:00:00Z", "lat": 1, "lon": 1, "zone": "Mars/Base"}', "Mars"),
    ],
)
def test_a_document_that_names_no_pattern_is_refused(body: str, words: str) -> None:
    with pytest.raises(UnreadableForecast, match=words):
        recorded_document.read(body)
