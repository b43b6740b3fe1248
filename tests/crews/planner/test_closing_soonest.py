"""Open starts that cannot be closed in time: no feasible order closes earlier (brute force on small cases)."""

from itertools import permutations, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crews.planner.problem import Policy, RoofWork, StepKind
from crews.planner.roofday import walk
from jobs.phases import Phase
from tests.factories.skies import at, make_day, make_ridge, make_roof, make_section, make_sky
from weather.work_hours import Kind

PEOPLE, TARP_SQUARES, TARP_RATE, TIE_IN_RATE = 4, 2.5, 0.1, 0.03
MINUTE = 0.05


def end_in_order(order: tuple[tuple[str, float], ...], start: float, allowed: dict[str, set[int]]) -> float:
    """When closing ends if its parts are done one after the other, each only in hours that allow it (24 h at most)."""
    now = start
    for kind, hours_of_labor in order:
        left = hours_of_labor * 60 / PEOPLE
        while left > 1e-9:
            hour = int(now // 60)
            if hour >= 24:
                return float("inf")
            if hour not in allowed[kind]:
                now = (hour + 1) * 60.0
                continue
            step = min(left, (hour + 1) * 60.0 - now)
            now += step
            left -= step
    return now


def brute_force_end(roof: RoofWork, tarps: int, start: float, allowed: dict[str, set[int]]) -> float:
    """The earliest end over every division of the tarps and every order of the parts."""
    best = float("inf")
    per_section = [range(tarps + 1) if s.bare_squares > 0 else range(1) for s in roof.sections]
    for used in product(*per_section):
        if sum(used) > tarps:
            continue
        parts = []
        for number, section in zip(used, roof.sections, strict=True):
            tarped = min(section.bare_squares, number * TARP_SQUARES)
            laid = section.bare_squares - tarped
            if tarped:
                parts.append(("tarp", tarped * TARP_RATE))
            if laid > 1e-9:
                rates = section.hours_per_square
                side = section.run_ft * TIE_IN_RATE if section.old_squares > 0 else 0.0
                parts.append(("underlayment", laid * (rates[Phase.DECK] + rates[Phase.UNDERLAYMENT]) + side))
        for order in permutations(parts):
            best = min(best, end_in_order(order, start, allowed))
    return best


sizes = st.lists(st.tuples(st.floats(0.3, 6), st.booleans()), min_size=1, max_size=3)


@settings(max_examples=150, deadline=None)
@given(sizes, st.integers(0, 3), st.sets(st.integers(7, 18), max_size=8), st.integers(8, 15))
def test_no_feasible_order_closes_earlier(
    bare: list[tuple[float, bool]], tarps: int, windy: set[int], rain_from: int
) -> None:
    check_case(bare, tarps, windy, windy, rain_from)


@settings(max_examples=150, deadline=None)
@given(sizes, st.integers(1, 3), st.sets(st.integers(7, 18), max_size=8), st.sets(st.integers(7, 18), max_size=8))
def test_no_feasible_order_closes_earlier_when_tarps_and_underlayment_have_hours_of_their_own(
    bare: list[tuple[float, bool]], tarps: int, no_tarp: set[int], no_laying: set[int]
) -> None:
    check_case(bare, tarps, no_tarp, no_laying, rain_from=8)


def check_case(
    bare: list[tuple[float, bool]], tarps: int, no_tarp: set[int], no_laying: set[int], rain_from: int
) -> None:
    """Walk the case and compare with brute force."""
    roof = make_roof(
        *(make_section(n + 1, old=3.0 if old else 0.0, bare_squares=b) for n, (b, old) in enumerate(bare)), ridges=()
    )
    sky = make_sky(
        24, wet=range(rain_from, 20), forbidden={Kind.TARP: no_tarp, Kind.UNDERLAYMENT: no_laying, Kind.BARE: no_tarp}
    )
    crew = make_day(begin=7, end=16, people=PEOPLE, tarps=tarps, tarp_squares=TARP_SQUARES)
    run = walk(roof, [crew], sky, at(7), Policy())
    if run.closes_in_time:
        return
    allowed = {"tarp": set(range(24)) - no_tarp, "underlayment": set(range(24)) - no_laying}
    best = brute_force_end(roof, tarps, 7 * 60.0, allowed)
    closed = next((sky.minute(a.at) for a in run.areas if a.bare <= 0.002), float("inf"))
    assert closed <= best + MINUTE
    assert run.remaining_open_squares == pytest.approx(0, abs=0.002)


def test_what_cannot_be_closed_is_reported_as_exposed() -> None:
    roof = make_roof(make_section(1, old=0.0, bare_squares=4.0), ridges=())
    sky = make_sky(24, danger=range(7, 24))
    run = walk(roof, [make_day()], sky, at(7), Policy())
    assert run.remaining_open_squares == 4.0
    assert not run.closes_in_time
    assert run.exposures[0].peak_squares == 4.0
    assert run.nights_open == 1


def test_closing_goes_on_after_the_shift_in_the_dark_and_through_the_break() -> None:
    roof = make_roof(make_section(1, old=0.0, bare_squares=9.0), ridges=())
    sky = make_sky(24, wet=range(15, 24), danger=range(13, 22))
    crew = make_day(end=16, people=2, tarps=1, breaks=((at(12), at(12.5)),))
    run = walk(roof, [crew], sky, at(12), Policy())
    assert run.steps[0].kind is StepKind.TARP
    assert run.steps[0].start == at(12)
    assert any(step.kind is StepKind.WAIT and step.end == at(22) for step in run.steps)
    assert run.remaining_open_squares == 0.0
    assert [s.start >= at(22) for s in run.steps if s.kind is StepKind.UNDERLAYMENT] == [False, True]


def test_an_open_ridge_is_covered_before_the_deck_when_there_is_no_time() -> None:
    roof = make_roof(
        make_section(1, old=0.0, bare_squares=2.0), make_section(2, old=0.0, shingled_squares=7.0),
        ridges=(make_ridge(open_ft=20.0),),
    )  # fmt: skip
    run = walk(roof, [make_day()], make_sky(24, wet=range(7, 20)), at(7), Policy())
    assert run.steps[0].kind is StepKind.COVER_RIDGE
    assert run.steps[0].feet == 20.0
    assert run.areas[-1].open_ridge_ft == 0.0


def test_a_wet_deck_goes_under_tarps_and_underlayment_only_closes_what_tarps_do_not_reach() -> None:
    roof = make_roof(make_section(1, old=2.0, bare_squares=4.0), ridges=(), wet_deck=True)
    run = walk(roof, [make_day(tarps=1)], make_sky(24), at(7), Policy())
    tarped = sum(s.squares for s in run.steps if s.kind is StepKind.TARP)
    laid = sum(s.squares for s in run.steps if s.kind is StepKind.UNDERLAYMENT)
    assert tarped == pytest.approx(2.5)
    assert laid == pytest.approx(1.5)
    assert run.in_all_today_squares == pytest.approx(4.0)
    assert "closing_late" in [code for _, code, _, _ in run.reasons]


def test_in_a_hurry_the_ice_barrier_is_owed_and_said_so() -> None:
    roof = make_roof(make_section(1, old=0.0, bare_squares=5.0), ridges=())
    run = walk(roof, [make_day(tarps=0)], make_sky(24, wet=range(8, 20)), at(7), Policy())
    assert not any(step.kind is StepKind.ICE_BARRIER for step in run.steps)
    assert "ice_barrier_owed" in [code for _, code, _, _ in run.reasons]
