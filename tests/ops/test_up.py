"""`manage.py up` as real processes: start, answer, restart what dies, stop without leaving anything behind."""

import os
import re
import signal
import socket
import urllib.request
from collections.abc import Callable
from typing import Any

import pytest

pytestmark = pytest.mark.endure
ROLES = ("gunicorn", "worker --without-mingle", "beat")
START_UNKNOWN = """
from roofops.record import actions, clock
from roofops.record.access import Access
actions.start_work("unheard-of", {}, clock.now(), Access.system())
"""
SHOW = "from roofops.record.models import Work; print([work.error for work in Work.objects.all()])"


@pytest.fixture
def up(installation: Any, free_port: int, until: Callable[..., None], status_of: Callable[[str], int]) -> Any:
    """The whole service, running and answering; (process, address)."""
    process = installation.start("manage.py", "up", "--port", str(free_port))
    address = f"http://localhost:{free_port}"
    until(lambda: status_of(f"{address}/readyz") == 200, "web server and worker are ready")
    return process, address


def test_it_answers_works_and_stops_without_a_trace(installation: Any, up: Any, until: Callable[..., None]) -> None:
    process, address = up
    installation.django(START_UNKNOWN)
    until(lambda: "Nothing here can do" in installation.django(SHOW), "the worker takes work from the queue")
    assert all(installation.pids_of(words) for words in ROLES)
    process.send_signal(signal.SIGTERM)
    assert process.wait(timeout=30) == 0
    assert installation.processes() == {}
    said = process.stdout.read()
    assert f"roofops runs at  {address}/" in said
    assert said.rstrip().endswith("Stopped.")


def test_kill_9_leaves_no_orphans_and_it_starts_again(
    installation: Any,
    up: Any,
    until: Callable[..., None],
    free_port: int,
    status_of: Callable[[str], int],
) -> None:
    process, address = up
    os.kill(process.pid, signal.SIGKILL)
    process.wait()
    until(lambda: installation.processes() == {}, "every child ends with its parent", within_s=10)
    installation.start("manage.py", "up", "--port", str(free_port))
    until(lambda: status_of(f"{address}/readyz") == 200, "it starts again on the same data folder")


def test_killed_children_are_started_again(
    installation: Any, up: Any, until: Callable[..., None], status_of: Callable[[str], int]
) -> None:
    before = {words: set(installation.pids_of(words)) for words in ROLES}
    for words in ROLES:
        os.kill(min(before[words]), signal.SIGKILL)
    for words in ROLES:
        until(lambda words=words: set(installation.pids_of(words)) - before[words], f"a new {words} runs")
        assert not before[words] & set(installation.pids_of(words)), "nothing of the old one is left"
    until(lambda: status_of(f"{up[1]}/readyz") == 200, "it answers again")


def test_production_settings_serve_a_whole_page_with_hashed_files(
    installation: Any, free_port: int, until: Callable[..., None], status_of: Callable[[str], int]
) -> None:
    installation.extra |= {"ROOFOPS_PRODUCTION": "1", "ROOFOPS_SECURE": "0"}
    installation.start("manage.py", "up", "--port", str(free_port), "--web-workers", "1")
    address = f"http://localhost:{free_port}"
    until(lambda: status_of(f"{address}/sign-in/") == 200, "the sign-in page is served")
    with urllib.request.urlopen(f"{address}/sign-in/", timeout=10) as answer:
        page = answer.read().decode()
    files = re.findall(r'(?:href|src)="(/static/[^"]+)"', page)
    assert files
    for file in files:
        assert re.search(r"\.[0-9a-f]{12}\.\w+$", file), file
        assert status_of(address + file) == 200, file


def test_a_second_start_on_the_same_data_folder_is_refused(installation: Any, up: Any) -> None:
    second = installation.manage("up", "--port", "0")
    assert second.returncode == 1
    assert "runs already with this data folder" in second.stderr


def test_a_taken_port_is_said_so(installation: Any) -> None:
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = other.getsockname()[1]
        answer = installation.manage("up", "--port", str(port))
    assert answer.returncode == 1
    assert f"Port {port} is taken by another program. Choose another one: make run PORT={port + 1}" in answer.stderr
    assert not (installation.data / "roofops.sqlite3").exists(), "it refuses before it touches anything"
