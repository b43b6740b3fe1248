"""`manage.py import_jobs`: all jobs of a file or none, row-exact errors, exit code 1 when refused."""

import json
from io import StringIO
from pathlib import Path

import pytest
from django.core.management import call_command
from django.core.management.base import CommandError

from jobs.models import Edge, Job, PhaseWork, Section
from roofops.record.models import LogEntry
from tests.factories.jobs import JobFactory, YardFactory

pytestmark = pytest.mark.django_db
EXAMPLE = Path(__file__).parents[2] / "fixtures" / "import" / "invented-jobs.csv"


def run(*arguments: str) -> str:
    out = StringIO()
    call_command("import_jobs", *arguments, stdout=out, stderr=StringIO())
    return out.getvalue()


def test_a_file_is_saved_with_roofs_work_and_log() -> None:
    YardFactory()
    answer = json.loads(run(str(EXAMPLE), "--json"))
    assert answer["imported"] == ["X-101", "X-102"]
    assert answer["squares"] == pytest.approx(34.71, abs=0.01)
    assert Job.objects.count() == 2
    assert Edge.objects.filter(kind="valley").count() == 2
    assert PhaseWork.objects.filter(phase="ridge", section__isnull=True).count() == 2
    assert LogEntry.objects.filter(verb="jobs_imported").count() == 1


def test_a_dry_run_saves_nothing() -> None:
    YardFactory()
    assert "Would import 2 jobs" in run(str(EXAMPLE), "--dry-run")
    assert (Job.objects.count(), Section.objects.count(), LogEntry.objects.count()) == (0, 0, 0)


def test_a_number_that_is_taken_refuses_the_whole_file() -> None:
    JobFactory(yard=YardFactory(), number="X-102")
    with pytest.raises(CommandError) as error:
        run(str(EXAMPLE))
    assert error.value.returncode == 1
    assert Job.objects.count() == 1


def test_refused_rows_are_printed_with_line_and_column(tmp_path: Path) -> None:
    YardFactory()
    text = EXAMPLE.read_text().replace("front slope,6,", "front slope,40,", 1)
    (tmp_path / "jobs.csv").write_text(text)
    out = StringIO()
    with pytest.raises(CommandError, match="1 rows are refused"):
        call_command("import_jobs", str(tmp_path / "jobs.csv"), "--json", stdout=out)
    refused = json.loads(out.getvalue())["refused"]
    assert refused == [
        {
            "place": "line",
            "line": 3,
            "column": "pitch_in_12",
            "reason": "A pitch of 40/12 is not a roof: it must lie between 0/12 and 24/12.",
        }
    ]
    assert Job.objects.count() == 0


def test_an_unknown_time_zone_is_refused_on_the_error_stream(tmp_path: Path) -> None:
    YardFactory()
    (tmp_path / "jobs.csv").write_text(EXAMPLE.read_text().replace("-93.101,,", "-93.101,Mars/Olympus,", 1))
    errors = StringIO()
    with pytest.raises(CommandError):
        call_command("import_jobs", str(tmp_path / "jobs.csv"), stdout=StringIO(), stderr=errors)
    assert "line 2, column time_zone: “Mars/Olympus” is not a time zone name" in errors.getvalue()


def test_the_yard_must_be_named_where_there_are_two() -> None:
    YardFactory()
    YardFactory(name="Easterly yard")
    with pytest.raises(CommandError, match="Say which yard with --yard: Easterly yard, Westmere yard"):
        run(str(EXAMPLE))
    assert "Imported 2 jobs" in run(str(EXAMPLE), "--yard", "Easterly yard")
    with pytest.raises(CommandError, match="There is no yard “Nowhere”"):
        run(str(EXAMPLE), "--yard", "Nowhere")


def test_a_file_that_is_not_there_is_named() -> None:
    YardFactory()
    with pytest.raises(CommandError, match="cannot be read"):
        run("no-such-file.csv")
