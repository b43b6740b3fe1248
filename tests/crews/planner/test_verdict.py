"""The day's verdict: its word, its two figures, its cause, and which of two verdicts holds."""

from dataclasses import replace
from datetime import timedelta

import pytest

from crews.planner.exposure import Sky
from crews.planner.problem import Policy, RoofWork
from crews.planner.roofday import walk
from crews.planner.verdict import DayVerdict, Word, is_looser, is_tighter, merge_in_force, verdict_of
from tests.factories.skies import at, make_day, make_roof, make_section, make_sky
from weather.work_hours import Kind


def verdict(sky: Sky, roof: RoofWork | None = None, policy: Policy | None = None, hour: float = 6) -> DayVerdict:
    """The verdict of the test day."""
    work, day = roof or make_roof(), make_day()
    return verdict_of(walk(work, [day], sky, at(hour), policy or Policy()), sky, work, at(hour), crew_day=day)


def test_a_storm_in_the_afternoon_is_ok_to_tear_off_with_both_limits_and_a_stop_line() -> None:
    found = verdict(make_sky(24, wet=range(15, 19)))
    assert found.verdict is Word.TEAR_OFF
    assert found.in_all_today_squares == pytest.approx(12.326, abs=0.001)
    assert found.bare_at_once_squares == pytest.approx(3.522, abs=0.001)
    assert found.stop_line is not None
    assert (found.stop_line.section_name, found.stop_line.whole) == ("slope 2", False)
    assert found.dry_in_by == at(14)
    assert (found.because.code, found.because.value, found.because.hour) == ("rain", 0.7, at(15))
    assert [(b.kind, b.code) for b in found.bands][:3] == [
        (Word.TEAR_OFF, ""), (Word.NO_TEAR_OFF, ""), (Word.STAY_OFF, "rain"),
    ]  # fmt: skip


def test_no_band_says_tear_off_at_or_after_the_dry_in_moment() -> None:
    for wet in ([12], [15, 16], [9], [20]):
        found = verdict(make_sky(24, wet=wet))
        for band in found.bands:
            if band.kind is Word.TEAR_OFF:
                assert found.dry_in_by is not None
                assert band.end <= found.dry_in_by + timedelta(hours=1)
                assert band.start < found.dry_in_by


def test_an_unknown_sky_is_unknown_and_opens_nothing() -> None:
    found = verdict(make_sky(24, unknown=range(24)))
    assert (found.verdict, found.because.code) == (Word.UNKNOWN, "unknown")
    assert (found.in_all_today_squares, found.stop_line) == (0.0, None)


def test_an_unknown_sky_over_an_open_roof_says_close_it() -> None:
    roof = make_roof(make_section(1, old=3.0, bare_squares=4.0), ridges=())
    found = verdict(make_sky(24, unknown=range(24)), roof, hour=9)
    assert found.verdict is Word.UNKNOWN
    assert found.must_close
    assert found.bare_now_squares == 4.0
    assert found.in_all_today_squares == 4.0


def test_danger_all_day_is_stay_off_and_so_is_rain_all_day() -> None:
    assert verdict(make_sky(24, danger=range(6, 20))).verdict is Word.STAY_OFF
    rainy = verdict(make_sky(24, wet=range(24)))
    assert (rainy.verdict, rainy.because.code) == (Word.STAY_OFF, "rain")


def test_a_day_off_the_roof_names_its_cause_even_where_the_walk_noted_none() -> None:
    sky, work, day = make_sky(24, wet=range(24)), make_roof(), make_day()
    run = replace(walk(work, [day], sky, at(6), Policy()), reasons=())
    found = verdict_of(run, sky, work, at(6), crew_day=day)
    assert found.verdict is Word.STAY_OFF
    assert [reason[1:] for reason in found.reasons] == [("rain", found.because.value, found.because.limit)]


def test_nobody_is_told_to_stay_off_an_open_roof_that_may_still_be_covered() -> None:
    roof = make_roof(make_section(1, old=3.0, bare_squares=4.0), ridges=())
    found = verdict(make_sky(24, wet=range(24)), roof, hour=9)
    assert found.verdict is Word.NO_TEAR_OFF
    assert found.must_close
    windy = range(24)
    blown = make_sky(24, danger=range(24), forbidden={Kind.TARP: windy, Kind.UNDERLAYMENT: windy})
    assert verdict(blown, roof, hour=9).verdict is Word.STAY_OFF


def test_a_windy_day_is_shingle_only_with_the_wind_as_its_cause() -> None:
    windy = range(24)
    found = verdict(make_sky(24, forbidden={Kind.TEAR_OFF: windy, Kind.UNDERLAYMENT: windy, Kind.TARP: windy}))
    assert found.verdict is Word.NO_TEAR_OFF
    assert found.in_all_today_squares == 0.0


def test_a_roof_with_nothing_old_left_has_nothing_to_open() -> None:
    roof = make_roof(make_section(1, old=0.0, dried_in_squares=7.0), make_section(2, old=0.0, dried_in_squares=7.0))
    found = verdict(make_sky(24), roof)
    assert (found.verdict, found.because.code) == (Word.NO_TEAR_OFF, "nothing_to_open")


def test_a_held_roof_says_so() -> None:
    found = verdict(make_sky(24), policy=Policy(held=True))
    assert (found.verdict, found.because.code) == (Word.NO_TEAR_OFF, "held")


BASE = verdict(make_sky(24, wet=range(15, 19)))


@pytest.mark.parametrize(
    ("change", "tighter", "looser"),
    [
        ({}, False, False),
        ({"in_all_today_squares": 9.0}, True, False),
        ({"bare_at_once_squares": 2.0}, True, False),
        ({"dry_in_by": at(12)}, True, False),
        ({"dry_in_by": at(15)}, False, True),
        ({"in_all_today_squares": 13.0}, False, True),
        ({"in_all_today_squares": 13.0, "dry_in_by": at(12)}, True, True),
        ({"verdict": Word.STAY_OFF, "stop_line": None}, True, False),
        ({"must_close": True}, True, False),
        ({"in_all_today_squares": BASE.in_all_today_squares - 0.01}, False, False),
    ],
)
def test_tighter_and_looser_are_told_apart(change: dict[str, object], tighter: bool, looser: bool) -> None:
    new = replace(BASE, **change)  # type: ignore[arg-type]
    assert is_tighter(new, BASE) is tighter
    assert is_looser(new, BASE) is looser


def test_a_tighter_verdict_holds_at_once_and_a_looser_one_waits() -> None:
    tighter = replace(BASE, in_all_today_squares=6.0, dry_in_by=at(11))
    assert merge_in_force(BASE, tighter) == tighter
    held = merge_in_force(tighter, BASE)
    assert (held.in_all_today_squares, held.dry_in_by) == (6.0, at(11))


def test_of_a_mixed_change_only_the_tighter_parts_hold() -> None:
    mixed = replace(BASE, in_all_today_squares=14.0, dry_in_by=at(12))
    held = merge_in_force(BASE, mixed)
    assert held.in_all_today_squares == BASE.in_all_today_squares
    assert held.stop_line == BASE.stop_line
    assert held.dry_in_by == at(12)
    assert not is_looser(held, BASE)
    assert not is_tighter(mixed, held)


def test_a_stricter_word_holds_without_a_stop_line() -> None:
    shut = replace(BASE, verdict=Word.UNKNOWN, stop_line=None, in_all_today_squares=0.0, dry_in_by=None)
    held = merge_in_force(BASE, shut)
    assert (held.verdict, held.stop_line, held.in_all_today_squares) == (Word.UNKNOWN, None, 0.0)
    back = merge_in_force(shut, BASE)
    assert (back.verdict, back.in_all_today_squares) == (Word.UNKNOWN, 0.0)


def test_a_stop_line_without_a_tear_off_is_refused() -> None:
    with pytest.raises(ValueError, match="stop line"):
        replace(BASE, verdict=Word.STAY_OFF)
