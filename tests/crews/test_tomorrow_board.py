"""Tomorrow: what the page proposes, what is chosen, who is told."""

from datetime import timedelta

import pytest

from crews import actions, queries
from crews.refusals import Refused
from roofops.record.access import Access
from tests.factories.crews import (
    WORK_DAY,
    local,
    small_yard,
)

pytestmark = pytest.mark.django_db
SYSTEM = Access.system()
NEXT_DAY = WORK_DAY + timedelta(days=1)


def test_tomorrow_lists_the_next_work_days_jobs_with_a_proposal() -> None:
    world = small_yard()
    board = queries.tomorrow_board(world.manager, world.yard.pk, local(11))
    assert board.day == NEXT_DAY
    [row] = board.rows
    assert row.line.verdict == "tear_off"
    assert row.proposed.choice == "go"
    assert row.choice == ""
    assert {tick.party: tick.state for tick in row.ticks}["crew"] == "to_tell"
    assert board.decide_by == local(13)


def test_a_wet_tomorrow_proposes_the_next_dry_day() -> None:
    world = small_yard(n_hours=120, wet=range(24, 48))
    [row] = queries.tomorrow_board(world.manager, world.yard.pk, local(11)).rows
    assert row.line.verdict != "tear_off"
    assert row.proposed.choice == "move"
    assert row.proposed.move_to is not None
    assert row.proposed.move_to > NEXT_DAY


def test_without_a_forecast_tomorrow_is_decided_at_half_past_five() -> None:
    world = small_yard()
    late = local(5) + timedelta(hours=13)
    [row] = queries.tomorrow_board(world.manager, world.yard.pk, late).rows
    assert row.line.verdict == "unknown"
    assert row.proposed.choice == "at_530"


def test_a_choice_and_who_was_told_are_kept_and_a_changed_choice_unticks_them() -> None:
    world = small_yard()
    actions.choose(world.manager, world.job.pk, NEXT_DAY, "go", local(11), backup="leak call, Orchard Way")
    actions.tell(world.manager, world.job.pk, NEXT_DAY, "crew", "told", local(11.1))
    [row] = queries.tomorrow_board(world.manager, world.yard.pk, local(11.2)).rows
    assert (row.choice, row.backup.text) == ("go", "leak call, Orchard Way")
    assert row.ticks[0].state == "told"
    assert row.ticks[0].at == local(11.1)
    actions.choose(world.manager, world.job.pk, NEXT_DAY, "at_530", local(11.5))
    [row] = queries.tomorrow_board(world.manager, world.yard.pk, local(11.6)).rows
    assert row.ticks[0].state == "to_tell"


def test_a_job_that_is_moved_leaves_the_day_and_is_due_on_the_other() -> None:
    world = small_yard()
    actions.choose(world.manager, world.job.pk, NEXT_DAY, "move", local(11), move_to=NEXT_DAY + timedelta(days=1))
    [row] = queries.tomorrow_board(world.manager, world.yard.pk, local(11.2)).rows
    assert row.choice == "move"
    next_noon = local(11) + timedelta(days=1)
    assert not queries.today_board(world.manager, world.yard.pk, next_noon).rows
    assert len(queries.today_board(world.manager, world.yard.pk, next_noon + timedelta(days=1)).rows) == 1


def test_a_job_cannot_be_moved_into_the_past_or_onto_a_blocked_date() -> None:
    world = small_yard()
    world.job.blocked_dates = ["2026-07-20"]
    world.job.save()
    with pytest.raises(Refused, match="past"):
        actions.choose(world.manager, world.job.pk, NEXT_DAY, "move", local(11), move_to=WORK_DAY - timedelta(days=1))
    with pytest.raises(Refused, match="blocked"):
        actions.choose(world.manager, world.job.pk, NEXT_DAY, "move", local(11), move_to=WORK_DAY + timedelta(days=6))


def test_put_off_to_the_morning_nothing_opens_before_a_manager_accepts() -> None:
    world = small_yard()
    actions.choose(world.manager, world.job.pk, WORK_DAY, "at_530", local(0.1))
    actions.decide(SYSTEM, world.yard.pk, local(5.2))
    [row] = queries.today_board(world.manager, world.yard.pk, local(5.3)).rows
    assert row.line.verdict == "no_tear_off"
    assert row.waiting is not None
    assert row.waiting.verdict == "tear_off"
    assert row.accept_id is not None
    actions.accept(world.manager, row.accept_id, local(5.5))
    [row] = queries.today_board(world.manager, world.yard.pk, local(5.6)).rows
    assert row.line.verdict == "tear_off"
