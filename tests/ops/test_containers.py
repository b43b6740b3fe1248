"""The container files hold together: every service, its health check, its volumes, and no root."""

import os
import re
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest
import yaml

ROOT = Path(__file__).resolve().parent.parent.parent
OURS = ("web", "worker", "beat", "migrate")


@pytest.fixture(scope="module")
def compose() -> dict[str, Any]:
    """The parsed compose file."""
    return dict(yaml.safe_load((ROOT / "docker-compose.yml").read_text()))


def test_all_five_parts_are_there_and_come_back_after_a_crash(compose: dict[str, Any]) -> None:
    assert set(compose["services"]) == {"db", "redis", *OURS}
    restarts = {name: service["restart"] for name, service in compose["services"].items()}
    assert restarts.pop("migrate") == "no"
    assert set(restarts.values()) == {"unless-stopped"}


def test_web_worker_and_beat_wait_for_a_healthy_database_and_queue_and_for_the_migration(
    compose: dict[str, Any],
) -> None:
    for name in ("web", "worker", "beat"):
        waits = {part: how["condition"] for part, how in compose["services"][name]["depends_on"].items()}
        assert waits == {
            "db": "service_healthy",
            "redis": "service_healthy",
            "migrate": "service_completed_successfully",
        }
    for name in ("db", "redis"):
        assert compose["services"][name]["healthcheck"]["test"]


def test_what_must_last_lies_on_named_volumes(compose: dict[str, Any]) -> None:
    used = {mount.split(":")[0] for service in compose["services"].values() for mount in service["volumes"]}
    assert used == set(compose["volumes"]) == {"db", "redis", "data"}


def test_redis_keeps_work_and_never_drops_it(compose: dict[str, Any]) -> None:
    command = " ".join(compose["services"]["redis"]["command"])
    assert "--appendonly yes" in command
    assert "--maxmemory-policy noeviction" in command


def test_no_secret_stands_in_the_file_and_nothing_is_open_to_the_world(compose: dict[str, Any]) -> None:
    for name in OURS:
        environment = compose["services"][name]["environment"]
        assert environment["ROOFOPS_PRODUCTION"] == "1"
        assert environment["ROOFOPS_SECRET_KEY"].startswith("${")
    ports = [port for service in compose["services"].values() for port in service.get("ports", [])]
    assert ports == ["127.0.0.1:8000:8000"]


def test_every_variable_of_ours_is_one_that_the_settings_read(compose: dict[str, Any]) -> None:
    read = set(re.findall(r'env\.\w+\("(\w+)"', (ROOT / "roofops/settings.py").read_text()))
    for name in OURS:
        assert set(compose["services"][name]["environment"]) <= read


def test_the_image_runs_the_tested_python_and_not_as_root() -> None:
    lines = (ROOT / "Dockerfile").read_text().splitlines()
    assert "FROM python:3.11-slim" in lines
    assert lines.index("USER roofops") < next(i for i, line in enumerate(lines) if line.startswith("CMD"))
    assert lines.index("COPY requirements.txt .") < lines.index("COPY . .")


def test_what_stays_out_of_the_image() -> None:
    ignored = (ROOT / ".dockerignore").read_text().split()
    assert {".git", ".venv", "data", "tests", ".env"} <= set(ignored)


@pytest.mark.skipif(shutil.which("docker") is None, reason="no docker client on the PATH")
def test_the_compose_client_reads_the_file() -> None:
    given = {"POSTGRES_PASSWORD": "p", "ROOFOPS_SECRET_KEY": "k" * 50, "ROOFOPS_HOSTS": "roofops.example"}
    command = ["docker", "compose", "-f", str(ROOT / "docker-compose.yml"), "config", "--quiet"]
    answer = subprocess.run(command, env={**os.environ, **given}, capture_output=True, text=True, check=False)
    if answer.returncode and re.search(r"not a docker command|unknown (shorthand )?flag|Cannot connect", answer.stderr):
        pytest.skip("this docker client has no compose plugin")
    assert answer.returncode == 0, answer.stderr
    without = subprocess.run(command, env=dict(os.environ), capture_output=True, text=True, check=False)
    assert "set it in .env" in without.stderr
