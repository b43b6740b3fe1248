"""What no walk may ever do, whatever the sky, the roof and the crew (hypothesis)."""

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from crews.planner.exposure import Sky
from crews.planner.problem import CrewDay, Policy, RoofWork, Run, StepKind
from crews.planner.roofday import walk
from crews.planner.walk_state import FEET_SLACK
from jobs.phases import Phase
from tests.factories.skies import at, make_day, make_ridge, make_roof, make_section, make_sky
from weather.work_hours import Kind

HOURS = 72
CLOSING_STEPS = (StepKind.UNDERLAYMENT, StepKind.TARP, StepKind.COVER_RIDGE)
SOME = 0.002  # squares or feet above rounding

hours = st.sets(st.integers(0, HOURS - 1), max_size=14)
chances = st.dictionaries(st.integers(0, HOURS - 1), st.sampled_from([None, 0.02, 0.06, 0.12, 0.19]), max_size=20)


@st.composite
def skies(draw: st.DrawFn) -> Sky:
    """Three days with rain, danger, cold, wind, unknown hours and chances strewn over them."""
    stormy = draw(hours)
    wind = draw(hours)
    return make_sky(
        HOURS,
        wet=draw(hours),
        danger=stormy,
        unknown=draw(st.sets(st.integers(0, HOURS - 1), max_size=6)),
        forbidden={
            Kind.ICE_BARRIER: draw(hours) | wind,
            Kind.FIELD: draw(hours),
            Kind.RIDGE: draw(hours),
            Kind.OPEN_RIDGE: wind,
            Kind.TEAR_OFF: wind,
            Kind.BARE: wind,
            Kind.UNDERLAYMENT: wind | stormy,
            Kind.TARP: wind | stormy,
        },
        pop=draw(chances),
        base_pop=draw(st.sampled_from([0.0, 0.01, 0.03])),
    )


@st.composite
def roofs(draw: st.DrawFn, opened: bool = False) -> RoofWork:
    """One to four planes, some with work done, holds and late loads; opened: some deck bare or ridge open."""
    sections = []
    for number in range(1, draw(st.integers(1, 4)) + 1):
        squares = draw(st.floats(0.5, 12))
        done = draw(st.floats(0, 1))
        section = make_section(
            number,
            old=squares * done,
            dried_in_squares=squares * (1 - done) * 0.5,
            shingled_squares=squares * (1 - done) * 0.5,
            eave_ft=draw(st.floats(8, 60)),
            run_ft=draw(st.floats(6, 30)),
            detail_closing_labor_hours=draw(st.floats(0, 3)),
            deck_hold=draw(st.booleans()) and draw(st.booleans()),
        )
        if draw(st.integers(0, 5)) == 0:
            window = draw(st.integers(8, 30))
            section = replace(section, deck_hold_from=at(window), deck_hold_until=at(window + 0.5))
        if opened and draw(st.booleans()):
            bare = min(section.old_squares, draw(st.floats(0.1, 6)))
            section = replace(section, old_squares=section.old_squares - bare, bare_squares=bare)
        sections.append(section)
    ids = tuple(s.section_id for s in sections)
    ridge = make_ridge(sections=ids, open_ft=draw(st.floats(0, 20)) if opened else 0.0)
    late = {Phase.UNDERLAYMENT: at(draw(st.integers(6, 30)))} if draw(st.integers(0, 4)) == 0 else {}
    wet = opened and draw(st.booleans())
    return make_roof(*sections, ridges=(ridge,), material_from=late, wet_deck=wet)


@st.composite
def crews(draw: st.DrawFn) -> list[CrewDay]:
    """One crew over three days."""
    people, speed = draw(st.sampled_from([2, 3.5, 5, 7])), draw(st.sampled_from([0.7, 1.0, 1.4]))
    lunch = draw(st.booleans())
    return [
        make_day(
            begin=draw(st.sampled_from([6.5, 7, 8])),
            end=draw(st.sampled_from([15, 16, 17.5, 21])),
            people=people,
            day=day,
            speed=speed,
            tarps=draw(st.integers(0, 3)),
            breaks=((at(12 + 24 * day), at(12.5 + 24 * day)),) if lunch else (),
        )
        for day in range(3)
    ]


def forbidden_slots(sky: Sky, begin: float, end: float) -> list[int]:
    """Slots of a span that are flagged wet, dark or lie beyond the sky."""
    first, last = int((begin + 1e-3) // sky.slot_minutes), int((end - 1e-3) // sky.slot_minutes)
    return [s for s in range(first, last + 1) if s >= len(sky.wet) or sky.wet[s] or sky.dark[s]]


def open_spans(run: Run, sky: Sky) -> list[tuple[float, float]]:
    """Spans with bare deck or an open slot, read off the areas and the tear-off steps (not off run.exposures)."""
    spans = []
    for before, after in zip(run.areas, run.areas[1:], strict=False):
        if before.bare > SOME or after.bare > SOME or before.open_ridge_ft > SOME or after.open_ridge_ft > SOME:
            spans.append((sky.minute(before.at), sky.minute(after.at)))
    spans += [(sky.minute(s.start), sky.minute(s.end)) for s in run.steps if s.kind is StepKind.TEAR_OFF]
    return spans


@settings(max_examples=250, deadline=None)
@given(skies(), roofs(), crews())
def test_a_start_with_nothing_open_never_lies_open_in_a_wet_hour_in_the_dark_or_overnight(
    sky: Sky, roof: RoofWork, days: list[CrewDay]
) -> None:
    run = walk(roof, days, sky, at(6), Policy())
    for begin, end in open_spans(run, sky):
        assert not forbidden_slots(sky, begin, end)
        assert sky.moment(begin).date() == sky.moment(end - 1e-3).date()
    assert run.nights_open == 0
    assert run.remaining_open_squares == 0
    assert run.closes_in_time


@settings(max_examples=150, deadline=None)
@given(skies(), roofs(), crews())
def test_the_chance_of_rain_in_every_open_window_stays_below_the_threshold(
    sky: Sky, roof: RoofWork, days: list[CrewDay]
) -> None:
    policy = Policy()
    run = walk(roof, days, sky, at(6), policy)
    for exposure in run.exposures:
        chance = sky.chance(sky.minute(exposure.start), sky.minute(exposure.end))
        assert chance is not None
        assert chance < policy.rain_threshold
        assert exposure.peak_squares <= policy.bare_at_once_squares + SOME


@settings(max_examples=200, deadline=None)
@given(skies(), st.booleans().flatmap(lambda opened: roofs(opened=opened)), crews())
def test_squares_and_feet_are_conserved_and_never_negative(sky: Sky, roof: RoofWork, days: list[CrewDay]) -> None:
    run = walk(roof, days, sky, at(6), Policy())
    total = sum(s.squares for s in roof.sections)
    for areas in run.areas:
        parts = (areas.old, areas.bare, areas.tarped, areas.dried_in, areas.shingled)
        assert min(parts) >= -1e-9
        assert abs(sum(parts) - total) < 0.02
    torn = sum(s.squares for s in run.steps if s.kind is StepKind.TEAR_OFF)
    assert abs(run.areas[0].old - run.areas[-1].old - torn) < 0.02


@settings(max_examples=200, deadline=None)
@given(skies(), st.booleans().flatmap(lambda opened: roofs(opened=opened)), crews())
def test_every_step_is_done_in_hours_that_allow_it_and_steps_follow_each_other(
    sky: Sky, roof: RoofWork, days: list[CrewDay]
) -> None:
    run = walk(roof, days, sky, at(6), Policy())
    kinds = {
        StepKind.TEAR_OFF: "tear_off",
        StepKind.ICE_BARRIER: "ice_barrier",
        StepKind.FIELD: "field",
        StepKind.RIDGE: "ridge",
        StepKind.UNDERLAYMENT: "underlayment",
        StepKind.TARP: "tarp",
    }
    for before, after in zip(run.steps, run.steps[1:], strict=False):
        assert before.start <= before.end <= after.start
    for step in run.steps:
        if step.kind in kinds:
            row = sky.allowed[kinds[step.kind]]
            first = int((sky.minute(step.start) + 0.05) // sky.slot_minutes)
            last = int((sky.minute(step.end) - 0.05) // sky.slot_minutes)
            assert all(row[slot] for slot in range(first, last + 1))


@settings(max_examples=200, deadline=None)
@given(skies(), roofs(opened=True), crews())
def test_an_open_start_opens_more_only_if_all_closes_in_time_and_else_begins_closing_at_the_first_permitted_hour(
    sky: Sky, roof: RoofWork, days: list[CrewDay]
) -> None:
    run = walk(roof, days, sky, at(6), Policy())
    first_day_end = days[0].end
    was_open = any(s.bare_squares > SOME for s in roof.sections) or any(r.open_ft > 0.02 for r in roof.ridges)
    if not was_open:
        return
    torn = [s for s in run.steps if s.kind is StepKind.TEAR_OFF and s.start < first_day_end]
    closing = [s for s in run.steps if s.kind in CLOSING_STEPS or s.kind is StepKind.DECK]
    arrival = sky.minute(days[0].start)
    permitted = min(sky.next_allowed("underlayment", arrival), sky.next_allowed("tarp", arrival))
    if run.closes_in_time:
        assert sky.minute(closing[0].start) == arrival
        for step in torn:
            assert run.areas[0].bare == 0 or min(a.bare for a in run.areas if a.at <= step.start) <= SOME
    else:
        assert not torn
        if permitted < sky.minute(days[1].start):
            assert abs(sky.minute(closing[0].start) - permitted) < 0.02


@settings(max_examples=150, deadline=None)
@given(skies(), roofs(opened=True), crews(), st.sampled_from(["hold", "wet_deck", "cold", "unknown", "load", "held"]))
def test_no_hold_moisture_cold_unknown_forecast_or_load_ever_delays_closing(
    sky: Sky, roof: RoofWork, days: list[CrewDay], against: str
) -> None:
    policy = Policy()
    worse_roof, worse_sky, worse_policy = roof, sky, policy
    if against == "hold":
        worse_roof = replace(roof, sections=tuple(replace(s, deck_hold=True) for s in roof.sections))
    elif against == "wet_deck":
        worse_roof = replace(roof, wet_deck=True)
    elif against == "cold":
        never = [False] * len(sky.wet)
        worse_sky = replace(sky, allowed={**sky.allowed, **dict.fromkeys(("ice_barrier", "field", "ridge"), never)})
    elif against == "unknown":
        never = [False] * len(sky.wet)
        blank = {**sky.allowed, **dict.fromkeys(("tear_off", "bare", "open_ridge", "field"), never)}
        worse_sky = replace(sky, allowed=blank, known=never, wet=[True] * len(never), pop=[None] * len(sky.pop))
    elif against == "load":
        worse_roof = replace(roof, material_from={phase: at(400) for phase in Phase})
    else:
        worse_policy = replace(policy, held=True)
    before = closed_at(walk(roof, days, sky, at(6), policy), sky)
    after = closed_at(walk(worse_roof, days, worse_sky, at(6), worse_policy), sky)
    # Either way closing is over no later than by the soonest order of the same day.
    if before is not None:
        assert after is not None
        assert after <= before + 0.1


def closed_at(run: Run, sky: Sky) -> float | None:
    """The first minute at which nothing that was open at the start lies open, or None."""
    start_open = run.areas[0].bare > SOME or run.areas[0].open_ridge_ft > FEET_SLACK
    if not start_open:
        return 0.0
    for areas in run.areas:
        if areas.bare <= SOME and areas.open_ridge_ft <= FEET_SLACK:
            return sky.minute(areas.at)
    return None


@settings(max_examples=60, deadline=None)
@given(skies(), roofs(), crews())
def test_the_same_walk_is_found_again(sky: Sky, roof: RoofWork, days: list[CrewDay]) -> None:
    assert walk(roof, days, sky, at(6), Policy()) == walk(roof, days, sky, at(6), Policy())


@settings(max_examples=100, deadline=None)
@given(skies(), roofs(), crews(), st.floats(0, 6))
def test_a_tighter_office_limit_or_a_hold_never_opens_more(
    sky: Sky, roof: RoofWork, days: list[CrewDay], limit: float
) -> None:
    run = walk(roof, days[:1], sky, at(6), Policy(own_limit_squares=limit))
    assert run.in_all_today_squares <= limit + SOME
    assert walk(roof, days[:1], sky, at(6), Policy(held=True)).in_all_today_squares == 0


@settings(max_examples=100, deadline=None)
@given(skies(), roofs(), crews())
def test_nothing_lies_bare_at_the_dry_in_moment_and_both_limits_hold_until_then(
    sky: Sky, roof: RoofWork, days: list[CrewDay]
) -> None:
    run = walk(roof, days[:1], sky, at(6), Policy())
    if run.dry_in_by is None:
        assert run.in_all_today_squares == 0
        return
    until = [a for a in run.areas if a.at <= run.dry_in_by]
    assert until[-1].bare <= SOME
    assert max(a.bare for a in until) <= run.bare_at_once_squares + SOME
    assert until[0].old - until[-1].old <= run.in_all_today_squares + SOME
