"""The walk under forecasts that the weather app judged: from an hourly table to the roof, nothing made up between."""

from datetime import UTC, datetime, timedelta

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from crews.planner.exposure import sky_from
from crews.planner.problem import StepKind
from crews.planner.roofday import walk
from crews.verdict.day_verdict import policy_of
from tests.factories.skies import make_day, make_roof, make_section
from weather.daylight import SunDay
from weather.hourly import COLUMNS, Hourly
from weather.limits import Limits
from weather.work_hours import Kind, WorkHours, judge

START = datetime(2026, 7, 14, tzinfo=UTC)
HOURS = 48
GUST_MS_PER_MPH = 0.44704

hourly_values = st.lists(
    st.tuples(
        st.sampled_from([0.0, 0.0, 0.02, 0.05, 0.15, 0.3, 0.8]),  # chance of rain
        st.sampled_from([5, 12, 19, 22, 26, 32]),  # gust, mph
        st.sampled_from([-2.0, 3.0, 12.0, 24.0]),  # air, degC
        st.sampled_from([0.0, 0.0, 0.05, 0.4]),  # thunder
    ),
    min_size=HOURS,
    max_size=HOURS,
)


def forecast(values: list[tuple[float, float, float, float]]) -> Hourly:
    """An hourly table from drawn values; rain falls where it is likely."""
    pop, gust, air, thunder = (np.array(column, dtype=float) for column in zip(*values, strict=True))
    columns = {name: np.zeros(HOURS) for name in COLUMNS}
    columns |= {"pop": pop, "pop_period_h": np.ones(HOURS), "qpf_mm": np.where(pop > 0.5, 1.0, 0.0)}
    columns |= {"gust_ms": gust * GUST_MS_PER_MPH, "wind_ms": gust * GUST_MS_PER_MPH * 0.6, "thunder_p": thunder}
    columns |= {"air_temp_c": air, "apparent_temp_c": air, "dew_point_c": air - 8, "rel_humidity": np.full(HOURS, 0.5)}
    return Hourly(source="test", start=START, issued_at=START, **columns)


def judged(values: list[tuple[float, float, float, float]]) -> tuple[Hourly, WorkHours]:
    """The table and what its hours allow; the sun stands from 5 to 21 h UTC."""
    hourly = forecast(values)
    suns = [SunDay(START + timedelta(days=d, hours=5), START + timedelta(days=d, hours=21)) for d in range(2)]
    return hourly, judge(hourly, Limits(), suns, START, HOURS)


@settings(max_examples=150, deadline=None)
@given(hourly_values, st.booleans())
def test_no_strip_lies_bare_in_an_hour_in_which_the_weather_app_forbids_it(
    values: list[tuple[float, float, float, float]], started: bool
) -> None:
    hourly, hours = judged(values)
    sky = sky_from(hours, hourly, Limits())
    days = [make_day(day=d) for d in range(2)]
    run = walk(make_roof(started=started), days, sky, START + timedelta(hours=6), policy_of(Limits()))
    for exposure in run.exposures:
        first, last = hours.index_of(exposure.start), hours.index_of(exposure.end - timedelta(seconds=2))
        assert first is not None
        assert last is not None
        kind = Kind.OPEN_RIDGE if exposure.open_ridge_ft > 0 else Kind.BARE
        for hour in range(first, last + 1):
            assert hours.by_kind[kind][hour].allowed
            assert not hours.wet[hour]
            assert not hours.dark[hour]
    for step in run.steps:
        if step.kind in (StepKind.TEAR_OFF, StepKind.ICE_BARRIER, StepKind.FIELD):
            hour = hours.index_of(step.start + timedelta(seconds=2))
            assert hour is not None
            assert hours.by_kind[Kind(step.kind.value)][hour].allowed


@settings(max_examples=150, deadline=None)
@given(hourly_values, st.floats(0.5, 9), st.integers(0, 3))
def test_an_open_roof_is_closed_in_the_hours_that_thunder_and_wind_leave(
    values: list[tuple[float, float, float, float]], bare: float, tarps: int
) -> None:
    hourly, hours = judged(values)
    sky = sky_from(hours, hourly, Limits())
    roof = make_roof(make_section(1, old=2.0, bare_squares=bare), ridges=())
    run = walk(roof, [make_day(tarps=tarps), make_day(day=1)], sky, START + timedelta(hours=7), policy_of(Limits()))
    laying = [s for s in run.steps if s.kind in (StepKind.TARP, StepKind.UNDERLAYMENT, StepKind.DECK)]
    permitted = [h for h in range(7, HOURS) if hours.by_kind[Kind.TARP][h].allowed]
    assert (
        laying[0].start == max(START + timedelta(hours=permitted[0]), START + timedelta(hours=7))
        if permitted
        else not laying
    )
    # Five people cover nine squares in less than three permitted hours, whatever the weather in between.
    if len([h for h in permitted if h < 30]) >= 4:
        assert run.remaining_open_squares == 0
