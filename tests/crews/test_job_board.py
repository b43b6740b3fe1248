"""The Job page joins roof, crew, plan and log."""

from datetime import timedelta

import pytest

from crews import actions, queries
from roofops.record.access import Access, NotFound
from tests.factories.crews import (
    WORK_DAY,
    local,
    small_yard,
)
from tests.factories.jobs import InspectionFactory, LoadFactory, ready_job

pytestmark = pytest.mark.django_db
SYSTEM = Access.system()
NEXT_DAY = WORK_DAY + timedelta(days=1)


def test_the_job_page_joins_roof_crew_plan_and_log() -> None:
    world = small_yard(wet=range(15, 19))
    actions.decide(SYSTEM, world.yard.pk, local(6))
    InspectionFactory(job=world.job, kind="final", window_start=local(14), window_end=local(15))
    page = queries.job_page(world.manager, world.job.pk, local(6.5))
    assert page.today is not None
    assert page.sections[0].order == 1
    assert page.planned_labor_hours > 0
    assert page.done_labor_hours == 0
    assert page.inspections[0].kind == "final"
    assert page.finish_p50 is not None
    assert page.log[0].code == "verdict"
    stops = [s for s in page.sections if s.stop_squares is not None]
    assert len(stops) == 1


def test_a_crew_lead_sees_the_own_roofs_page_without_loads_and_no_other() -> None:
    world = small_yard()
    LoadFactory(job=world.job)
    page = queries.job_page(world.lead, world.job.pk, local(6))
    assert page.loads == ()
    assert not page.may_edit
    other = ready_job(yard=world.yard)
    with pytest.raises(NotFound):
        queries.job_page(world.lead, other.pk, local(6))
