"""One roof whose data cannot be read or judged stops no other, and is itself unknown: keep it closed."""

import importlib
import uuid
from collections.abc import Iterator
from datetime import timedelta

import pytest
from django.db import OperationalError
from structlog.testing import capture_logs

from crews import actions, queries
from crews.actions.watch import watch_yards
from crews.models import Decision
from crews.progress import NewEntry
from crews.queries import day_inputs
from crews.queries.verdict_list import verdict_records
from crews.verdict.day_verdict import DayInputs, DayResult
from roofops.record.access import Access
from tests.factories.crews import WORK_DAY, SmallYard, add_roofs, local, sky_over, small_yard

pytestmark = pytest.mark.django_db
SYSTEM = Access.system()
# The package exports the action of the same name.
decide_module = importlib.import_module("crews.actions.decide")
watch_module = importlib.import_module("crews.actions.watch")


@pytest.fixture
def two() -> SmallYard:
    world = small_yard()
    add_roofs(world, 1)
    return world


@pytest.fixture
def unreadable(two: SmallYard, monkeypatch: pytest.MonkeyPatch) -> Iterator[SmallYard]:
    """The first roof's rows raise from now on."""
    read = day_inputs.job_work

    def job_work(job: object, *rest: object, **named: object) -> object:
        if getattr(job, "pk", None) == two.job.pk:
            raise ZeroDivisionError("a slope without an eave")
        return read(job, *rest, **named)  # type: ignore[arg-type]

    monkeypatch.setattr(day_inputs, "job_work", job_work)
    return two


def in_force(world: SmallYard) -> Decision:
    return Decision.objects.get(job=world.job, in_force=True)


def test_a_roof_that_cannot_be_read_is_closed_and_the_others_go_on(unreadable: SmallYard) -> None:
    assert in_force(unreadable).verdict == "tear_off"
    others = Decision.objects.exclude(job=unreadable.job)
    sky_over(*[row.job for row in others.select_related("job")], issued_at=local(8), wet=range(14, 19))
    with capture_logs() as logs:
        watch_yards(lambda: local(8))
    row = in_force(unreadable)
    assert (row.verdict, row.in_all_today_squares, row.stop_line) == ("unknown", 0.0, "")
    assert others.filter(in_force=True, version=2).count() == 1
    assert any(log["event"] == "roof_unreadable" and log["job"] == unreadable.job.pk for log in logs)


def test_it_is_closed_once_and_the_dry_in_time_stands(unreadable: SmallYard) -> None:
    before = in_force(unreadable).dry_in_by
    assert before is not None
    for minutes in (0, 15, 30):
        watch_yards(lambda minutes=minutes: local(8) + timedelta(minutes=minutes))
    assert Decision.objects.filter(job=unreadable.job).count() == 2
    assert in_force(unreadable).dry_in_by == before


def test_every_page_still_opens_and_says_unknown(unreadable: SmallYard) -> None:
    watch_yards(lambda: local(8))
    yard, manager = unreadable.yard.pk, unreadable.manager
    today = queries.today_board(manager, yard, local(8.1)).rows
    assert {row.line.verdict for row in today if row.job.job_id == unreadable.job.pk} == {"unknown"}
    assert {row.line.verdict for row in today if row.job.job_id != unreadable.job.pk} == {"tear_off"}
    tomorrow = queries.tomorrow_board(manager, yard, local(8.1)).rows
    assert {row.line.verdict for row in tomorrow if row.job.job_id == unreadable.job.pk} == {"unknown"}
    sheet = queries.day_sheet(unreadable.lead, unreadable.crew.pk, WORK_DAY, local(8.1))
    assert [job.line.verdict for job in sheet.jobs] == ["unknown"]


def test_mended_data_open_it_again_only_when_a_person_accepts(two: SmallYard, monkeypatch: pytest.MonkeyPatch) -> None:
    judge = decide_module.judge_day
    monkeypatch.setattr(decide_module, "judge_day", lambda inputs: 1 / 0)
    sky_over(two.job, issued_at=local(8), wet=range(15, 19))
    actions.decide(SYSTEM, two.yard.pk, local(8))
    assert in_force(two).verdict == "unknown"
    monkeypatch.setattr(decide_module, "judge_day", judge)
    actions.decide(SYSTEM, two.yard.pk, local(8.25))
    assert in_force(two).verdict == "unknown"
    waiting = Decision.objects.get(job=two.job, waiting=True)
    assert waiting.verdict == "tear_off"
    actions.accept(two.manager, waiting.pk, local(8.3))
    assert in_force(two).verdict == "tear_off"


def test_tomorrow_and_the_sheets_ahead_open_when_one_roof_cannot_be_judged(
    two: SmallYard, monkeypatch: pytest.MonkeyPatch
) -> None:
    judge = day_inputs.judge_day

    def judge_day(inputs: DayInputs) -> DayResult:
        if inputs.work.job_id == two.job.pk:
            raise ZeroDivisionError("a slope without an eave")
        return judge(inputs)

    monkeypatch.setattr(day_inputs, "judge_day", judge_day)
    rows = queries.tomorrow_board(two.manager, two.yard.pk, local(8.1)).rows
    assert {row.line.verdict for row in rows if row.job.job_id == two.job.pk} == {"unknown"}
    assert len(rows) == 2
    assert "unknown" not in {row.line.verdict for row in rows if row.job.job_id != two.job.pk}
    sheet = queries.day_sheet(two.lead, two.crew.pk, WORK_DAY + timedelta(days=1), local(8.1))
    assert [job.line.verdict for job in sheet.jobs] == ["unknown"]


def test_a_report_from_such_a_roof_is_kept(unreadable: SmallYard) -> None:
    section = unreadable.job.sections.first()
    assert section is not None
    entry = NewEntry(uuid.uuid4(), unreadable.job.pk, "torn_off", local(9), section_id=section.pk, done_after=3.0)
    assert actions.report(unreadable.lead, entry, local(9)).total == pytest.approx(3.0)
    row = in_force(unreadable)
    assert row.verdict == "unknown"
    assert row.bare_at_once_squares == pytest.approx(3.0)


def test_a_busy_database_is_no_reason_to_close_a_sound_roof(two: SmallYard, monkeypatch: pytest.MonkeyPatch) -> None:
    def busy(*_inputs: object) -> None:
        raise OperationalError("database is locked")

    sky_over(two.job, issued_at=local(8), wet=range(15, 19))
    monkeypatch.setattr(decide_module, "judge_day", busy)
    assert in_force(two).job_id not in {one.job_id for one in actions.decide(SYSTEM, two.yard.pk, local(8))}
    assert in_force(two).verdict == "tear_off"


def test_one_yards_fault_stops_no_other_yard(two: SmallYard, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(watch_module, "yards_in_use", lambda: [987654, two.yard.pk])
    sky_over(two.job, issued_at=local(8), wet=range(14, 19))
    assert watch_yards(lambda: local(8)) == 1
    assert in_force(two).version == 2


def test_a_stopped_watch_opens_nothing_once_the_forecast_is_too_old(two: SmallYard) -> None:
    row = in_force(two)
    assert row.valid_until is not None
    late = row.valid_until + timedelta(minutes=1)
    lines = {r.job.job_id: r.line for r in queries.today_board(two.manager, two.yard.pk, late).rows}
    assert lines[two.job.pk].verdict == "unknown"
    assert lines[two.job.pk].dry_in_by == row.dry_in_by
    strip = next(
        r for r in queries.today_board(two.manager, two.yard.pk, late).rows if r.job.job_id == two.job.pk
    ).strip
    assert not [band for band in strip.bands if band.kind == "tear_off" and band.end > late]
    records = verdict_records(two.manager, two.yard.pk, late, stored=True)
    assert {record.verdict for record in records} == {"unknown"}
    assert lines[two.job.pk].in_all_today_squares == 0
