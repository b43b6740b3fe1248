"""When a load may come and where it may lie (common practice, no source)."""

from dataclasses import replace
from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.delivery_window import (
    JobMoments,
    LoadKind,
    Place,
    RoofThen,
    SlopeThen,
    ask_by,
    place_for,
    trucks,
    window,
)

MONDAY = datetime(2026, 10, 12, 12, 0, tzinfo=UTC)
OLD = SlopeThen(7.0, 0.0, 0.0, 0.0)
DRIED_IN = SlopeThen(0.0, 0.0, 7.0, 0.0)
SHINGLED = SlopeThen(0.0, 0.0, 0.0, 7.0)


def test_a_sound_old_roof_carries_a_load_on_both_slopes() -> None:
    assert place_for(RoofThen((OLD, OLD), old_roof_sound=True)).place is Place.ROOF


def test_what_is_dried_in_carries_a_load() -> None:
    assert place_for(RoofThen((DRIED_IN, DRIED_IN))).place is Place.ROOF


@pytest.mark.parametrize(
    ("roof", "code"),
    [
        (RoofThen((OLD, OLD)), "old_roof_unknown"),
        (RoofThen((OLD, OLD), old_roof_sound=True, allowed=False), "not_allowed"),
        (RoofThen((OLD, OLD), old_roof_sound=True, slot_open_ft=3), "slot_open"),
        (RoofThen((DRIED_IN, SlopeThen(5, 2, 0, 0)), old_roof_sound=True), "bare_deck"),
        (RoofThen((DRIED_IN, DRIED_IN, replace(SHINGLED, shingled_today_squares=2))), "fresh_shingles"),
        (RoofThen((DRIED_IN, SHINGLED)), "one_slope"),
        (RoofThen((DRIED_IN, DRIED_IN), deck_repaired=False), "deck_not_repaired"),
        (RoofThen(()), "unknown"),
    ],
)
def test_everything_else_goes_to_the_ground_with_its_reason(roof: RoofThen, code: str) -> None:
    verdict = place_for(roof)
    assert verdict.place is Place.GROUND
    assert verdict.code == code
    assert verdict.why


areas = st.floats(0, 10)


@given(st.lists(st.builds(SlopeThen, areas, areas, areas, areas, areas), max_size=6), st.booleans(), st.floats(0, 40))
def test_no_load_ever_lies_on_bare_deck_fresh_shingles_or_beside_an_open_slot(
    slopes: list[SlopeThen], sound: bool, slot_ft: float
) -> None:
    roof = RoofThen(tuple(slopes), slot_ft, sound)
    if place_for(roof).place is Place.ROOF:
        assert slot_ft == 0
        assert all(s.bare_squares <= 0.01 and s.shingled_today_squares <= 0.01 for s in slopes)
        assert sum(s.carries for s in slopes) >= min(2, len(slopes))


def test_the_container_stands_before_the_first_tear_off_hour() -> None:
    found = window(LoadKind.DUMPSTER_DROP, Place.GROUND, JobMoments(first_tear_off=MONDAY))
    assert found.need_by == MONDAY - timedelta(minutes=30)
    assert found.not_before == found.need_by - timedelta(days=2)


def test_ground_material_comes_at_most_three_days_ahead_of_its_phase() -> None:
    moments = JobMoments(first_tear_off=MONDAY, phase_start=MONDAY + timedelta(hours=4))
    found = window(LoadKind.MATERIALS, Place.GROUND, moments)
    assert found.need_by == MONDAY + timedelta(hours=3)
    assert found.need_by - found.not_before == timedelta(days=3)


def test_roof_material_waits_for_both_slopes_to_be_dried_in_where_its_phase_lets_it() -> None:
    moments = JobMoments(MONDAY, MONDAY + timedelta(days=1), dried_in_both=MONDAY + timedelta(hours=6))
    found = window(LoadKind.MATERIALS, Place.ROOF, moments)
    assert found.not_before == MONDAY + timedelta(hours=6)
    assert found.need_by == MONDAY + timedelta(hours=23)


def test_roof_material_that_cannot_wait_comes_onto_the_old_roof_before_it_is_opened() -> None:
    moments = JobMoments(MONDAY, MONDAY + timedelta(hours=5), dried_in_both=MONDAY + timedelta(days=1))
    found = window(LoadKind.MATERIALS, Place.ROOF, moments)
    assert found.need_by == MONDAY - timedelta(hours=1)
    assert found.not_before == MONDAY - timedelta(days=1, hours=1)


def test_hauls_come_after_the_last_clean_up() -> None:
    found = window(LoadKind.FINAL_HAUL, Place.GROUND, JobMoments(finish=MONDAY))
    assert found.not_before == MONDAY
    assert found.need_by == MONDAY + timedelta(days=2)


def test_a_swap_comes_between_the_first_tear_off_and_the_full_container() -> None:
    moments = JobMoments(first_tear_off=MONDAY, container_full=MONDAY + timedelta(hours=5))
    found = window(LoadKind.DUMPSTER_SWAP, Place.GROUND, moments)
    assert (found.not_before, found.need_by) == (MONDAY, MONDAY + timedelta(hours=5))


@pytest.mark.parametrize("kind", list(LoadKind))
@pytest.mark.parametrize("place", list(Place))
def test_an_unplanned_job_gives_no_window(kind: LoadKind, place: Place) -> None:
    found = window(kind, place, JobMoments())
    assert (found.not_before, found.need_by) == (None, None)


def test_orders_close_on_the_last_work_day_before() -> None:
    zone = ZoneInfo("America/Chicago")
    assert ask_by(MONDAY, time(13, 0), zone) == datetime(2026, 10, 9, 13, 0, tzinfo=zone)
    tuesday = MONDAY + timedelta(days=1)
    assert ask_by(tuesday, time(13, 0), zone) == datetime(2026, 10, 12, 13, 0, tzinfo=zone)


def test_an_order_cutoff_is_wall_time_on_both_sides_of_a_clock_change() -> None:
    """Clocks go back on Sunday, November 1, 2026: 1 pm is 18:00 UTC before and 19:00 UTC after."""
    zone = ZoneInfo("America/Chicago")
    monday, tuesday = datetime(2026, 11, 2, 14, tzinfo=UTC), datetime(2026, 11, 3, 14, tzinfo=UTC)
    assert ask_by(monday, time(13), zone).astimezone(UTC) == datetime(2026, 10, 30, 18, tzinfo=UTC)
    assert ask_by(tuesday, time(13), zone).astimezone(UTC) == datetime(2026, 11, 2, 19, tzinfo=UTC)


@pytest.mark.parametrize(("weight", "n"), [(0, 1), (12000, 1), (12001, 2), (24000, 2)])
def test_trucks_carry_no_more_than_their_payload(weight: float, n: int) -> None:
    assert trucks(weight, 12000) == n


def test_moments_without_a_zone_are_refused() -> None:
    with pytest.raises(ValueError, match="first tear off needs a time zone"):
        JobMoments(first_tear_off=datetime(2026, 10, 12))  # noqa: DTZ001
    with pytest.raises(ValueError, match="payload must be above zero"):
        trucks(100, 0)
    with pytest.raises(ValueError, match="at least one work day"):
        ask_by(MONDAY, time(13), ZoneInfo("UTC"), "")
