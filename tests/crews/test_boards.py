"""Tomorrow, Plan, Deliveries, Job and the day sheet: what they show, to whom, at a bounded number of queries."""

from collections.abc import Callable
from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from crews import actions, queries
from crews.queries.sheet_words import caution_words, words
from crews.refusals import Refused
from jobs.models import Load, LoadKind, LoadState
from roofops.record.access import Access, Forbidden, NotFound, Role
from tests.factories.crews import (
    WORK_DAY,
    SmallYard,
    add_roofs,
    local,
    person,
    planned_yard,
    sky_over,
    small_yard,
    subcontract_crew,
)
from tests.factories.jobs import InspectionFactory, LoadFactory, ready_job

pytestmark = pytest.mark.django_db
SYSTEM = Access.system()
NEXT_DAY = WORK_DAY + timedelta(days=1)


def count(call: Callable[[], object]) -> int:
    with CaptureQueriesContext(connection) as seen:
        call()
    return len(seen)


# --- Tomorrow


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


# --- Plan


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


# --- Deliveries


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


# --- Job


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


# --- Day sheet


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


# --- Queries


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
        assert many[name] <= few[name] + 3, name
        assert many[name] <= 40, name


def test_the_roof_of_a_finished_day_stays_readable() -> None:
    world = small_yard()
    actions.decide(SYSTEM, world.yard.pk, local(6))
    evening = local(19)
    actions.decide(SYSTEM, world.yard.pk, evening)
    board = queries.today_board(world.manager, world.yard.pk, evening)
    assert len(board.rows) == 1
