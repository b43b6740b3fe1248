"""Whatever the forecast says: unknown opens nothing, and nothing but danger to people stops the covering of a roof."""

import math

from hypothesis import given, settings
from hypothesis import strategies as st

from tests.weather.tables import START, mild, suns
from weather.hourly import Hourly
from weather.limits import Limits
from weather.work_hours import Code, Kind, judge

N_HOURS = 30
MPH = 2.2369362920544
UNKNOWN = st.just(math.nan)


def column(lowest: float, highest: float) -> st.SearchStrategy[dict[int, float]]:
    return st.dictionaries(st.integers(0, N_HOURS - 1), st.floats(lowest, highest) | UNKNOWN, max_size=12)


@st.composite
def skies(draw: st.DrawFn) -> Hourly:
    return mild(
        n_hours=N_HOURS,
        air_temp_c=draw(column(-30, 45)),
        dew_point_c=draw(column(-40, 30)),
        rel_humidity=draw(column(0, 1)),
        wind_ms=draw(column(0, 25)),
        gust_ms=draw(column(0, 35)),
        pop=draw(column(0, 1)),
        qpf_mm=draw(column(0, 30)),
        thunder_p=draw(column(0, 1)),
        snow_mm=draw(column(0, 20)),
        ice_mm=draw(column(0, 5)),
        sky_cover=draw(column(0, 1)),
        wx={draw(st.integers(0, N_HOURS - 1)): "thunderstorms"},
    )


limits = st.builds(
    Limits,
    closing_wind_mph=st.floats(5, 30),
    closing_gust_mph=st.floats(5, 35),
    off_roof_gust_mph=st.floats(10, 45),
    wet_hour_chance=st.floats(0.01, 0.5),
    membrane_min_f=st.floats(0, 70),
    shingle_min_f=st.floats(0, 60),
)


@given(skies(), limits, st.booleans())
@settings(max_examples=100, deadline=None)
def test_covering_is_stopped_by_thunder_and_wind_over_their_limits_and_nothing_else(
    sky: Hourly, limit: Limits, usable: bool
) -> None:
    work = judge(sky, limit, suns(), START, N_HOURS + 6, usable=usable)
    for kind in (Kind.UNDERLAYMENT, Kind.TARP):
        for hour, verdict in enumerate(work.by_kind[kind]):
            assert {reason.code for reason in verdict.reasons} <= {Code.THUNDER, Code.WIND, Code.GUST}
            for reason in verdict.reasons:
                if reason.code is not Code.THUNDER:
                    assert reason.value is not None
                    assert reason.limit is not None
                    assert reason.value >= reason.limit - 0.05
            if not usable or hour >= N_HOURS:
                assert verdict.allowed


@given(skies(), limits, st.booleans())
@settings(max_examples=100, deadline=None)
def test_an_unknown_hour_opens_nothing(sky: Hourly, limit: Limits, usable: bool) -> None:
    work = judge(sky, limit, suns(), START, N_HOURS + 6, usable=usable)
    for hour in range(work.n_hours):
        if not work.known[hour]:
            assert not any(work.by_kind[kind][hour].allowed for kind in (Kind.TEAR_OFF, Kind.BARE, Kind.OPEN_RIDGE))


@given(skies(), limits)
@settings(max_examples=100, deadline=None)
def test_a_deck_never_lies_bare_in_a_wet_dark_or_dangerous_hour_or_where_it_cannot_be_covered(
    sky: Hourly, limit: Limits
) -> None:
    work = judge(sky, limit, suns(), START, N_HOURS)
    for hour in range(N_HOURS):
        for kind in (Kind.BARE, Kind.TEAR_OFF):
            if work.by_kind[kind][hour].allowed:
                assert not (work.wet[hour])
                assert not (work.dark[hour])
                assert not (work.danger[hour])
                assert work.by_kind[Kind.TARP][hour].allowed


@given(skies(), st.sampled_from(["closing_gust_mph", "closing_wind_mph", "off_roof_gust_mph", "wet_hour_chance"]))
@settings(max_examples=100, deadline=None)
def test_a_tighter_limit_never_allows_more(sky: Hourly, key: str) -> None:
    default = judge(sky, Limits(), suns(), START, N_HOURS)
    tighter = judge(sky, Limits(**{key: getattr(Limits(), key) * 0.6}), suns(), START, N_HOURS)
    for kind in Kind:
        for before, after in zip(default.by_kind[kind], tighter.by_kind[kind], strict=True):
            assert before.allowed or not after.allowed


@given(skies(), st.sampled_from(["pop", "gust_ms", "wind_ms", "air_temp_c"]), st.integers(0, N_HOURS - 1))
@settings(max_examples=100, deadline=None)
def test_a_number_that_goes_missing_never_opens_an_hour(sky: Hourly, name: str, hour: int) -> None:
    values = getattr(sky, name).copy()
    values[hour] = math.nan
    changed = Hourly(**{**vars(sky), name: values})
    before, after = (judge(table, Limits(), suns(), START, N_HOURS) for table in (sky, changed))
    assert not after.by_kind[Kind.BARE][hour].allowed
    if name == "pop":
        for then in range(N_HOURS):
            assert before.by_kind[Kind.TEAR_OFF][then].allowed or not after.by_kind[Kind.TEAR_OFF][then].allowed
