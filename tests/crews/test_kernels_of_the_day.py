"""Small kernels of the crew's day against worked figures: totals, ridges, nails, windows, rulings."""

import uuid
from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crews.boards.sky_strip import SkyHour
from crews.delivery_timing import JobTimes, LoadAsk, fit_of, load_window, proposed_slot, times_of_plan
from crews.plan_segments import phase_spans
from crews.planner.plan_problem import PlannedDay
from crews.progress import NewEntry, Reported, done_share, ridge_progress, slope_areas, total
from crews.sheet_steps import DayConditions, cautions_for, fasteners_for, steps_for, vent_sections
from crews.verdict.changes import Basis, Trigger, trigger_of
from jobs.phases import Phase

DAY = datetime(2026, 7, 14, tzinfo=UTC)


def at(hour: float) -> datetime:
    return DAY + timedelta(hours=hour)


def said(after: float, hour: float, *, correction: bool = False, arrival: int = 0) -> Reported:
    return Reported("torn_off", 1, after, correction, at(hour), arrival)


# --- Totals


def test_a_total_is_the_largest_since_the_latest_correction() -> None:
    reports = [said(2, 8), said(5, 9), said(3, 10, correction=True), said(3.5, 11), said(3.2, 12)]
    assert total(reports) == 3.5
    assert total(reports[:2]) == 5
    assert total([]) == 0
    assert total([], start=4) == 4


@given(st.lists(st.tuples(st.floats(0, 50), st.integers(0, 20)), min_size=1, max_size=12), st.randoms())
def test_the_order_in_which_reports_arrive_does_not_matter(amounts: list[tuple[float, int]], rng: object) -> None:
    reports = [said(amount, hour, arrival=n) for n, (amount, hour) in enumerate(amounts)]
    mixed = list(reports)
    rng.shuffle(mixed)  # type: ignore[attr-defined]
    assert total(mixed) == total(reports)


@given(st.floats(0.5, 60), st.floats(0, 100), st.floats(0, 100), st.floats(0, 100))
def test_the_four_areas_conserve_the_squares(squares: float, torn: float, dried: float, laid: float) -> None:
    areas = slope_areas(squares, torn, dried, laid)
    assert areas.squares == pytest.approx(squares)
    assert min(areas.old, areas.bare, areas.dried_in, areas.shingled) >= 0
    assert areas.shingled == pytest.approx(min(laid, squares))
    for phase in (Phase.TEAR_OFF, Phase.UNDERLAYMENT, Phase.FIELD):
        assert -1e-9 <= done_share(phase, areas) <= 1 + 1e-9


@given(st.floats(1, 100), st.floats(0, 200), st.floats(0, 200))
def test_a_ridge_is_never_open_or_finished_for_more_than_its_length(
    length: float, opened: float, finished: float
) -> None:
    ridge = ridge_progress(length, opened, finished)
    assert ridge.open_ft >= 0
    assert ridge.open_ft + ridge.finished_ft <= length + 1e-9


@pytest.mark.parametrize(
    "values",
    [
        {"kind": "torn_off", "section_id": 1},
        {"kind": "torn_off", "done_after": 1.0},
        {"kind": "torn_off", "section_id": 1, "done_after": -1.0},
        {"kind": "torn_off", "section_id": 1, "done_after": float("nan")},
        {"kind": "ridge_opened", "done_after": 1.0},
        {"kind": "labor_hours", "done_after": 3.0, "phase": "tea"},
        {"kind": "people_here"},
        {"kind": "gossip"},
        {"kind": "problem", "note": "x" * 301},
    ],
)
def test_a_report_that_makes_no_sense_is_refused(values: dict[str, object]) -> None:
    with pytest.raises(ValueError, match=r"\."):
        NewEntry(client_uuid=uuid.uuid4(), job_id=1, at=at(9), **values)  # type: ignore[arg-type]


# --- The sheet


# Rigid ridge vent in 4 ft sections, 1/8 in apart, 10 nails each [common practice, no source].
@pytest.mark.parametrize(("feet", "sections"), [(24, 6), (36, 9), (40, 10), (42, 11)])
def test_a_ridge_needs_so_many_vent_sections(feet: float, sections: int) -> None:
    assert vent_sections(feet) == sections


def test_nails_of_a_forty_foot_ridge() -> None:
    found = {f.code: f for f in fasteners_for(("ridge",), 0.0, 40.0, 6.0)}
    assert found["vent_nail"].total == 100
    assert found["cap_shingle_nail"].total == 384  # 96 caps at 5 in, 4 nails each


# ASTM-size strip shingle: 80 to a square, 4 nails each at or below 21/12 (2018 IRC R905.2.6): 320 a square.
def test_field_nails_of_a_square() -> None:
    [field] = fasteners_for(("field",), 1.0, 0.0, 6.0)
    assert (field.total, field.length_in) == (320, 1.25)
    [steep] = fasteners_for(("field",), 1.0, 0.0, 22.0)
    assert steep.total == 480


def conditions(**values: object) -> DayConditions:
    base: dict[str, object] = {
        "pitch_in_12": 3.0,
        "storeys": 1,
        "thunder_first": False,
        "gust_max_mph": 12.0,
        "gust_limit_mph": 30.0,
        "temp_min_f": 60.0,
        "heat_index_max_f": 75.0,
        "frost": False,
    }
    return DayConditions(**{**base, **values})  # type: ignore[arg-type]


def test_tying_off_is_said_at_any_pitch() -> None:
    # 29 CFR 1926.501(b)(13): residential construction, 6 ft and above, whatever the slope.
    for pitch in (1.0, 4.0, 12.0):
        first = cautions_for(conditions(pitch_in_12=pitch))[0]
        assert (first.code, first.limit, first.reference) == ("tie_off", 6.0, "29 CFR 1926.501(b)(13)")


def test_a_roof_is_steep_above_four_in_twelve() -> None:
    # 29 CFR 1926.500(b): steep roof means a slope greater than 4 in 12.
    assert "steep" not in {c.code for c in cautions_for(conditions(pitch_in_12=4.0))}
    assert "steep" in {c.code for c in cautions_for(conditions(pitch_in_12=4.5))}


@pytest.mark.parametrize(
    ("values", "code"),
    [
        ({"thunder_first": True}, "thunder_today"),
        ({"gust_max_mph": 31.0}, "gust_over"),
        ({"gust_max_mph": None}, "gust_unknown"),
        ({"heat_index_max_f": 82.0}, "heat"),
        ({"heat_index_max_f": 95.0}, "heat_high"),
        ({"temp_min_f": 30.0}, "frost"),
        ({"hazards": "dog"}, "site"),
        ({"storeys": 2}, "chute"),
        ({"skylights": 1}, "skylight"),
    ],
)
def test_the_days_conditions_bring_their_caution(values: dict[str, object], code: str) -> None:
    assert code in {c.code for c in cautions_for(conditions(**values))}


def test_steps_begin_with_set_up_and_end_with_clean_up() -> None:
    steps = steps_for(("field", "tear_off"))
    assert [group.phase for group in steps] == ["set_up", "tear_off", "field", "clean_up"]


# --- Loads


def planned_day(hours: tuple[tuple[str, float], ...], torn: float) -> PlannedDay:
    return PlannedDay(date(2026, 7, 14), at(7), at(17), torn, torn, 0.0, 0.0, 40.0, 0.0, hours)


def test_phases_share_the_day_by_their_labor_hours() -> None:
    spans = phase_spans(planned_day((("set_up", 5), ("tear_off", 20), ("deck", 5), ("field", 20), ("wait", 3)), 7.0))
    assert [(s.phase, s.start, s.end) for s in spans] == [
        ("set_up", at(7), at(8)),
        ("tear_off", at(8), at(12)),
        ("deck", at(12), at(13)),
        ("field", at(13), at(17)),
    ]


def test_a_dumpster_stands_before_the_first_tear_off() -> None:
    times = times_of_plan([planned_day((("set_up", 5), ("tear_off", 45)), 7.0)], 7.0, at(17))
    found = load_window(LoadAsk("dumpster_drop", "ground", "tear_off"), times, layers=1)
    assert found.need_by is not None
    assert found.need_by == at(7.5)  # half an hour before 8 am
    assert fit_of((at(7), at(7.25)), found).code == "fits"
    late = fit_of((at(8), at(8.5)), found)
    assert (late.code, late.minutes) == ("too_late", 60)
    early = fit_of((at(7) - timedelta(days=3), at(7.25) - timedelta(days=3)), found)
    assert early.code == "too_early"


def test_a_container_is_full_after_so_many_squares() -> None:
    # 300 lb per square and layer: 6,000 lb are 20 squares of one layer, 10 of two.
    times = JobTimes(torn=((at(7), 0.0), (at(17), 20.0)))
    one = load_window(LoadAsk("dumpster_swap", "ground", "", 3000), times, layers=1)
    assert one.need_by == at(12)
    two = load_window(LoadAsk("dumpster_swap", "ground", "", 3000), times, layers=2)
    assert two.need_by == at(9.5)


def test_a_proposed_slot_waits_out_rain_and_gusts_and_stays_in_its_window() -> None:
    times = JobTimes(first_tear_off=at(15), phase_starts=(("tear_off", at(15)),))
    found = load_window(LoadAsk("equipment", "ground", "tear_off"), times, layers=1)
    hours = [SkyHour(at(h), gust_mph=10.0, wet=h in (8, 9)) for h in range(24)]
    assert proposed_slot(found, 30, at(6), at(7), at(17), hours) == at(7)
    assert proposed_slot(found, 30, at(7.1), at(7), at(17), hours) == at(10)
    gusty = [SkyHour(at(h), gust_mph=35.0) for h in range(24)]
    assert proposed_slot(found, 30, at(6), at(7), at(17), gusty, 20.0) is None
    assert proposed_slot(found, 30, at(14), at(7), at(17), hours) is None


def test_a_load_without_a_plan_has_no_window() -> None:
    found = load_window(LoadAsk("materials", "ground", "field"), JobTimes(), layers=1)
    assert fit_of((at(9), at(9.5)), found).code == "not_planned"


# --- What made a verdict new


def basis(forecast: int = 1, others: str = "a", hour: float = 6, *, usable: bool = True) -> Basis:
    return Basis(forecast, usable, others, at(hour))


@pytest.mark.parametrize(
    ("new", "hour", "heard", "due", "expected"),
    [
        (basis(), 7, None, 20.0, Trigger.TIME),
        (basis(forecast=2), 7, None, 20.0, Trigger.SKY),
        (basis(others="b"), 7, None, 20.0, Trigger.OTHER),
        (basis(usable=False), 7, None, 20.0, Trigger.OTHER),
        (basis(), 9.5, None, 20.0, Trigger.OTHER),  # three hours without a word
        (basis(), 9.5, 8.0, 20.0, Trigger.TIME),
        (basis(), 8, None, 7.5, Trigger.OTHER),  # the dry-in time has passed
    ],
)
def test_what_makes_a_verdict_new(new: Basis, hour: float, heard: float | None, due: float, expected: Trigger) -> None:
    found = trigger_of(
        new,
        basis(),
        opens=True,
        dry_in_by=at(due),
        last_report=None if heard is None else at(heard),
        now=at(hour),
    )
    assert found is expected
