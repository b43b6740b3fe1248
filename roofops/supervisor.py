"""Keeps a few child processes running: starts them, restarts those that end, stops all of them together."""

import contextlib
import os
import signal
import subprocess
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path
from types import FrameType

from roofops.record.parent_death import die_with_parent

FIRST_WAIT_S = 1.0
LONGEST_WAIT_S = 30.0
# A child that lived this long was well: its next wait starts small again.
STEADY_AFTER_S = 60.0
STOP_WITHIN_S = 25.0
POLL_S = 0.2
LARGEST_LOG_BYTES = 10 * 1024 * 1024


@dataclass(frozen=True)
class Program:
    """What to run.

    Parameters
    ----------
    name
        Shown to people, and the name of the log file.
    command
        Program and arguments.
    death_signal
        Sent by the kernel when the supervisor itself is killed; it must end the program and its own children.
    """

    name: str
    command: Sequence[str]
    death_signal: int = signal.SIGKILL


@dataclass
class _Child:
    program: Program
    process: subprocess.Popen[bytes] | None = None
    started_at: float = 0.0
    restart_at: float = 0.0
    quick_ends: int = 0  # ends in a row without a steady run between them


@dataclass
class Supervisor:
    """Runs programs until it is told to stop by SIGTERM or SIGINT.

    Must be used from the main thread: the kernel ties a child to the thread that made it.

    Parameters
    ----------
    programs
        What to run.
    environment
        The children's environment.
    log_folder
        Where each child's output goes; None: to this process's own output.
    say
        Tells people what happens, one line at a time.
    """

    programs: Sequence[Program]
    environment: Mapping[str, str]
    log_folder: Path | None
    say: Callable[[str], None]
    _children: list[_Child] = field(default_factory=list, init=False)
    _stopping: bool = field(default=False, init=False)

    def run(self, when_started: Callable[[Callable[[], bool]], None]) -> None:
        """Start all programs, call `when_started(is_stopping)`, then watch until told to stop; stop all of them."""
        previous = {number: signal.signal(number, self._on_signal) for number in (signal.SIGTERM, signal.SIGINT)}
        try:
            for program in self.programs:
                child = _Child(program)
                self._children.append(child)
                self._start(child)
            when_started(self._look_after)
            while not self._look_after():
                time.sleep(POLL_S)
        finally:
            self._stop_all()
            for number, handler in previous.items():
                signal.signal(number, handler)

    def _on_signal(self, number: int, frame: FrameType | None) -> None:
        self._stopping = True

    def _start(self, child: _Child) -> None:
        output = self._open_log(child.program.name)
        try:
            child.process = subprocess.Popen(  # noqa: S603 - our own fixed command lines
                child.program.command,
                env=dict(self.environment),
                stdin=subprocess.DEVNULL,
                stdout=output,
                stderr=subprocess.STDOUT if output is not None else None,
                start_new_session=True,
                preexec_fn=partial(die_with_parent, child.program.death_signal),
            )
        finally:
            if output is not None:
                os.close(output)
        child.started_at = time.monotonic()

    def _open_log(self, name: str) -> int | None:
        if self.log_folder is None:
            return None
        path = self.log_folder / f"{name}.log"
        if path.exists() and path.stat().st_size > LARGEST_LOG_BYTES:
            path.replace(path.with_suffix(".log.1"))
        return os.open(path, os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o640)

    def _look_after(self) -> bool:
        """Restart what has ended and whose waiting time is over; return whether it is time to stop."""
        for child in self._children:
            if self._stopping:
                break
            now = time.monotonic()
            if child.process is None:
                if now >= child.restart_at:
                    self._start(child)
            elif child.process.poll() is not None:
                self._note_end(child, now)
        return self._stopping

    def _note_end(self, child: _Child, now: float) -> None:
        assert child.process is not None
        code = child.process.returncode
        _end_group(child.process.pid)
        if now - child.started_at >= STEADY_AFTER_S:
            child.quick_ends = 0
        wait_s = min(FIRST_WAIT_S * 2**child.quick_ends, LONGEST_WAIT_S)
        child.quick_ends += 1
        self.say(f"The {child.program.name} process ended (code {code}); starting it again in {wait_s:g} s.")
        child.process = None
        child.restart_at = now + wait_s

    def _stop_all(self) -> None:
        """Ask all children to stop, wait, then kill what is left of their groups."""
        running = [child.process for child in self._children if child.process is not None]
        for process in running:
            if process.poll() is None:
                process.terminate()
        deadline = time.monotonic() + STOP_WITHIN_S
        for process in running:
            with contextlib.suppress(subprocess.TimeoutExpired):
                process.wait(timeout=max(0.0, deadline - time.monotonic()))
        for process in running:
            _end_group(process.pid)
            process.wait()


def _end_group(leader_pid: int) -> None:
    """Kill whatever is left of a child's process group."""
    with contextlib.suppress(ProcessLookupError, PermissionError):
        os.killpg(leader_pid, signal.SIGKILL)
