"""The walk on worked examples with figures that can be followed by hand."""

from dataclasses import replace

import pytest

from crews.planner.problem import Policy, Run, StepKind
from crews.planner.roofday import walk
from jobs.phases import Phase
from tests.factories.skies import HANDBOOK_HOURS, at, make_day, make_ridge, make_roof, make_section, make_sky
from weather.work_hours import Kind


def starts(run: Run, kind: StepKind) -> list[float]:
    """Hours of the test day at which steps of a kind begin."""
    return [(s.start - at(0)).total_seconds() / 3600 for s in run.steps if s.kind is kind]


def test_a_crew_of_five_opens_and_closes_about_fourteen_squares_in_eight_hours() -> None:
    """Handbook hours (building construction cost data, CSI 07 05 05.10 and 07 31 13.10, with 0.15 h/sq of deck work).

    Tear-off through dry-in of a 14.087 square gable at 6/12 takes about 2.04 labor-hours a square, so five people open
    and close 19.6 squares in eight hours; 70 % of it, 13.8, is a rule of thumb (common practice, no source). The walk
    keeps a labor reserve of 85 %, ties every strip in and is not limited by this roof's size here: same order.
    """
    hours = {**HANDBOOK_HOURS, Phase.TEAR_OFF: 1.343, Phase.DECK: 0.273, Phase.UNDERLAYMENT: 0.297}
    assert sum(hours[p] for p in (Phase.TEAR_OFF, Phase.DECK, Phase.ICE_BARRIER, Phase.UNDERLAYMENT)) == pytest.approx(
        2.036, abs=0.002
    )
    sections = [make_section(n, hours_per_square=hours) for n in range(1, 5)]
    roof = make_roof(*sections, ridges=(), started=True, later_set_up_minutes=0.0, clean_up_minutes=0.0)
    run = walk(roof, [make_day(begin=8, end=16)], make_sky(24), at(8), Policy(shift_end_margin_minutes=0))
    rule_of_thumb = 0.7 * 8 * 5 / 2.036
    assert rule_of_thumb == pytest.approx(13.8, abs=0.2)
    assert rule_of_thumb < run.in_all_today_squares < 19.6


def test_a_dry_day_ends_with_the_gable_dried_in_and_the_stop_line_at_its_end() -> None:
    run = walk(make_roof(), [make_day()], make_sky(24), at(6), Policy())
    assert run.in_all_today_squares == pytest.approx(14.087)
    assert run.opened_section_ids == (1, 2)
    assert (run.stop_section_id, run.stop_squares_into_section) == (2, pytest.approx(7.0435))
    assert run.dry_in_by == at(15.25)  # the shift's end less the clean-up
    assert run.p_wet == 0.0


def test_a_storm_at_three_lets_less_be_opened_and_sets_the_dry_in_moment_an_hour_before() -> None:
    run = walk(make_roof(), [make_day()], make_sky(24, wet=range(15, 19)), at(6), Policy())
    assert run.dry_in_by == at(14)
    assert run.dry_in_cause == (at(15), "rain", 0.7, None)
    assert run.in_all_today_squares == pytest.approx(12.326, abs=0.001)
    assert run.stop_squares_into_section == pytest.approx(12.326 - 7.0435, abs=0.001)
    assert max(s.end for s in run.steps if s.kind is StepKind.TIE_IN) <= at(14)


def test_the_margin_before_rain_is_thirty_per_cent_of_a_long_closing() -> None:
    slow = make_section(1, old=5.0, hours_per_square={**HANDBOOK_HOURS, Phase.UNDERLAYMENT: 6.0})
    policy = Policy(rain_margin_min_minutes=0.0, bare_at_once_squares=5.0)
    run = walk(make_roof(slow, ridges=()), [make_day(end=20)], make_sky(24, wet=[20, 21]), at(6), policy)
    closing = max(s.end for s in run.steps if s.kind in (StepKind.UNDERLAYMENT, StepKind.TIE_IN))
    hours = sum(s.labor_hours for s in run.steps if s.kind in (StepKind.DECK, StepKind.UNDERLAYMENT)) / 5
    assert at(20) - closing >= 0.3 * hours * (at(1) - at(0))


def test_the_walk_reads_the_chance_of_the_whole_open_window() -> None:
    threshold = Policy(rain_open_chance=0.10, rain_manager_cap=0.20)
    dry = walk(make_roof(), [make_day()], make_sky(24, base_pop=0.02), at(6), threshold)
    damp = walk(make_roof(), [make_day()], make_sky(24, base_pop=0.11), at(6), threshold)
    assert dry.in_all_today_squares > 0
    assert damp.in_all_today_squares == 0
    assert damp.reasons[0][1:] == ("rain", 0.11, 0.10)


def test_the_managers_cap_holds_even_where_the_cost_ratio_is_higher() -> None:
    run = walk(
        make_roof(),
        [make_day()],
        make_sky(24, base_pop=0.15),
        at(6),
        Policy(rain_open_chance=0.4, rain_manager_cap=0.14),
    )
    assert run.in_all_today_squares == 0


def test_an_unknown_forecast_opens_nothing_and_shingles_nothing_new() -> None:
    run = walk(make_roof(), [make_day()], make_sky(24, unknown=range(24)), at(6), Policy())
    assert run.in_all_today_squares == 0
    assert "unknown" in {code for _, code, _, _ in run.reasons}


def test_a_cold_morning_leaves_planes_with_ice_barrier_shut_but_opens_those_without() -> None:
    roof = make_roof(make_section(1), make_section(2, has_ice_barrier=False), ridges=())
    run = walk(roof, [make_day()], make_sky(24, forbidden={Kind.ICE_BARRIER: range(24)}), at(6), Policy())
    assert run.opened_section_ids == (2,)


def test_wind_over_the_cover_limit_in_the_afternoon_stops_opening_before_it() -> None:
    windy = range(13, 24)
    forbidden = {Kind.UNDERLAYMENT: windy, Kind.TARP: windy}
    run = walk(make_roof(), [make_day()], make_sky(24, forbidden=forbidden), at(6), Policy())
    assert max(s.end for s in run.steps if s.kind is StepKind.TIE_IN) <= at(12)


def test_a_deck_that_must_be_seen_is_torn_off_just_in_time_and_closed_after_the_visit() -> None:
    first = make_section(1, old=4.0, deck_hold=True, deck_hold_from=at(11), deck_hold_until=at(12))
    roof = make_roof(first, ridges=())
    run = walk(roof, [make_day()], make_sky(24), at(6), Policy())
    tear_off = next(s for s in run.steps if s.kind is StepKind.TEAR_OFF)
    deck = next(s for s in run.steps if s.kind is StepKind.DECK)
    underlayment = next(s for s in run.steps if s.kind is StepKind.UNDERLAYMENT)
    assert at(9) < tear_off.start < deck.end <= at(11)
    assert underlayment.start >= at(12)


def test_a_deck_that_must_be_seen_stays_shut_without_a_visit_or_when_rain_follows_it() -> None:
    unbooked = make_roof(make_section(1, deck_hold=True), ridges=())
    run = walk(unbooked, [make_day()], make_sky(24), at(6), Policy())
    assert run.in_all_today_squares == 0
    assert run.reasons[0][1] == "inspection"
    late = make_roof(make_section(1, deck_hold_from=at(13), deck_hold_until=at(13.5)), ridges=())
    assert walk(late, [make_day()], make_sky(24, wet=[14, 15]), at(6), Policy()).in_all_today_squares == 0


def test_a_load_that_is_not_there_blocks_opening_until_it_is() -> None:
    roof = make_roof(material_from={Phase.UNDERLAYMENT: at(10)})
    run = walk(roof, [make_day()], make_sky(24), at(6), Policy())
    assert starts(run, StepKind.TEAR_OFF)[0] == 10.0
    assert run.reasons[0][1] == "load"


def test_shingles_wait_for_their_load_and_their_warmth() -> None:
    roof = make_roof(make_section(1, old=0.0, dried_in_squares=7.0), ridges=(), material_from={Phase.FIELD: at(9.5)})
    cold = make_sky(24, forbidden={Kind.FIELD: range(11)})
    assert starts(walk(roof, [make_day()], make_sky(24), at(6), Policy()), StepKind.FIELD)[0] == 9.5
    assert starts(walk(roof, [make_day()], cold, at(6), Policy()), StepKind.FIELD)[0] == 11.0


def test_a_ridge_is_opened_only_for_as_many_feet_as_are_finished_in_time() -> None:
    sides = (make_section(1, old=0.0, shingled_squares=7.0), make_section(2, old=0.0, shingled_squares=7.0))
    roof = make_roof(*sides, ridges=(make_ridge(labor_hours_per_ft=0.4),), started=True)
    run = walk(roof, [make_day(people=2)], make_sky(24, wet=[12, 13, 14, 15, 16]), at(6), Policy())
    ridge = [s for s in run.steps if s.kind is StepKind.RIDGE]
    assert ridge
    assert max(s.end for s in ridge) <= at(11)
    assert sum(s.feet for s in ridge) < 42
    assert run.areas[-1].open_ridge_ft == 0
    # The longest slot is what two people vent and cap in two hours with the reserve.
    assert max(a.open_ridge_ft for a in run.areas) <= 2 * 2 * 0.85 / 0.4 + 0.01


def test_a_gusty_day_leaves_the_ridge_papered_over() -> None:
    sides = (make_section(1, old=0.0, shingled_squares=7.0), make_section(2, old=0.0, shingled_squares=7.0))
    run = walk(make_roof(*sides), [make_day()], make_sky(24, forbidden={Kind.OPEN_RIDGE: range(24)}), at(6), Policy())
    assert not starts(run, StepKind.RIDGE)
    plain = make_roof(*sides, ridges=(make_ridge(vented=False),))
    assert starts(
        walk(plain, [make_day()], make_sky(24, forbidden={Kind.OPEN_RIDGE: range(24)}), at(6), Policy()), StepKind.RIDGE
    )


def test_a_break_is_a_step_and_nothing_is_done_in_it() -> None:
    run = walk(make_roof(), [make_day(breaks=((at(12), at(12.5)),))], make_sky(24), at(6), Policy())
    pause = next(s for s in run.steps if s.kind is StepKind.BREAK)
    assert (pause.start, pause.end, pause.labor_hours) == (at(12), at(12.5), 0.0)
    for step in run.steps:
        assert step is pause or step.end <= pause.start or step.start >= pause.end


def test_a_walk_that_starts_in_the_shift_finds_the_crew_set_up() -> None:
    run = walk(make_roof(started=True), [make_day()], make_sky(24), at(11), Policy())
    assert run.steps[0].kind is StepKind.TEAR_OFF
    assert run.steps[0].start == at(11)


def test_squares_opened_earlier_today_count_against_the_offices_limit() -> None:
    roof = make_roof(make_section(1, old=3.5, dried_in_squares=3.5), make_section(2), opened_today_squares=3.5)
    run = walk(roof, [make_day()], make_sky(24), at(9), Policy(own_limit_squares=6.0))
    assert 3.5 < run.in_all_today_squares <= 6.0


def test_the_second_window_after_rain_does_not_count_into_the_limits_of_the_first() -> None:
    roof = make_roof(*[make_section(n) for n in range(1, 7)], ridges=())
    run = walk(roof, [make_day(end=19)], make_sky(24, wet=[11]), at(6), Policy())
    torn = sum(s.squares for s in run.steps if s.kind is StepKind.TEAR_OFF)
    assert run.dry_in_by == at(10)
    assert run.in_all_today_squares < torn


def test_tarped_deck_is_dried_in_before_anything_new_is_opened() -> None:
    roof = make_roof(make_section(1, old=3.0, bare_squares=4.0, tarped_squares=4.0), make_section(2))
    run = walk(roof, [make_day()], make_sky(24), at(6), Policy())
    kinds = [s.kind for s in run.steps if s.kind in (StepKind.TARP, StepKind.TEAR_OFF)]
    assert kinds[0] is StepKind.TARP
    assert kinds[1] is StepKind.TEAR_OFF
    assert run.areas[-1].tarped == 0


def test_a_crew_of_nobody_does_nothing_and_leaves_an_open_roof_open() -> None:
    roof = make_roof(make_section(1, old=3.0, bare_squares=4.0), ridges=())
    run = walk(roof, [make_day(people=0)], make_sky(24), at(6), Policy())
    assert run.steps == ()
    assert run.remaining_open_squares == 4.0
    assert run.finish is None


@pytest.mark.parametrize("people", [2, 4, 8])
def test_with_perfect_forecast_and_rates_nothing_gets_wet(people: int) -> None:
    """The clairvoyant: the truth's rain is the forecast's rain, so no exposure touches a wet hour."""
    wet = [h for h in range(24 * 10) if (h * 7919) % 11 == 0]
    sky = make_sky(24 * 10, wet=wet, pop=dict.fromkeys(wet, 1.0))
    roof = make_roof(*[make_section(n) for n in range(1, 6)], ridges=())
    run = walk(roof, [make_day(day=d, people=people) for d in range(10)], sky, at(6), Policy())
    assert run.p_wet == 0.0
    wet_set = set(wet)
    for exposure in run.exposures:
        first, last = sky.minute(exposure.start) // 60, (sky.minute(exposure.end) - 1e-3) // 60
        assert not wet_set & set(range(int(first), int(last) + 1))


def test_nonsense_is_refused_in_a_sentence() -> None:
    with pytest.raises(ValueError, match="crew day that has not ended"):
        walk(make_roof(), [make_day()], make_sky(24), at(23), Policy())
    with pytest.raises(ValueError, match="zone"):
        walk(make_roof(), [make_day()], make_sky(24), at(6).replace(tzinfo=None), Policy())
    with pytest.raises(ValueError, match="must not be negative"):
        make_section(1, old=-1.0)
    with pytest.raises(ValueError, match="under tarps"):
        make_section(1, tarped_squares=1.0)
    with pytest.raises(ValueError, match="at most 1"):
        Policy(labor_reserve=1.2)
    with pytest.raises(ValueError, match="above zero"):
        replace(make_day(), speed=0.0)
