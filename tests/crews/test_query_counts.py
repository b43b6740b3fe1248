"""No page costs more queries because there are more roofs."""

from collections.abc import Callable
from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from crews import actions, queries
from roofops.record.access import Access
from tests.factories.crews import (
    WORK_DAY,
    add_roofs,
    local,
    small_yard,
)
from tests.factories.jobs import LoadFactory

pytestmark = pytest.mark.django_db
SYSTEM = Access.system()
# What each page costs today; tomorrow reads today's end, too.
AT_MOST = {"today": 26, "tomorrow": 31, "plan": 22, "deliveries": 17, "sheet": 27, "job": 30, "crews": 12}
NEXT_DAY = WORK_DAY + timedelta(days=1)


def count(call: Callable[[], object]) -> int:
    with CaptureQueriesContext(connection) as seen:
        call()
    return len(seen)


def test_no_page_costs_more_queries_when_there_are_more_roofs() -> None:
    world = small_yard()
    LoadFactory(job=world.job, slot_start=local(10))
    actions.decide(SYSTEM, world.yard.pk, local(6))
    now = local(6.5)
    pages: dict[str, Callable[[], object]] = {
        "today": lambda: queries.today_board(world.manager, world.yard.pk, now),
        "tomorrow": lambda: queries.tomorrow_board(world.manager, world.yard.pk, now),
        "plan": lambda: queries.plan_board(world.manager, world.yard.pk, now),
        "deliveries": lambda: queries.deliveries(world.manager, world.yard.pk, WORK_DAY, now),
        "sheet": lambda: queries.day_sheet(world.manager, world.crew.pk, WORK_DAY, now),
        "job": lambda: queries.job_page(world.manager, world.job.pk, now),
        "crews": lambda: queries.crews_page(world.manager, world.yard.pk, WORK_DAY, now),
    }
    few = {name: count(page) for name, page in pages.items()}
    add_roofs(world, 4)
    many = {name: count(page) for name, page in pages.items()}
    for name in pages:
        assert many[name] == few[name], name
        assert many[name] <= AT_MOST[name], name


def test_the_roof_of_a_finished_day_stays_readable() -> None:
    world = small_yard()
    actions.decide(SYSTEM, world.yard.pk, local(6))
    evening = local(19)
    actions.decide(SYSTEM, world.yard.pk, evening)
    board = queries.today_board(world.manager, world.yard.pk, evening)
    assert len(board.rows) == 1
