"""The commands: exact JSON keys, exit codes, and nothing half-done."""

import json
import uuid
from datetime import timedelta
from io import StringIO
from pathlib import Path
from typing import Any
from unittest.mock import MagicMock

import pytest
from django.core.management import CommandError, call_command

from crews import actions, tasks
from crews.models import Absence, Crew, Decision, Plan, PlanState, Worker
from crews.progress import NewEntry
from jobs.models import Section
from roofops.record import runners
from roofops.record.models import Work
from tests.factories.crews import local, planned_yard, small_yard
from weather.actions import Outcome

pytestmark = pytest.mark.django_db
ROSTER = """name,crew,lead,working_days,absence_from,absence_rule
Lena Holt,Holt,yes,"FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR",2026-07-17,FREQ=WEEKLY;INTERVAL=2;BYDAY=FR
Pike Moreno,Holt,,,,
"""


@pytest.fixture
def at_six(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("roofops.record.clock.now", lambda: local(6))


def run(*args: str) -> Any:
    out = StringIO()
    call_command(*args, "--json", stdout=out)
    return json.loads(out.getvalue())


@pytest.mark.usefixtures("at_six")
def test_today_prints_the_keys_that_scripts_rely_on() -> None:
    small_yard(wet=range(15, 19))
    [row] = run("today")
    assert {
        "job",
        "crew",
        "verdict",
        "bare_at_once_squares",
        "in_all_today_squares",
        "stop_line",
        "dry_in_by",
        "p_wet",
        "reasons",
        "forecast",
    } <= set(row)
    assert set(row["forecast"]) == {"source", "issued_at", "age_hours", "checked_hours"}
    assert row["verdict"] == "tear_off"
    assert row["dry_in_by"].endswith("Z")
    assert all(set(reason) == {"hour", "reason", "value", "limit"} for reason in row["reasons"])
    assert Decision.objects.count() == 1


@pytest.mark.usefixtures("at_six")
def test_today_at_another_moment_stores_nothing() -> None:
    small_yard()
    late = (local(5) + timedelta(hours=8)).strftime("%Y-%m-%dT%H:%MZ")
    [row] = run("today", "--at", late)
    assert row["verdict"] == "unknown"
    assert row["in_all_today_squares"] == 0
    assert not Decision.objects.exists()


@pytest.mark.usefixtures("at_six")
def test_plan_and_publish_print_their_keys() -> None:
    world, _old = planned_yard()
    plan = run("plan", "--from", "2026-07-14", "--days", "6", "--seed", "3")
    assert {"objective", "bound", "gap", "seed", "stopped", "assignments", "unscheduled"} <= set(plan)
    assert {"job", "crew", "start", "days", "finish_p50", "finish_p90", "cost"} <= set(plan["assignments"][0])
    assert plan["seed"] == 3
    done = run("publish")
    assert done["published"] == plan["plan"]
    assert done["replaces"] == world.plan.number
    assert Plan.objects.get(state=PlanState.PUBLISHED).number == plan["plan"]
    with pytest.raises(CommandError, match="no proposal"):
        call_command("publish")


@pytest.mark.usefixtures("at_six")
def test_a_roster_is_taken_whole_or_not_at_all(tmp_path: Path) -> None:
    world = small_yard()
    before = Worker.objects.count()
    file = tmp_path / "roster.csv"
    file.write_text(ROSTER + "Bo,Holt,perhaps,,,\n")
    out = StringIO()
    with pytest.raises(CommandError, match="Nothing was imported"):
        call_command("import_roster", str(file), "--json", stdout=out)
    [refused] = json.loads(out.getvalue())["refused"]
    assert (refused["line"], refused["column"]) == (4, "lead")
    assert Worker.objects.count() == before
    file.write_text(ROSTER)
    assert run("import_roster", str(file), "--dry-run")["imported"]["workers_new"] == 2
    assert Worker.objects.count() == before
    assert run("import_roster", str(file), "--yard", world.yard.name)["imported"]["crews_new"] == 1
    crew = Crew.objects.get(name="Holt")
    assert crew.lead is not None
    assert crew.lead.name == "Lena Holt"
    assert crew.members.count() == 2
    again = run("import_roster", str(file))["imported"]
    assert (again["workers_new"], again["workers_changed"], again["absences"]) == (0, 2, 0)
    assert Absence.objects.filter(worker__name="Lena Holt").count() == 1


def test_verify_finds_a_total_that_the_reports_do_not_give() -> None:
    world = small_yard()
    section = world.job.sections.first()
    assert section is not None
    entry = NewEntry(uuid.uuid4(), world.job.pk, "torn_off", local(9), section_id=section.pk, done_after=3.0)
    actions.report(world.lead, entry, local(9))
    assert run("verify")["sound"]
    Section.objects.filter(pk=section.pk).update(bare_squares=1.0, old_squares=section.squares - 1.0)
    out = StringIO()
    with pytest.raises(CommandError, match="not sound"):
        call_command("verify", "--json", stdout=out)
    found = json.loads(out.getvalue())
    assert not found["sound"]
    assert {"the area bare", "the area old"} == {row["what"] for row in found["unsound"]}


def test_refresh_forecasts_fetches_each_cell_once_and_names_what_failed(monkeypatch: pytest.MonkeyPatch) -> None:
    small_yard()
    fetch = MagicMock(return_value=Outcome.FAILED)
    monkeypatch.setattr("crews.actions.forecasts.refresh_cell", fetch)
    out = StringIO()
    with pytest.raises(CommandError, match="last good ones stay"):
        call_command("refresh_forecasts", "--json", stdout=out)
    assert fetch.call_count == 1
    assert json.loads(out.getvalue())["failed"] == 1


@pytest.mark.usefixtures("at_six")
def test_the_timetable_runs_each_tick_once(monkeypatch: pytest.MonkeyPatch) -> None:
    small_yard()
    seen = MagicMock(side_effect=tasks.watch_yards)
    monkeypatch.setattr(tasks, "watch_yards", seen)
    tasks.watch()
    tasks.watch()
    assert seen.call_count == 1
    assert Decision.objects.count() == 1


def test_background_planning_runs_through_the_work_row(monkeypatch: pytest.MonkeyPatch) -> None:
    world, _plan = planned_yard()
    monkeypatch.setattr("roofops.record.clock.now", lambda: local(5.4))
    work = actions.propose(world.manager, world.yard.pk, local(6).date(), 6, 2, local(5.4))
    same = actions.propose(world.manager, world.yard.pk, local(6).date(), 6, 2, local(5.4))
    assert same.pk == work.pk
    runners.run(work.pk, local(5.4))
    row = Work.objects.get(pk=work.pk)
    assert (row.state, row.error) == ("done", "")
    plan = Plan.objects.get(pk=row.result["plan"])
    assert plan.state == PlanState.PROPOSED
    assert plan.made_by == world.manager.user
