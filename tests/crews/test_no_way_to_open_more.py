"""Hard cases in which the tool must not open more, or close later, than it should."""

import uuid
from datetime import date, datetime, timedelta

import pytest

from crews import actions
from crews.models import Decision, Plan, Worker
from crews.planner.verdict import Word
from crews.progress import NewEntry
from crews.queries import today_board
from crews.queries.decisions import run_of_row, verdict_of_row
from jobs.models import Yard
from roofops.record.access import Access
from tests.factories.crews import (
    WORK_DAY,
    SmallYard,
    assign,
    hourly,
    local,
    published_plan,
    sky_over,
    small_yard,
)
from tests.factories.crews import cell as sky_cell
from weather.actions import store_forecast
from weather.limits import Limits
from weather.models import Forecast

pytestmark = pytest.mark.django_db
SYSTEM = Access.system()


def in_force(world: SmallYard, day: date = WORK_DAY) -> Decision:
    return Decision.objects.get(job=world.job, day=day, in_force=True)


def decide(world: SmallYard, at: datetime) -> Decision:
    actions.decide(SYSTEM, world.yard.pk, at)
    return Decision.objects.filter(job=world.job, in_force=True).latest("day")


def say(world: SmallYard, kind: str, amount: float | None, hour: float, received: float | None = None) -> None:
    section = world.job.sections.order_by("position").first()
    assert section is not None
    place = section.pk if kind in ("torn_off", "dried_in", "shingled", "tarped") else None
    entry = NewEntry(uuid.uuid4(), world.job.pk, kind, local(hour), section_id=place, done_after=amount)
    actions.report(world.lead, entry, local(hour if received is None else received))


def test_a_stale_forecast_over_bare_deck_opens_nothing_and_keeps_the_dry_in_time() -> None:
    world = small_yard()
    before = decide(world, local(6))
    say(world, "torn_off", 3.0, 9)
    after = decide(world, local(11.5))
    assert after.verdict == "unknown"
    assert after.bare_at_once_squares <= 3.0 + 1e-6
    assert after.dry_in_by is not None
    assert before.dry_in_by is not None
    assert after.dry_in_by <= before.dry_in_by


def test_a_crew_that_reported_nothing_keeps_its_dry_in_time_when_the_forecast_grows_stale() -> None:
    world = small_yard(wet=range(15, 19))
    before = decide(world, local(6)).dry_in_by
    after = decide(world, local(11.5))
    assert after.verdict == "unknown"
    assert after.dry_in_by == before


@pytest.mark.parametrize("last_hour", [9, 12, 15])
def test_a_forecast_that_ends_within_the_shift_leaves_no_deck_bare_beyond_it(last_hour: int) -> None:
    world = small_yard(n_hours=last_hour)
    row = decide(world, local(6))
    end = local(last_hour)
    for exposure in run_of_row(row).exposures:
        assert exposure.end <= end
    if row.verdict == "tear_off":
        assert row.dry_in_by is not None
        assert row.dry_in_by < end
    assert not [b for b in verdict_of_row(row).bands if b.kind is Word.TEAR_OFF and b.end > end]


@pytest.mark.parametrize("day", [date(2026, 3, 8), date(2026, 11, 1)], ids=["spring forward", "fall back"])
def test_on_the_day_the_clocks_change_rain_at_a_wall_hour_still_bounds_the_dry_in_time(day: date) -> None:
    # 2026-03-08 and 2026-11-01 are the United States' changes (Energy Policy Act of 2005, section 110), both Sundays.
    world = small_yard()
    Yard.objects.filter(pk=world.yard.pk).update(work_weekdays="0123456")
    Worker.objects.filter(yard=world.yard).update(working_days="FREQ=DAILY")
    Plan.objects.all().delete()
    Forecast.objects.all().delete()
    assign(published_plan(world.yard, 7, day), world.job, world.crew, day, 1)
    start, rain = local(0, day), local(14, day)
    first = round((rain - start) / timedelta(hours=1))
    assert first == (13 if day.month == 3 else 15)
    table = hourly(local(5, day), start, 72, wet=range(first, first + 5))
    store_forecast(sky_cell().pk, table, local(5, day), None)
    row = decide(world, local(6, day))
    assert (row.day, row.verdict) == (day, "tear_off")
    assert row.dry_in_by is not None
    assert row.dry_in_by < rain
    for exposure in run_of_row(row).exposures:
        assert exposure.end < rain


@pytest.mark.parametrize("zone", ["America/New_York", "America/Denver", "America/Los_Angeles"])
def test_a_job_in_another_zone_than_the_yard_works_by_its_own_clock(zone: str) -> None:
    world = small_yard(wet=range(14, 19))
    world.job.time_zone = zone
    world.job.save()
    for hour in (0.25, 2.5, 6):  # some of it before the job's own midnight
        row = decide(world, local(hour))
        assert row.dry_in_by is None or row.dry_in_by < local(14)
        for exposure in run_of_row(row).exposures:
            assert exposure.end <= local(14)
    [shown] = today_board(world.manager, world.yard.pk, local(6.1)).rows
    assert shown.job.zone == zone


def test_nobody_here_opens_nothing_and_fewer_people_tighten_at_once() -> None:
    world = small_yard()
    before = decide(world, local(6))
    say(world, "people_here", 2, 7.5)
    fewer = in_force(world)
    assert fewer.version > before.version
    assert fewer.in_all_today_squares < before.in_all_today_squares
    say(world, "people_here", 0, 8)
    assert in_force(world).verdict != "tear_off"
    assert in_force(world).in_all_today_squares == 0


def test_more_people_than_planned_open_more_only_when_a_person_accepts() -> None:
    world = small_yard()
    say(world, "people_here", 2, 5.5)
    before = decide(world, local(6))
    say(world, "people_here", 9, 7.5)
    assert in_force(world).in_all_today_squares <= before.in_all_today_squares + 0.05


def test_a_late_report_does_not_undo_what_a_newer_one_said() -> None:
    world = small_yard()
    decide(world, local(6))
    say(world, "people_here", 2, 8)
    say(world, "people_here", 6, 7, received=9)
    assert in_force(world).basis["people"] == 2
    say(world, "torn_off", 4.0, 9)
    say(world, "torn_off", 2.0, 8.5, received=9.5)
    section = world.job.sections.order_by("position").first()
    assert section is not None
    assert section.bare_squares == pytest.approx(4.0)


def test_rain_reported_late_still_counts_as_long_as_it_holds() -> None:
    world = small_yard()
    decide(world, local(6))
    say(world, "rain_here", None, 9, received=9.5)
    # It holds to 10; how much fell is not known, so the roof dries as after much rain.
    dry_from = local(10) + timedelta(minutes=Limits().drying_heavy_minutes)
    assert [e.start for e in run_of_row(in_force(world)).exposures if e.start < dry_from] == []


def test_after_reported_rain_the_roof_is_wet_until_it_dried_or_the_lead_says_so() -> None:
    world = small_yard()
    decide(world, local(6))
    say(world, "rain_here", None, 8)
    dry_from = local(9) + timedelta(minutes=Limits().drying_heavy_minutes)
    decide(world, local(9.5))  # the rain itself does not hold any more
    assert not [e for e in run_of_row(in_force(world)).exposures if e.start < dry_from]
    assert not [
        band
        for band in verdict_of_row(in_force(world)).bands
        if band.kind == "tear_off" and band.start < dry_from and band.end > local(9.5)
    ]
    say(world, "dry_reading", None, 9.75)
    waiting = Decision.objects.filter(job=world.job, waiting=True).first()
    newest = waiting or in_force(world)
    assert newest.verdict == "tear_off"
    assert min(e.start for e in run_of_row(newest).exposures) < local(11)


def test_held_and_released_leaves_no_more_than_the_sky_allows() -> None:
    world = small_yard(wet=range(14, 19))
    decide(world, local(6))
    actions.hold(world.manager, world.job.pk, WORK_DAY, "inspector is late", local(7))
    assert in_force(world).verdict == "no_tear_off"
    actions.release(world.manager, world.job.pk, WORK_DAY, "inspector came", local(8))
    row = in_force(world)
    assert row.verdict == "tear_off"
    assert row.dry_in_by is not None
    assert row.dry_in_by < local(14)
    later = local(11.5)  # the forecast has grown too old
    actions.hold(world.manager, world.job.pk, WORK_DAY, "lunch", later)
    actions.release(world.manager, world.job.pk, WORK_DAY, "go on", later)
    assert in_force(world).verdict == "unknown"


def test_an_own_limit_below_what_is_bare_already_opens_nothing_more() -> None:
    world = small_yard()
    decide(world, local(6))
    say(world, "torn_off", 4.0, 8)
    actions.limit_further(world.manager, world.job.pk, WORK_DAY, 2.0, "short of hands", local(8.1))
    row = in_force(world)
    assert row.verdict == "no_tear_off"
    assert row.dry_in_by is not None
    run = run_of_row(row)
    assert not [step for step in run.steps if step.kind == "tear_off"]
    assert run.areas[-1].bare == pytest.approx(0.0, abs=0.01)


def test_an_open_ridge_in_the_evening_is_still_watched() -> None:
    world = small_yard()
    decide(world, local(6))
    edge = world.job.edges.filter(kind="ridge").first()
    assert edge is not None
    edge.open_ft = 10.0
    edge.save()
    sky_over(world.job, issued_at=local(18), wet=range(20, 24))
    before = in_force(world).version
    assert decide(world, local(18)).version > before
