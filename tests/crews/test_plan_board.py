"""Plan: the proposal beside the published plan."""

from datetime import timedelta

import pytest

from crews import actions, queries
from crews.queries.rosters import shift_hours
from jobs.models import Job
from jobs.production import phase_hours
from jobs.queries import measured_roof, with_roof
from roofops.record.access import Access, Forbidden, NotFound, Role
from roofops.record.models import Work
from tests.factories.crews import (
    WORK_DAY,
    local,
    person,
    planned_yard,
    sky_over,
)
from tests.factories.jobs import YardFactory

pytestmark = pytest.mark.django_db
SYSTEM = Access.system()
NEXT_DAY = WORK_DAY + timedelta(days=1)


def test_the_plan_shows_the_proposal_beside_the_published_plan() -> None:
    world, plan = planned_yard()
    board = queries.plan_board(world.manager, world.yard.pk, local(5.5))
    assert board.proposal is not None
    assert board.published is not None
    assert (board.proposal.number, board.published.number) == (plan.number, world.plan.number)
    assert board.may_publish
    bars = [bar for row in board.crews for bar in row.bars]
    assert len(bars) == 4
    assert all(bar.segments and bar.reasons for bar in bars)
    assert {bar.change.code for bar in bars} >= {"new"}
    assert {line.code for line in board.costs} == {"late_days", "idle_labor_hours", "water_loss_usd", "travel_miles"}
    assert board.days[0].bare_hours is not None
    assert board.days[0].bare_hours > 5
    assert board.days[-1].typical
    assert board.told


def test_a_plan_that_was_overtaken_cannot_be_published_from_the_page() -> None:
    world, plan = planned_yard()
    actions.publish(world.manager, plan.pk, world.plan.pk, local(5.5))
    board = queries.plan_board(world.manager, world.yard.pk, local(5.6))
    assert board.proposal is None
    assert board.published is not None
    assert board.published.number == plan.number
    assert not board.may_publish
    assert not board.moves


def test_a_crews_rate_is_that_of_a_full_dry_day_and_not_what_the_plan_reached() -> None:
    """Five people, 7 am to the end of the shift, by the table hours of the crew's own jobs (CSI 07 31 13.10)."""
    world, _ = planned_yard()
    board = queries.plan_board(world.manager, world.yard.pk, local(5.5))
    row = next(row for row in board.crews if row.crew_id == world.crew.pk)
    jobs = list(with_roof(Job.objects.filter(pk__in=[bar.job_id for bar in row.bars])))
    roofs = [measured_roof(job) for job in jobs]
    per_square = sum(phase_hours(roof).labor_hours for roof in roofs) / sum(roof.squares for roof in roofs)
    begin, end = shift_hours(world.yard).span(WORK_DAY)
    # Half an hour each of midday break and set-up, three quarters of clean-up.
    working = (end - begin) / timedelta(hours=1) - 0.5 - 0.5 - 0.75
    assert row.squares_a_day == pytest.approx(5 * working / per_square)
    # Under a dreary forecast the crew's rate is the same.
    sky_over(world.job, *jobs, issued_at=local(5.4), n_hours=160, wet=range(160))
    again = queries.plan_board(world.manager, world.yard.pk, local(5.6))
    assert next(r for r in again.crews if r.crew_id == world.crew.pk).squares_a_day == row.squares_a_day


def test_only_a_manager_of_the_yard_stops_its_planning() -> None:
    world, _ = planned_yard()
    work = actions.propose(world.manager, world.yard.pk, WORK_DAY, 5, 1, local(6))
    dispatcher = person(world.yard, "dora", Role.DISPATCHER)
    elsewhere = person(YardFactory(name="Other yard"), "otto", Role.MANAGER)
    with pytest.raises(Forbidden):
        actions.stop_planning(dispatcher, work.pk, local(6))
    with pytest.raises(NotFound):
        actions.stop_planning(elsewhere, work.pk, local(6))
    fetching = actions.ask_for_forecasts(world.manager, world.yard.pk, local(6))
    with pytest.raises(NotFound):
        actions.stop_planning(world.manager, fetching.pk, local(6))
    assert not Work.objects.filter(cancel_requested=True).exists()
    actions.stop_planning(world.manager, work.pk, local(6))
    assert list(Work.objects.filter(cancel_requested=True)) == [work]
