"""Which hours each kind of work may run, and the reasons with their numbers."""

import math
from datetime import UTC, datetime, timedelta

import pytest

from tests.weather.tables import START, celsius, mild, mph, suns
from weather.hourly import Hourly
from weather.limits import Limits
from weather.work_hours import Code, HourVerdict, Kind, Reason, WorkHours, judge

NOON = 12  # hours after local midnight, where the table starts
CLOSING = (Kind.UNDERLAYMENT, Kind.TARP)


def judged(hourly: Hourly | None, limits: Limits | None = None, n_hours: int = 48, usable: bool = True) -> WorkHours:
    return judge(hourly, limits or Limits(), suns(), START, n_hours, usable=usable)


def verdict(work: WorkHours, kind: Kind, hour: int = NOON) -> HourVerdict:
    return work.by_kind[kind][hour]


def reason(work: WorkHours, kind: Kind, code: Code, hour: int = NOON) -> Reason:
    found = [reason for reason in verdict(work, kind, hour).reasons if reason.code is code]
    assert len(found) == 1, verdict(work, kind, hour).reasons
    return found[0]


def codes(work: WorkHours, kind: Kind, hour: int = NOON) -> set[str]:
    return {str(reason.code) for reason in verdict(work, kind, hour).reasons}


def test_a_mild_dry_noon_allows_every_kind_of_work_without_a_caution() -> None:
    work = judged(mild())
    for kind in Kind:
        assert verdict(work, kind) == HourVerdict(allowed=True, known=True)
    assert not work.wet[NOON]
    assert not work.danger[NOON]
    assert not work.dark[NOON]
    assert work.known[NOON]


@pytest.mark.parametrize(
    ("gust", "stopped"),
    [
        (19.9, set()),
        (20, {Kind.OPEN_RIDGE}),
        (24.9, {Kind.OPEN_RIDGE}),
        (25, {Kind.OPEN_RIDGE, Kind.TEAR_OFF, Kind.DECK, Kind.ICE_BARRIER, *CLOSING, Kind.BARE}),
        (29.9, {Kind.OPEN_RIDGE, Kind.TEAR_OFF, Kind.DECK, Kind.ICE_BARRIER, *CLOSING, Kind.BARE}),
        (30, set(Kind) - {Kind.GROUND}),
    ],
)
def test_each_kind_of_work_has_its_own_limit_of_gusts(gust: float, stopped: set[Kind]) -> None:
    """20 for an open ridge, 25 for rolling out, 30 for being up there: common practice, no source."""
    work = judged(mild(gust_ms={NOON: mph(gust)}))
    assert {kind for kind in Kind if not verdict(work, kind).allowed} == stopped
    assert work.danger[NOON] == (gust >= 30)


def test_a_gust_on_its_limit_counts_although_rounding_puts_it_a_hair_below() -> None:
    """Grid winds are knots or mph turned into km/h: 40.2 km/h is 24.98 mph, meant as 25."""
    assert codes(judged(mild(gust_ms={NOON: 40.2 / 3.6})), Kind.TARP) == {"gust"}


def test_a_reason_names_the_limit_that_stops_this_work_and_no_other() -> None:
    work = judged(mild(gust_ms={NOON: mph(38)}, wind_ms={NOON: mph(22)}))
    assert reason(work, Kind.TEAR_OFF, Code.GUST).value == pytest.approx(38)
    assert reason(work, Kind.TEAR_OFF, Code.GUST).limit == 25
    assert reason(work, Kind.TEAR_OFF, Code.WIND).limit == 20
    assert reason(work, Kind.ON_ROOF, Code.GUST).limit == 30
    assert reason(work, Kind.OPEN_RIDGE, Code.GUST).limit == 20
    assert codes(work, Kind.FIELD) == {"gust"}  # 22 mph sustained does not stop shingles


def test_thunder_clears_the_roof_and_the_ground_for_its_hour_and_the_next() -> None:
    """30 minutes after the last thunder (OSHA/NOAA lightning fact sheet), rounded up to whole hours."""
    work = judged(mild(thunder_p={NOON: 0.15}))
    for kind in Kind:
        blocked = [not verdict(work, kind, hour).allowed for hour in range(NOON - 1, NOON + 3)]
        assert blocked == [False, True, True, False], kind
    assert reason(work, Kind.TARP, Code.THUNDER).limit == 0.15
    assert reason(work, Kind.TARP, Code.THUNDER, NOON + 1).note == "after_thunder"
    assert work.danger[NOON + 1]


def test_a_longer_wait_after_thunder_blocks_more_hours() -> None:
    work = judged(mild(thunder_p={NOON: 0.4}), Limits(thunder_wait_minutes=61))
    assert [verdict(work, Kind.GROUND, hour).allowed for hour in range(NOON, NOON + 4)] == [False, False, False, True]


@pytest.mark.parametrize(
    ("thunder_p", "pop", "word", "blocked"),
    [
        (math.nan, 0.20, "thunderstorms", True),
        (math.nan, 0.19, "thunderstorms", False),
        (math.nan, 0.60, "rain_showers", False),
        (math.nan, math.nan, "thunderstorms", True),
        (0.05, 0.60, "thunderstorms", False),  # the office gives a chance of thunder, and a low one
        (0.15, 0.0, "rain", True),
    ],
)
def test_a_thunderstorm_in_words_counts_where_the_office_gives_no_chance(
    thunder_p: float, pop: float, word: str, blocked: bool
) -> None:
    work = judged(mild(thunder_p=thunder_p, pop={NOON: pop}, wx={NOON: word}))
    assert ("thunder" in codes(work, Kind.TARP)) == blocked


def test_an_office_without_chances_of_thunder_is_said_so() -> None:
    assert judged(mild()).thunder_forecast
    assert not judged(mild(thunder_p=math.nan)).thunder_forecast


def test_a_flagged_rain_hour_stops_all_that_lies_open_but_never_the_cover() -> None:
    work = judged(mild(pop={NOON: 0.20}))
    for kind in (Kind.TEAR_OFF, Kind.BARE, Kind.OPEN_RIDGE, Kind.FIELD, Kind.RIDGE, Kind.ICE_BARRIER, Kind.DECK):
        assert reason(work, kind, Code.RAIN) == Reason(Code.RAIN, 0.20, 0.20, "chance")
    for kind in (*CLOSING, Kind.ON_ROOF, Kind.GROUND):
        assert verdict(work, kind).allowed
        assert Code.RAIN in {caution.code for caution in verdict(work, kind).cautions}
    assert work.wet[NOON]
    assert not judged(mild(pop={NOON: 0.19})).wet[NOON]


def test_a_lower_cap_of_the_manager_flags_more_hours() -> None:
    limits = Limits.from_values({"rain_manager_cap": 0.10})
    assert judged(mild(pop={NOON: 0.12}), limits).wet[NOON]


@pytest.mark.parametrize("column", ["air_temp_c", "wind_ms", "gust_ms", "pop"])
def test_one_missing_number_makes_the_hour_unknown_opens_nothing_and_never_stops_closing(column: str) -> None:
    work = judged(mild(**{column: {NOON: math.nan}}))
    for kind in (Kind.TEAR_OFF, Kind.BARE, Kind.OPEN_RIDGE):
        assert reason(work, kind, Code.UNKNOWN).note == column
    for kind in CLOSING:
        assert verdict(work, kind).allowed
        assert not verdict(work, kind).known
    assert not work.known[NOON]
    assert work.wet[NOON] == (column == "pop")


@pytest.mark.parametrize(("hourly", "usable"), [(None, True), (mild(), False)])
def test_without_a_usable_forecast_every_hour_is_unknown_and_flagged_wet(hourly: Hourly | None, usable: bool) -> None:
    work = judged(hourly, usable=usable)
    assert not any(work.known)
    assert all(work.wet)
    assert not any(work.allowed(Kind.TEAR_OFF) + work.allowed(Kind.BARE) + work.allowed(Kind.OPEN_RIDGE))
    assert all(work.allowed(Kind.UNDERLAYMENT) + work.allowed(Kind.TARP))


def test_hours_outside_the_table_are_unknown() -> None:
    work = judge(mild(n_hours=24), Limits(), suns(), START - timedelta(hours=2), 30)
    assert [hour for hour, known in enumerate(work.known) if not known] == [0, 1, 26, 27, 28, 29]
    assert reason(work, Kind.TEAR_OFF, Code.UNKNOWN, 27).note == "no_forecast"


@pytest.mark.parametrize(("air_f", "cold"), [(39.9, True), (40.0, False), (39.99992, False)])
def test_shingles_and_membrane_stop_below_forty_degrees_but_underlayment_does_not(air_f: float, cold: bool) -> None:
    """Shingles: manufacturers' association cold weather bulletin (40 F). Membrane: common practice, no source."""
    work = judged(mild(air_temp_c={NOON: celsius(air_f)}, dew_point_c=-15.0))
    for kind in (Kind.FIELD, Kind.RIDGE, Kind.ICE_BARRIER):
        assert ("cold" in codes(work, kind)) == cold
    for kind in (*CLOSING, Kind.TEAR_OFF, Kind.BARE):
        assert verdict(work, kind).allowed


def test_snow_stops_opening_and_laying_and_counts_as_wet() -> None:
    snow = dict.fromkeys(range(NOON, NOON + 3), 1.0)  # 3 mm in all: more than the 0.1 in that is measurable
    work = judged(mild(snow_mm=snow))
    assert reason(work, Kind.TEAR_OFF, Code.SNOW).value == pytest.approx(3 / 25.4)
    assert reason(work, Kind.TEAR_OFF, Code.SNOW).limit == 0.1
    assert work.wet[NOON]
    assert verdict(work, Kind.TARP).allowed


def test_a_dark_hour_opens_nothing_but_may_be_used_to_cover() -> None:
    work = judged(mild())
    for kind in (Kind.TEAR_OFF, Kind.BARE, Kind.OPEN_RIDGE, Kind.FIELD):
        assert codes(work, kind, 3) >= {"dark"}
    assert verdict(work, Kind.TARP, 3).allowed
    assert [hour for hour in range(24) if not work.dark[hour]] == list(range(6, 20))  # light from 5:18 am to 8:55 pm


def test_heat_is_a_caution_that_names_both_scales_and_never_blocks() -> None:
    """NWS bands 80/90/103/125 and OSHA employer guide 91/103/115; 90 F and 70 % make 106 F."""
    work = judged(mild(air_temp_c={NOON: celsius(90)}, rel_humidity={NOON: 0.70}))
    caution = next(c for c in verdict(work, Kind.TEAR_OFF).cautions if c.code is Code.HEAT)
    assert caution.value == pytest.approx(105.92, abs=0.01)
    assert caution.limit == 103
    assert caution.note == "OSHA/NIOSH high, NWS danger"
    assert verdict(work, Kind.TEAR_OFF).allowed


def test_an_hour_names_every_reason_at_once() -> None:
    work = judged(
        mild(pop={NOON: 0.8}, thunder_p={NOON: 0.5}, gust_ms={NOON: mph(40)}, wind_ms={NOON: mph(31)}, air_temp_c=1.0)
    )
    assert codes(work, Kind.FIELD) == {"rain", "thunder", "gust", "wind", "cold"}
    assert codes(work, Kind.TARP) == {"thunder", "gust", "wind"}
    assert codes(work, Kind.GROUND) == {"thunder"}


def test_rain_before_the_hours_asked_for_is_still_felt() -> None:
    table = mild(pop={10: 0.9}, qpf_mm={10: 3.0})
    work = judge(table, Limits(), suns(), START + timedelta(hours=12), 4)
    assert codes(work, Kind.TEAR_OFF, 0) == {"wet"}


def test_nonsense_is_refused() -> None:
    with pytest.raises(ValueError, match="whole UTC hour"):
        judge(None, Limits(), suns(), START + timedelta(minutes=30), 3)
    with pytest.raises(ValueError, match="whole UTC hour"):
        judge(None, Limits(), suns(), datetime(2026, 5, 4), 3)  # noqa: DTZ001
    with pytest.raises(ValueError, match="At least one hour"):
        judge(None, Limits(), suns(), datetime(2026, 5, 4, tzinfo=UTC), 0)
    with pytest.raises(ValueError, match="exactly when"):
        HourVerdict(allowed=False, known=True)
