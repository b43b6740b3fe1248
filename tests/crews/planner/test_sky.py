"""The sky as the walk reads it: built from judged hours, it allows no more than they do, and never less cover."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crews.planner.climatology import WORKABLE_SHARE, lit_share, typical_day, with_typical
from crews.planner.exposure import OPEN, Sky, sky_from
from crews.planner.slot_rows import NEVER
from tests.factories.skies import at, make_day, make_sky
from weather.daylight import SunDay
from weather.hourly import COLUMNS, Hourly
from weather.limits import Limits
from weather.rain import chance_in_window
from weather.work_hours import Kind, judge

START = datetime(2026, 7, 14, 5, tzinfo=UTC)


def make_hourly(hours: int = 24, **columns: object) -> Hourly:
    """A mild, dry forecast of so many hours with some columns replaced."""
    values: dict[str, np.ndarray] = {name: np.zeros(hours) for name in COLUMNS}
    values |= {"air_temp_c": np.full(hours, 20.0), "dew_point_c": np.full(hours, 5.0)}
    values |= {"rel_humidity": np.full(hours, 0.4), "apparent_temp_c": np.full(hours, 20.0)}
    values |= {"wind_ms": np.full(hours, 3.0), "gust_ms": np.full(hours, 5.0), "pop_period_h": np.ones(hours)}
    values |= {name: np.array(column, dtype=float) for name, column in columns.items()}  # type: ignore[arg-type]
    return Hourly(source="test", start=START, issued_at=START, **values)  # type: ignore[arg-type]


def judged(hourly: Hourly | None, hours: int = 24) -> Sky:
    """The sky over the test roof: the sun stands from 5 to 21 h UTC."""
    limits = Limits()
    sun = SunDay(START.replace(hour=5), START.replace(hour=21))
    return sky_from(judge(hourly, limits, [sun], START, hours), hourly, limits)


blocks = st.lists(
    st.tuples(st.sampled_from([0.0, 0.05, 0.1, 0.4, 0.9]), st.sampled_from([1, 3, 6, 12])), min_size=1, max_size=8
)


@settings(max_examples=150, deadline=None)
@given(blocks, st.floats(0, 20), st.floats(0.1, 12))
def test_the_chance_in_a_window_is_the_weather_apps_own(
    chosen: list[tuple[float, int]], begin: float, length: float
) -> None:
    pop = [p for p, n in chosen for _ in range(n)]
    period = [float(n) for _, n in chosen for _ in range(n)]
    hourly = make_hourly(len(pop), pop=pop, pop_period_h=period)
    sky = judged(hourly, hours=33)  # no window reaches beyond it
    t0, t1 = START + timedelta(hours=begin), START + timedelta(hours=begin + length)
    theirs = chance_in_window(hourly, t0, t1)
    ours = sky.chance(sky.minute(t0), sky.minute(t1))
    assert (ours is None) == (theirs is None)
    if theirs is not None:
        assert ours == pytest.approx(theirs.point)


def test_a_window_stays_dry_until_just_before_the_hour_that_reaches_the_threshold() -> None:
    sky = make_sky(24, pop=dict.fromkeys(range(24), 0.03) | {15: 0.2})
    for hour in range(6, 15):
        end = sky.dry_until(hour * 60, 0.10)
        inside, beyond = sky.chance(hour * 60, end), sky.chance(hour * 60, end + 1)
        assert inside is not None
        assert beyond is not None
        assert inside < 0.10 <= beyond


def test_no_forecast_opens_nothing_and_lets_every_cover_be_laid() -> None:
    sky = judged(None)
    assert sky.next_allowed(OPEN, 0) == NEVER
    assert sky.allowed_until("underlayment", 0) == sky.end_minute
    assert sky.allowed_until("tarp", 0) == sky.end_minute
    assert sky.chance(0, 60) is None


def test_rain_never_stops_covering_and_wind_does() -> None:
    rain = judged(make_hourly(pop=np.full(24, 0.9), qpf_mm=np.full(24, 3.0)))
    assert rain.allowed_until("underlayment", 0) == rain.end_minute
    assert rain.next_allowed(OPEN, 0) == NEVER
    wind = judged(make_hourly(gust_ms=np.full(24, 12.0)))  # 27 mph, limit 25
    assert wind.next_allowed("tarp", 0) == NEVER
    cause = wind.cause(("tarp",), 0)
    assert cause is not None
    assert (cause.code, cause.limit) == ("gust", 25)


def test_a_dry_calm_day_may_be_opened_by_daylight_only() -> None:
    sky = judged(make_hourly(24))
    assert sky.next_allowed(OPEN, 0) < 6 * 60
    assert sky.moment(sky.allowed_until(OPEN, 6 * 60)) <= START.replace(hour=22)


def test_allowed_until_and_next_allowed_read_the_slots() -> None:
    sky = make_sky(24, forbidden={Kind.FIELD: [10, 11]})
    assert sky.allowed_until("field", 7 * 60) == 600
    assert sky.allowed_until("field", 10.5 * 60) == 10.5 * 60
    assert sky.next_allowed("field", 10.5 * 60) == 720
    assert sky.next_allowed("field", 23 * 60) == NEVER
    assert sky.next_allowed("field", -30) == 360


def test_hours_after_the_forecast_become_typical_and_gaps_stay_unknown() -> None:
    sky = with_typical(make_sky(72, unknown={10, *range(48, 72)}))
    assert sky.typical_from == 48 * 60
    assert not sky.known[40]
    assert sky.known[-1]
    assert sky.next_allowed(OPEN, 48 * 60) == 54 * 60
    assert with_typical(make_sky(24)).typical_from == NEVER


def test_a_typical_day_is_slowed_to_its_months_share() -> None:
    sky = with_typical(make_sky(72, unknown=range(48, 72)))
    assert typical_day(make_day(day=1), sky).usable == 1.0
    assert typical_day(make_day(day=2), sky).usable == WORKABLE_SHARE[7]
    assert typical_day(make_day(day=2, speed=0.9), sky).speed == 0.9
    assert set(WORKABLE_SHARE) == set(range(1, 13))
    assert all(0.4 < share < 1 for share in WORKABLE_SHARE.values())


def test_darkness_is_taken_off_a_typical_day_only_once() -> None:
    """The month's share counts darkness in, and the walk stops at dark by itself."""
    short = with_typical(make_sky(72, unknown=range(48, 72), light=(8, 15)))  # of 7 to 16 h seven hours are lit
    shift = make_day(day=2)
    assert lit_share(shift, short) == pytest.approx(7 / 9)
    usable = typical_day(shift, short).usable
    assert usable == pytest.approx(WORKABLE_SHARE[7] * 9 / 7) if WORKABLE_SHARE[7] < 7 / 9 else usable == 1.0
    longer = with_typical(make_sky(72, unknown=range(48, 72), light=(7, 15)))
    # What is left of the nine hours is the month's share of them, not the share of the share.
    assert typical_day(shift, longer).usable * lit_share(shift, longer) == pytest.approx(WORKABLE_SHARE[7])


def test_a_sky_with_rows_of_different_length_or_a_missing_kind_is_refused() -> None:
    sky = make_sky(24)
    rows = {"danger": sky.danger, "dark": sky.dark, "known": sky.known, "pop": sky.pop}
    with pytest.raises(ValueError, match="same hours"):
        Sky(start=at(0), allowed=sky.allowed, wet=[True], **rows)  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="tear_off"):
        Sky(start=at(0), allowed={}, wet=sky.wet, **rows)  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="whole hour"):
        make_sky(24, start=at(0.5))
