"""A whole installation of its own for each test: data folder, environment, real processes."""

import os
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).resolve().parent.parent.parent
# What the test run itself has set must not leak into the installation.
FOREIGN = ("DATABASE_URL", "REDIS_URL", "DJANGO_SETTINGS_MODULE", "DJANGO_ALLOW_ASYNC_UNSAFE", "PORT")


@dataclass
class Installation:
    """One data folder, and the processes that work with it."""

    data: Path
    extra: dict[str, str] = field(default_factory=dict)
    started: list[subprocess.Popen[str]] = field(default_factory=list)

    @property
    def environment(self) -> dict[str, str]:
        """Return the environment that its processes get."""
        kept = {
            key: value for key, value in os.environ.items() if key not in FOREIGN and not key.startswith("ROOFOPS_")
        }
        return {**kept, "ROOFOPS_DATA": str(self.data), "PYTHONUNBUFFERED": "1", **self.extra}

    def run(self, *command: str, **kwargs: Any) -> subprocess.CompletedProcess[str]:
        """Run Python with these arguments to its end."""
        return subprocess.run(
            [sys.executable, *command],
            cwd=ROOT, env=self.environment, capture_output=True, text=True, timeout=120, check=False, **kwargs,
        )  # fmt: skip

    def manage(self, *arguments: str) -> subprocess.CompletedProcess[str]:
        """Run `manage.py` with these arguments to its end."""
        return self.run("manage.py", *arguments)

    def django(self, code: str) -> str:
        """Run lines of Python inside Django and return what they print."""
        answer = self.run("-c", "import django; django.setup()\n" + code, input="")
        assert answer.returncode == 0, answer.stderr
        return answer.stdout

    def start(self, *command: str) -> subprocess.Popen[str]:
        """Start Python with these arguments beside the test."""
        process = subprocess.Popen(
            [sys.executable, *command],
            cwd=ROOT, env=self.environment, text=True, stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
        )  # fmt: skip
        self.started.append(process)
        return process

    def processes(self) -> dict[int, str]:
        """Return pid and command line of every living process of this installation."""
        mark = f"ROOFOPS_DATA={self.data}".encode()
        found = {}
        for folder in Path("/proc").glob("[0-9]*"):
            try:
                if mark in (folder / "environ").read_bytes().split(b"\0"):
                    found[int(folder.name)] = (folder / "cmdline").read_bytes().replace(b"\0", b" ").decode()
            except (OSError, ValueError):
                continue  # it ended meanwhile
        return found

    def pids_of(self, words: str) -> list[int]:
        """Return the processes whose command line holds these words."""
        return [pid for pid, command in self.processes().items() if words in command]

    def end(self) -> None:
        """Kill whatever is left, by its own process id."""
        for pid in self.processes():
            try:
                os.kill(pid, signal.SIGKILL)
            except ProcessLookupError:
                continue
        for process in self.started:
            process.wait(timeout=20)
            if process.stdout is not None:
                process.stdout.close()


@pytest.fixture
def installation(tmp_path: Path) -> Iterator[Installation]:
    """A fresh embedded installation."""
    made = Installation(tmp_path / "data", {"DJANGO_SETTINGS_MODULE": "roofops.settings"})
    yield made
    made.end()


@pytest.fixture
def until() -> Callable[..., None]:
    """Return a function that waits until something is true and fails with a sentence where it never is."""

    def wait(is_true: Callable[[], Any], what: str, within_s: float = 30.0) -> None:
        deadline = time.monotonic() + within_s
        while time.monotonic() < deadline:
            if is_true():
                return
            time.sleep(0.1)
        pytest.fail(f"Waited {within_s:.0f} s in vain: {what}.")

    return wait


@pytest.fixture
def free_port() -> int:
    """A port that nobody listens at."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@pytest.fixture
def status_of() -> Callable[[str], int]:
    """Return a function that gives the HTTP status of an address, 0 where nobody answers."""

    def ask(address: str) -> int:
        try:
            with urllib.request.urlopen(address, timeout=5) as answer:
                return int(answer.status)
        except urllib.error.HTTPError as error:
            return error.code
        except OSError:
            return 0

    return ask
