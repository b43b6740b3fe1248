"""The supervisor restarts what ends, waits longer each time, and stops everything, stubborn children included."""

import os
import signal
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from roofops import supervisor
from roofops.supervisor import Program, Supervisor

QUICK = "print('ran', flush=True)"
STUBBORN = """
import signal, subprocess, sys, time
signal.signal(signal.SIGTERM, signal.SIG_IGN)
child = subprocess.Popen([sys.executable, "-c", "import time; time.sleep(600)"])
print(child.pid, flush=True)
time.sleep(600)
"""


def supervise(code: str, log_folder: Path, until: Callable[[], bool]) -> list[str]:
    """Run a program under supervision until something is true, then stop as Ctrl-C does; return what was said."""
    said: list[str] = []
    keeper = Supervisor([Program("test", [sys.executable, "-c", code])], dict(os.environ), log_folder, said.append)

    def watch(look_after: Callable[[], bool]) -> None:
        deadline = time.monotonic() + 30
        while not until():
            assert time.monotonic() < deadline, "waited in vain"
            look_after()
            time.sleep(0.02)
        os.kill(os.getpid(), signal.SIGINT)

    before = signal.getsignal(signal.SIGINT)
    keeper.run(watch)
    assert signal.getsignal(signal.SIGINT) is before
    return said


def is_alive(pid: int) -> bool:
    """Say whether a process runs; one that is dead but not yet collected counts as ended."""
    try:
        return Path(f"/proc/{pid}/stat").read_text().rsplit(")", 1)[1].split()[0] != "Z"
    except FileNotFoundError:
        return False


def test_a_program_that_ends_is_started_again_after_longer_and_longer_waits(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(supervisor, "FIRST_WAIT_S", 0.05)
    monkeypatch.setattr(supervisor, "LONGEST_WAIT_S", 0.15)
    log = tmp_path / "test.log"
    said = supervise(QUICK, tmp_path, lambda: log.exists() and log.read_text().count("ran") >= 4)
    waits = [line.removeprefix("The test process ended (code 0); starting it again in ") for line in said]
    assert waits[:3] == ["0.05 s.", "0.1 s.", "0.15 s."]


def test_a_stubborn_child_and_its_own_child_are_killed_in_the_end(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(supervisor, "STOP_WITHIN_S", 0.3)
    log = tmp_path / "test.log"
    supervise(STUBBORN, tmp_path, lambda: log.exists() and log.read_text().endswith("\n"))
    grandchild = int(log.read_text())
    deadline = time.monotonic() + 10
    while is_alive(grandchild) and time.monotonic() < deadline:
        time.sleep(0.05)
    assert not is_alive(grandchild)


def test_a_large_log_is_set_aside_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(supervisor, "LARGEST_LOG_BYTES", 10)
    log = tmp_path / "test.log"
    log.write_text("old lines that are long enough\n")
    supervise(STUBBORN.replace("SIG_IGN", "SIG_DFL"), tmp_path, lambda: log.exists() and log.read_text().endswith("\n"))
    assert (tmp_path / "test.log.1").read_text() == "old lines that are long enough\n"
    assert "old" not in log.read_text()
