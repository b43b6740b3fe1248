"""The day sheet: what to open, until when, what to watch for, and whose it is."""

from datetime import timedelta

import pytest

from crews import actions, queries
from crews.queries.sheet_words import caution_words, words
from roofops.record.access import Access, Forbidden, NotFound, Role
from tests.factories.crews import (
    WORK_DAY,
    local,
    person,
    sky_over,
    small_yard,
    subcontract_crew,
)

pytestmark = pytest.mark.django_db
SYSTEM = Access.system()
NEXT_DAY = WORK_DAY + timedelta(days=1)


def test_the_sheet_says_what_to_open_in_which_order_and_what_to_watch_for() -> None:
    world = small_yard(wet=range(15, 19), gust_mph={16: 33})
    actions.decide(SYSTEM, world.yard.pk, local(6))
    sheet = queries.day_sheet(world.lead, world.crew.pk, WORK_DAY, local(6.5))
    [job] = sheet.jobs
    assert job.line.verdict == "tear_off"
    assert job.slopes[0].order == 1
    assert job.slopes[0].target_labor_hours > 0
    assert job.stop_line
    assert job.cautions[0].code == "tie_off"
    assert job.cautions[0].reference == "29 CFR 1926.501(b)(13)"
    assert {"gust_over", "steep", "ladder", "lines"} <= {caution.code for caution in job.cautions}
    assert sheet.valid_until == local(11)
    assert not sheet.expired
    assert sheet.may_report
    for group in job.steps:
        assert all(words(code) for code in (*group.steps, *group.checks))
    assert all(caution_words(caution.code) for caution in job.cautions)
    assert all(words(f.code) and words(f.piece) for f in job.fasteners)


def test_past_its_time_the_sheet_is_expired_but_the_dry_in_time_stands() -> None:
    world = small_yard(wet=range(15, 19))
    actions.decide(SYSTEM, world.yard.pk, local(6))
    sheet = queries.day_sheet(world.lead, world.crew.pk, WORK_DAY, local(11.1))
    assert sheet.expired
    assert sheet.jobs[0].line.dry_in_by is not None


def test_a_newer_version_than_the_one_seen_is_marked_as_changed() -> None:
    world = small_yard()
    actions.decide(SYSTEM, world.yard.pk, local(6))
    first = queries.day_sheet(world.lead, world.crew.pk, WORK_DAY, local(6.1)).jobs[0]
    assert first.decision_id is not None
    actions.confirm_seen(world.lead, first.decision_id, local(6.2))
    sky_over(world.job, issued_at=local(8), wet=range(13, 19))
    actions.decide(SYSTEM, world.yard.pk, local(8))
    second = queries.day_sheet(world.lead, world.crew.pk, WORK_DAY, local(8.1)).jobs[0]
    assert not second.confirmed
    assert second.replaces_version == first.version
    assert second.changed_at == local(8)


def test_a_subcontract_crew_sees_its_own_sheet_and_no_other() -> None:
    world = small_yard()
    sub = subcontract_crew(world.yard)
    lead = person(world.yard, "tamm", Role.CREW_LEAD, sub)
    assert queries.day_sheet(lead, sub.pk, WORK_DAY, local(6)).jobs == ()
    with pytest.raises(NotFound):
        queries.day_sheet(lead, world.crew.pk, WORK_DAY, local(6))
    page = queries.crews_page(lead, world.yard.pk, WORK_DAY, local(6))
    assert [line.name for line in page.crews] == ["Tamm"]
    assert page.without_crew == ()
    for board in (queries.today_board, queries.tomorrow_board, queries.plan_board):
        with pytest.raises(Forbidden):
            board(lead, world.yard.pk, local(6))


def test_tomorrows_sheet_is_computed_without_storing_a_verdict() -> None:
    world = small_yard()
    sheet = queries.day_sheet(world.lead, world.crew.pk, NEXT_DAY, local(15))
    assert sheet.jobs[0].line.verdict == "tear_off"
    assert sheet.jobs[0].decision_id is None
    assert not sheet.may_report
