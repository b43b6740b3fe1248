"""A roof drop is offered a place on the roof only where the rules for it hold while its truck is there.

The rules are common practice, no source: on a sound old roof or on what is dried-in, both slopes, never over bare deck
or an open slot, never on shingles laid that day; everything else goes on the ground.
"""

from dataclasses import replace
from datetime import timedelta
from uuid import uuid4

import pytest

from crews import actions, queries
from crews.models import Assignment, Decision, EntryKind, ProgressEntry
from crews.planner.plan_problem import PlannedDay
from crews.planner.problem import Policy, Run
from crews.planner.roofday import walk
from crews.roof_at_slot import Slot, by_plan, by_run
from jobs.delivery_window import RoofThen, SlopeThen, place_for
from jobs.models import Load, LoadKind, LoadState, Placement
from jobs.phases import Phase
from roofops.pages.deliveries import load_words
from roofops.pages.sheet import words as sheet_words
from roofops.record.access import Access
from tests.factories.crews import WORK_DAY, SmallYard, local, small_yard
from tests.factories.jobs import LoadFactory
from tests.factories.skies import at, make_day, make_roof, make_sky

SYSTEM = Access.system()
SLOPE = 7.0435
OLD = RoofThen((SlopeThen(SLOPE, 0, 0, 0), SlopeThen(SLOPE, 0, 0, 0)), old_roof_sound=True)
IDS = (1, 2)


def dry_run(shingles_from: float = 0.0) -> Run:
    """Three dry days of a crew of five on the gable; shingles are there from an hour on."""
    roof = make_roof(material_from={Phase.FIELD: at(shingles_from)})
    return walk(roof, [make_day(day=n) for n in range(3)], make_sky(72), at(6), Policy())


def code_in(run: Run, hour: float, roof: RoofThen = OLD, hours: float = 0.5) -> str:
    return place_for(by_run(roof, IDS, run, Slot(at(hour), at(hour + hours)))).code


def test_before_the_first_tear_off_the_sound_old_roof_carries_it() -> None:
    run = dry_run()
    assert code_in(run, 7.0) == "ok"
    assert code_in(run, 7.0, replace(OLD, old_roof_sound=False)) == "old_roof_unknown"
    assert code_in(run, 7.0, replace(OLD, allowed=False)) == "not_allowed"


def test_while_a_strip_lies_bare_nothing_is_put_on_the_roof() -> None:
    run = dry_run()
    bare = next(areas.at for areas in run.areas if areas.bare > 0)
    hour = (bare - at(0)) / timedelta(hours=1)
    assert code_in(run, hour) == "bare_deck"
    # A truck that is there when it is opened counts too, not only at the moment it comes.
    first = next(step.start for step in run.steps if step.kind == "tear_off")
    before = (first - at(0)) / timedelta(hours=1) - 0.25
    assert code_in(run, before, hours=0.1) == "ok"
    assert code_in(run, before, hours=1.0) == "bare_deck"


def test_once_both_slopes_are_dried_in_they_carry_it_until_shingles_are_laid() -> None:
    run = dry_run(shingles_from=33.0)
    closed = next(a.at for a in run.areas if a.old <= 0.01 and a.bare <= 0.01)
    hour = (closed - at(0)) / timedelta(hours=1)
    assert hour < 16
    assert code_in(run, hour) == "ok"
    assert code_in(run, 32.0) == "ok"
    # The truck may stay until the first shingle is laid.
    first = next(step.start for step in run.steps if step.kind == "field")
    assert first >= at(33)
    laid = (first - at(0)) / timedelta(hours=1)
    assert code_in(run, laid - 0.5) == "ok"
    assert code_in(run, laid + 0.1) == "fresh_shingles"


def planned(number: int, torn: float, dried: float, laid: float, phases: tuple[tuple[str, float], ...]) -> PlannedDay:
    begin = at(7 + 24 * number)
    return PlannedDay(begin.date(), begin, at(15 + 24 * number), torn, dried, laid, 0.0, 40.0, 0.0, phases)


def plan_code(days: list[PlannedDay], hour: float) -> str:
    return place_for(by_plan(OLD, days, Slot(at(hour), at(hour + 0.5)))).code


def test_a_plan_says_the_same_of_days_beyond_todays_walk() -> None:
    opens = planned(0, 14.087, 14.087, 0.0, (("tear_off", 20.0), ("underlayment", 10.0)))
    lays = planned(1, 0.0, 0.0, 14.087, (("field", 40.0),))
    days = [opens, lays]
    assert plan_code(days, 6.0) == "ok"  # before the crew comes
    assert plan_code(days, 9.0) == "bare_deck"
    assert plan_code(days, 14.9) == "bare_deck"
    assert plan_code(days, 20.0) == "ok"  # dried-in overnight
    assert plan_code(days, 24 + 6.0) == "ok"
    assert plan_code(days, 24 + 9.0) == "fresh_shingles"
    assert plan_code(days, 24 + 20.0) == "fresh_shingles"
    assert plan_code(days, 48 + 9.0) == "one_slope"  # finished shingles carry no stack either
    half = planned(0, 5.0, 5.0, 3.0, (("tear_off", 10.0), ("underlayment", 5.0), ("field", 5.0)))
    assert plan_code([half], 24 + 9.0) == "one_slope"


def test_a_slot_that_ends_before_it_starts_is_refused() -> None:
    with pytest.raises(ValueError, match="before it starts"):
        Slot(at(8), at(7))


def with_roof_drop(hour: float, **values: object) -> tuple[SmallYard, Load]:
    world = small_yard()
    world.job.roof_drop_allowed = True
    world.job.save()
    actions.decide(SYSTEM, world.yard.pk, local(6))
    load = LoadFactory(
        job=world.job,
        kind=LoadKind.MATERIALS,
        placement=Placement.ROOF,
        needed_for="field",
        state=LoadState.CONFIRMED,
        slot_start=local(hour),
        slot_minutes=30,
        **values,
    )
    return world, load


@pytest.mark.django_db
def test_the_board_says_in_words_that_a_drop_on_bare_deck_goes_on_the_ground() -> None:
    world, load = with_roof_drop(9.5)
    [row] = queries.deliveries(world.manager, world.yard.pk, WORK_DAY, local(6.2)).rows
    assert (row.load_id, row.fit, row.no_place_why) == (load.pk, "no_place", "bare_deck")
    assert "ground" in [way.code for way in row.ways_out]
    assert load_words.is_over(row)
    assert load_words.trouble(row, world.yard.time_zone).startswith("Deck lies bare at 9:30")
    assert load_words.state_words(row) == "Not on the roof then"
    # The job's page shows the same.
    page = queries.job_page(world.manager, world.job.pk, local(6.2))
    assert [one.fit for one in page.loads] == ["no_place"]


@pytest.mark.django_db
def test_the_crews_sheet_says_it_too() -> None:
    world, _ = with_roof_drop(9.5)
    sheet = queries.day_sheet(world.lead, world.crew.pk, WORK_DAY, local(6.2))
    [load] = sheet.jobs[0].loads
    assert load.no_place_why == "bare_deck"
    assert sheet_words.due_words(load, world.yard.time_zone).endswith(
        "on the ground, not on the roof (deck lies bare)."
    )


@pytest.mark.django_db
def test_a_drop_before_the_work_begins_keeps_its_place() -> None:
    world, _ = with_roof_drop(6.5)
    [row] = queries.deliveries(world.manager, world.yard.pk, WORK_DAY, local(6.2)).rows
    assert row.no_place_why == ""
    assert row.fit != "no_place"


@pytest.mark.django_db
def test_on_the_ground_the_same_load_has_a_place() -> None:
    world, load = with_roof_drop(9.5)
    Load.objects.filter(pk=load.pk).update(placement=Placement.GROUND)
    [row] = queries.deliveries(world.manager, world.yard.pk, WORK_DAY, local(6.2)).rows
    assert row.fit != "no_place"
    assert row.no_place_why == ""


@pytest.mark.django_db
def test_shingles_reported_today_forbid_a_drop_even_without_a_walk() -> None:
    world, _ = with_roof_drop(16.0)
    Assignment.objects.all().delete()
    Decision.objects.all().delete()
    front, *others = world.job.sections.all()
    front.old_squares, front.shingled_squares = 0.0, front.squares
    front.save()
    for other in others:
        other.old_squares, other.dried_in_squares = 0.0, other.squares
        other.save()
    ProgressEntry.objects.create(
        client_uuid=uuid4(),
        job=world.job,
        section=front,
        kind=EntryKind.SHINGLED,
        done_after=front.squares,
        at=local(11),
        received_at=local(11),
    )
    [row] = queries.deliveries(world.manager, world.yard.pk, WORK_DAY, local(12)).rows
    assert row.no_place_why == "fresh_shingles"


@pytest.mark.django_db
def test_a_house_that_takes_no_load_on_its_roof_gets_it_on_the_ground() -> None:
    world, _ = with_roof_drop(7.0)
    world.job.roof_drop_allowed = False
    world.job.save()
    [row] = queries.deliveries(world.manager, world.yard.pk, WORK_DAY, local(6.2)).rows
    assert row.no_place_why == "not_allowed"
    assert row.proposed_slot is None  # no other time would help
