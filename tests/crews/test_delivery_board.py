"""Deliveries: windows, fits and ways out."""

from datetime import timedelta

import pytest

from crews import actions, queries
from jobs.models import Load, LoadKind, LoadState
from roofops.record.access import Access
from tests.factories.crews import (
    WORK_DAY,
    SmallYard,
    local,
    small_yard,
)
from tests.factories.jobs import LoadFactory, ready_job

pytestmark = pytest.mark.django_db
SYSTEM = Access.system()
NEXT_DAY = WORK_DAY + timedelta(days=1)


def with_plan_and_load(kind: str = LoadKind.DUMPSTER_DROP, **values: object) -> tuple[SmallYard, Load]:
    world = small_yard()
    actions.decide(SYSTEM, world.yard.pk, local(6))
    load = LoadFactory(job=world.job, kind=kind, needed_for="tear_off", state=LoadState.ASKED, **values)
    return world, load


def test_a_dumpster_after_the_first_tear_off_is_too_late_and_gets_a_way_out() -> None:
    world, load = with_plan_and_load(slot_start=local(9), slot_minutes=20)
    # A load that has not come holds opening, so the window is the plan's own.
    board = queries.deliveries(world.manager, world.yard.pk, WORK_DAY, local(5.5))
    [row] = board.rows
    assert row.load_id == load.pk
    assert row.fit in ("too_late", "not_planned")
    assert board.count("fits") == 0


def test_a_load_without_a_plan_has_no_window() -> None:
    world = small_yard()
    job = ready_job(yard=world.yard)
    LoadFactory(job=job, slot_start=local(10))
    rows = queries.deliveries(world.manager, world.yard.pk, WORK_DAY, local(6)).rows
    assert [row.fit for row in rows] == ["not_planned"]
