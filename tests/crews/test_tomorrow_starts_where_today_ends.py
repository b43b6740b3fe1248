"""Tomorrow starts from the roof as today's run leaves it; the hours and the backup beside it are true as well."""

import uuid
from datetime import timedelta

import pytest

from crews import actions, queries
from crews.boards.tomorrow import TomorrowRow
from crews.models import Decision
from crews.progress import NewEntry
from crews.queries.decisions import run_of_row
from jobs.actions.progress import set_areas
from jobs.models import Job, JobStatus, Section
from roofops.record.access import Access
from tests.factories.crews import WORK_DAY, SmallYard, assign, crew, local, sky_over, small_yard
from tests.factories.jobs import ready_job
from weather.limits import Limits

pytestmark = pytest.mark.django_db
SYSTEM = Access.system()
NEXT_DAY = WORK_DAY + timedelta(days=1)


def tomorrow(world: SmallYard, hour: float) -> TomorrowRow:
    board = queries.tomorrow_board(world.manager, world.yard.pk, local(hour))
    return next(row for row in board.rows if row.job.job_id == world.job.pk)


def torn_off(world: SmallYard, squares: float, hour: float) -> None:
    section = world.job.sections.order_by("position").first()
    assert section is not None
    entry = NewEntry(
        uuid.uuid4(), world.job.pk, "torn_off", local(hour), section_id=section.pk, done_after=squares, done_before=0.0
    )
    actions.report(world.lead, entry, local(hour))


def dried_in(job: Job, squares: float) -> Section:
    section = job.sections.order_by("position").first()
    assert section is not None
    set_areas(section, bare_squares=0.0, dried_in_squares=squares, shingled_squares=0.0)
    return section


def test_deck_that_is_bare_this_morning_is_dried_in_before_tomorrow() -> None:
    world = small_yard()
    actions.decide(SYSTEM, world.yard.pk, local(6))
    torn_off(world, 3.0, 9)
    row = tomorrow(world, 9.1)
    assert row.line.bare_now_squares == pytest.approx(0.0, abs=0.01)
    assert not row.left_open
    assert row.strip.areas[0].bare == pytest.approx(0.0, abs=0.01)


def test_tomorrow_begins_with_exactly_what_todays_run_in_force_leaves() -> None:
    world = small_yard(wet=range(14, 19))
    actions.decide(SYSTEM, world.yard.pk, local(6))
    last = run_of_row(Decision.objects.get(job=world.job, in_force=True)).areas[-1]
    row = tomorrow(world, 6.5)
    assert row.line.old_squares == pytest.approx(last.old, abs=0.01)
    assert row.job.old_squares == pytest.approx(last.old, abs=0.01)
    assert row.line.old_squares < 14.0
    assert row.line.in_all_today_squares <= last.old + 0.01


def test_a_verdict_that_was_tightened_today_leaves_more_for_tomorrow() -> None:
    world = small_yard()
    actions.decide(SYSTEM, world.yard.pk, local(6))
    before = tomorrow(world, 6.1).line.old_squares
    actions.hold(world.manager, world.job.pk, WORK_DAY, "inspector is late", local(6.2))
    assert tomorrow(world, 6.3).line.old_squares == pytest.approx(14.087, abs=0.01)
    assert before < 14.0


def test_what_today_cannot_close_is_said_and_tomorrow_closes_it_first() -> None:
    world = small_yard()
    actions.decide(SYSTEM, world.yard.pk, local(6))
    torn_off(world, 3.0, 9)
    sky_over(world.job, issued_at=local(9.5), gust_mph=dict.fromkeys(range(9, 28), 35.0))
    actions.decide(SYSTEM, world.yard.pk, local(9.5))
    row = tomorrow(world, 9.6)
    assert row.left_open
    assert row.line.bare_now_squares + row.left_tarped_squares == pytest.approx(3.0, abs=0.01)


def test_after_the_shift_the_roof_is_taken_as_it_was_reported() -> None:
    world = small_yard()
    actions.decide(SYSTEM, world.yard.pk, local(6))
    sky_over(world.job, issued_at=local(18))
    assert tomorrow(world, 18.5).line.old_squares == pytest.approx(14.087, abs=0.01)


def test_the_hours_in_which_a_deck_may_be_bare_leave_out_wet_roofs() -> None:
    # By hand: rain from 6 to 9 am, 4.5 mm in all, which is much rain; it dries by day for drying_heavy_minutes after
    # 9:00, and the shift is 7:00 to 17:30. A deck may be torn off, lie bare and be covered only between the two.
    world = small_yard(wet=range(30, 33))
    board = queries.tomorrow_board(world.manager, world.yard.pk, local(11))
    assert board.wet_until is not None
    assert board.bare_hours is not None
    shift_end = local(17.5, NEXT_DAY)
    dry_from = local(9, NEXT_DAY) + timedelta(minutes=Limits().drying_heavy_minutes)
    assert board.wet_until == dry_from
    assert board.bare_hours == pytest.approx((shift_end - dry_from) / timedelta(hours=1))
    plan = queries.plan_board(world.manager, world.yard.pk, local(11))
    assert next(day for day in plan.days if day.date == NEXT_DAY).bare_hours == pytest.approx(board.bare_hours)


def test_the_backup_is_another_roofs_dried_in_squares_and_goes_to_one_crew_only() -> None:
    world = small_yard()
    second = ready_job(yard=world.yard, status=JobStatus.AT_WORK)
    assign(world.plan, second, crew(world.yard, "Adeyemi"))
    other = ready_job(yard=world.yard, status=JobStatus.AT_WORK, street="7 Mill Race Lane")
    dried_in(other, 6.0)
    sky_over(second, other, issued_at=local(5))
    rows = queries.tomorrow_board(world.manager, world.yard.pk, local(11)).rows
    codes = sorted(row.backup.code for row in rows if row.job.job_id in (world.job.pk, second.pk))
    assert codes == ["closed_work", "yard"]
    [closed] = [row.backup for row in rows if row.backup.code == "closed_work"]
    assert closed.street == "7 Mill Race Lane"
    assert closed.squares == pytest.approx(6.0)


def test_a_roofs_own_squares_are_never_its_backup() -> None:
    world = small_yard(wet=range(24, 48))
    dried_in(world.job, 6.0)
    assert tomorrow(world, 11).backup.code == "yard"


def test_a_crew_is_not_sent_to_a_roof_too_steep_for_it() -> None:
    world = small_yard()
    other = ready_job(yard=world.yard, status=JobStatus.AT_WORK)
    section = dried_in(other, 6.0)
    world.crew.steep_limit_in_12 = section.pitch_in_12 - 1
    world.crew.save()
    sky_over(other, issued_at=local(5))
    assert tomorrow(world, 11).backup.code == "yard"
