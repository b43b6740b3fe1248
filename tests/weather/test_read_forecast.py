"""`manage.py read_forecast` says what the adapter reads out of a saved document."""

import io
import json
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

FIXTURES = Path(__file__).parents[2] / "fixtures" / "weather"
SAVED = {"nws": "nws_grid_storm.json", "openmeteo": "openmeteo_forecast.json", "recorded": "recorded_storm.json"}
KEYS = {
    "valid_from", "air_temp_c", "dew_point_c", "rel_humidity", "wind_ms", "gust_ms", "pop", "pop_period_h", "qpf_mm",
    "thunder_p", "flags",
}  # fmt: skip


def run(*args: str) -> str:
    out = io.StringIO()
    call_command("read_forecast", *args, stdout=out)
    return out.getvalue()


@pytest.mark.parametrize("source", sorted(SAVED))
def test_every_source_prints_the_same_keys(source: str) -> None:
    document = json.loads(run("--source", source, str(FIXTURES / SAVED[source]), "--json"))
    assert document["issued_at"].endswith("Z")
    assert len(document["hours"]) >= 48
    for hour in document["hours"]:
        assert set(hour) >= KEYS


def test_unknown_is_null_and_now_cuts_the_past() -> None:
    path = str(FIXTURES / SAVED["nws"])
    document = json.loads(run("--source", "nws", path, "--now", "2026-05-04T20:30Z", "--json"))
    assert document["issued_at"] == "2026-05-04T12:04:00Z"
    assert document["hours"][0]["valid_from"] == "2026-05-04T20:00:00Z"
    assert document["hours"][0]["pop"] == 0.75
    assert document["hours"][-1]["qpf_mm"] is None
    assert "ends_early:qpf_mm" in document["hours"][-1]["flags"]


def test_the_table_shows_unknown_as_a_question_mark_with_every_flag() -> None:
    lines = run("--source", "nws", str(FIXTURES / SAVED["nws"])).splitlines()
    assert lines[0].startswith("nws, issued 2026-05-04T12:04:00Z, 173 hours.")
    assert "?" in lines[-1]
    assert "missing:ice_mm" in lines[-1]
    assert any("thunderstorms" in line for line in lines)


def test_a_file_that_is_no_forecast_is_refused_in_words(tmp_path: Path) -> None:
    page = tmp_path / "page.html"
    page.write_text("<html>")
    with pytest.raises(CommandError, match="a web page, not a forecast"):
        run("--source", "nws", str(page))
    with pytest.raises(CommandError, match="cannot be opened"):
        run("--source", "nws", str(tmp_path / "none.json"))
    with pytest.raises(CommandError, match="has no time zone"):
        run("--source", "nws", str(FIXTURES / SAVED["nws"]), "--now", "2026-05-04T20:30")
