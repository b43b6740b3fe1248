"""Today shows what is in force, what waits, what changed, and costs a bounded number of queries."""

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from crews import actions
from crews.models import Decision, JobPoint
from crews.queries import today_board
from jobs.models import JobStatus
from roofops.record.access import Access, Forbidden, NotFound
from tests.factories.crews import SmallYard, assign, crew, local, sky_over, small_yard
from tests.factories.jobs import ready_job

pytestmark = pytest.mark.django_db
SYSTEM = Access.system()


def decided(world: SmallYard, hour: float = 6) -> None:
    actions.decide(SYSTEM, world.yard.pk, local(hour))


def test_the_row_shows_the_verdict_in_force_with_its_strip() -> None:
    world = small_yard(wet=range(15, 19))
    decided(world)
    board = today_board(world.manager, world.yard.pk, local(6.2))
    [row] = board.rows
    assert row.line.verdict == "tear_off"
    assert row.line.cause is not None
    assert row.line.cause.code == "rain"
    assert row.strip.no_forecast == ""
    assert len(row.strip.hours) == 14
    assert row.strip.areas[0].recorded
    assert not row.strip.areas[-1].recorded
    assert row.job.people_planned == 5
    assert board.counts == {"tear_off": 1}
    assert board.next_limit == (world.job.street, row.line.dry_in_by)


def test_what_is_drawn_is_never_bare_at_the_dry_in_line() -> None:
    world = small_yard(wet=range(14, 19))
    decided(world)
    [row] = today_board(world.manager, world.yard.pk, local(6.2)).rows
    assert row.line.dry_in_by is not None
    after = [point.bare for point in row.strip.areas if point.at >= row.line.dry_in_by]
    assert max(after) == pytest.approx(0, abs=1e-6)


def test_a_change_for_the_worse_is_noted_until_somebody_accepts_it() -> None:
    world = small_yard()
    decided(world)
    sky_over(world.job, issued_at=local(8), wet=range(14, 19))
    decided(world, 8)
    board = today_board(world.manager, world.yard.pk, local(8.2))
    [row] = board.rows
    assert row.change is not None
    assert row.change.any
    assert row.change.tighter
    assert board.changed_worse == 1
    assert row.strip.dry_in_was == row.change.old_dry_in_by
    assert row.told.at == local(8)
    assert row.told.overdue
    assert row.decision_id is not None
    actions.accept(world.manager, row.decision_id, local(8.25))
    actions.confirm_seen(world.lead, row.decision_id, local(8.25))
    [after] = today_board(world.manager, world.yard.pk, local(8.3)).rows
    assert after.accepted_at == local(8.25)
    assert after.told.confirmed_at == local(8.25)
    assert after.strip.dry_in_was is None


def test_a_stale_forecast_draws_no_sky_and_says_its_age() -> None:
    world = small_yard()
    later = local(5) + timedelta(hours=7)
    actions.decide(SYSTEM, world.yard.pk, later)
    [row] = today_board(world.manager, world.yard.pk, later).rows
    assert row.line.verdict == "unknown"
    assert row.strip.no_forecast == "too_old"
    assert row.strip.no_forecast_hours == pytest.approx(7)
    assert all(hour.rain_chance is None for hour in row.strip.hours)


def test_other_yards_and_crew_leads_do_not_see_the_page() -> None:
    world = small_yard()
    with pytest.raises(NotFound):
        today_board(Access.nobody(), world.yard.pk, local(6))
    with pytest.raises(Forbidden):
        today_board(world.lead, world.yard.pk, local(6))


def test_the_number_of_queries_does_not_grow_with_the_roofs() -> None:
    world = small_yard()
    decided(world)
    with CaptureQueriesContext(
        connection,
    ) as few:
        today_board(world.manager, world.yard.pk, local(6.2))
    for number in range(4):
        job = ready_job(yard=world.yard, status=JobStatus.AT_WORK)
        sky_over(job, issued_at=local(5))
        assign(world.plan, job, crew(world.yard, f"Crew {number}"))
    decided(world, 6.1)
    with CaptureQueriesContext(connection) as many:
        board = today_board(world.manager, world.yard.pk, local(6.2))
    assert len(board.rows) == 5
    assert len(many) <= len(few) + 2
    assert len(many) <= 30
    assert Decision.objects.count() == 5


def test_without_a_contact_for_the_weather_service_the_row_says_so_and_promises_no_next_try(settings: object) -> None:
    world = small_yard()
    JobPoint.objects.all().delete()
    decided(world)
    settings.ROOFOPS_WEATHER_CONTACT = ""  # type: ignore[attr-defined]
    [row] = today_board(world.manager, world.yard.pk, local(6.2)).rows
    assert (row.line.verdict, row.forecast.why, row.forecast.next_try_at) == ("unknown", "source_off", None)
    settings.ROOFOPS_WEATHER_CONTACT = "office@westmere.example"  # type: ignore[attr-defined]
    [row] = today_board(world.manager, world.yard.pk, local(6.2)).rows
    assert row.forecast.why == "no_point"
    assert row.forecast.next_try_at is not None
