"""Plan: the proposal beside the published plan."""

from datetime import timedelta

import pytest

from crews import actions, queries
from roofops.record.access import Access
from tests.factories.crews import (
    WORK_DAY,
    local,
    planned_yard,
)

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
