"""`manage.py up`: one command that runs the whole service."""

import errno
import fcntl
import os
import signal
import socket
import sys
import textwrap
import time
import urllib.error
import urllib.request
from argparse import ArgumentParser
from collections.abc import Callable
from io import StringIO
from pathlib import Path
from typing import IO, Any

from django.apps import apps
from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.db import connections

from roofops.supervisor import Program, Supervisor

DEFAULT_PORT = 8000
READY_WITHIN_S = 60.0


class Command(BaseCommand):
    """Runs web server, worker and timetable until Ctrl-C."""

    help = "Run everything: migrate, then web server, worker and timetable, until Ctrl-C."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Declare the options."""
        port = os.environ.get("PORT") or DEFAULT_PORT
        parser.add_argument("--port", type=int, default=port, help="port of the web server (default: PORT or 8000)")
        parser.add_argument("--host", default="127.0.0.1", help="address to listen at (default: this machine only)")
        parser.add_argument("--web-workers", type=int, default=2, help="processes of the web server (default: 2)")
        parser.add_argument("--demo", action="store_true", help="fill an empty database with the invented demo")
        parser.add_argument("--logs", action="store_true", help="log to the terminal, not to files")

    def handle(self, *args: Any, **options: Any) -> None:
        """Prepare the data folder, start all processes, and stay until told to stop."""
        host, port = options["host"], options["port"]
        # The variable keeps the lock: it is released when this process ends, however it ends.
        lock = _lock(settings.DATA_DIR)
        _require_free(host, port)
        call_command("migrate", interactive=False, verbosity=0)
        if settings.PRODUCTION:
            call_command("collectstatic", interactive=False, verbosity=0)
        sign_ins = self._load_demo() if options["demo"] else ""
        connections.close_all()  # from here on only the children use the database
        supervisor = Supervisor(
            programs=_programs(host, port, options["web_workers"]),
            environment={**os.environ, "TMPDIR": str(settings.DATA_DIR / "tmp"), "PYTHONUNBUFFERED": "1"},
            log_folder=None if options["logs"] else settings.DATA_DIR / "logs",
            say=self._say,
        )

        def greet(is_stopping: Callable[[], bool]) -> None:
            if _wait_until_served(host, port, is_stopping):
                self._greet(host, port, sign_ins, logs_on_terminal=options["logs"])

        supervisor.run(greet)
        lock.close()
        self._say("Stopped.")

    def _load_demo(self) -> str:
        """Load the demo where there is no yard yet; return what it says of itself and of signing in.

        A database with real yards is left alone.
        """
        yards = apps.get_model("jobs", "Yard").objects.all()
        if not yards.exists():
            self._say("The database is empty: loading the invented demo company. This takes a moment.")
        elif not yards.filter(is_demo=True).exists():
            return ""
        answer = StringIO()
        call_command("demo", stdout=answer)
        return textwrap.indent(answer.getvalue().strip(), "  ")

    def _greet(self, host: str, port: int, sign_ins: str, *, logs_on_terminal: bool) -> None:
        self._say("")
        self._say(f"  roofops runs at  {_address(host, port)}/")
        if sign_ins:
            self._say(sign_ins)
        if not logs_on_terminal:
            self._say(f"  Logs: {settings.DATA_DIR / 'logs'}")
        self._say("  Stop with Ctrl-C.")

    def _say(self, line: str) -> None:
        self.stdout.write(line)
        self.stdout.flush()


def _programs(host: str, port: int, web_workers: int) -> list[Program]:
    web = [
        *(sys.executable, "-m", "gunicorn", "roofops.wsgi:application"),
        *("--bind", f"{host}:{port}", "--workers", str(web_workers), "--worker-class", "gthread", "--threads", "6"),
        *("--timeout", "60", "--graceful-timeout", "20", "--no-control-socket"),
    ]
    celery = [sys.executable, "-m", "celery", "-A", "roofops"]
    concurrency = "2" if settings.REDIS_URL else "4"  # processes, or threads that mostly wait
    worker = [*celery, "worker", "--without-mingle", "--without-gossip", "--concurrency", concurrency]
    beat = [*celery, "beat", "--pidfile", "", "--schedule", str(settings.DATA_DIR / "beat-schedule")]
    # gunicorn ends its own workers at SIGQUIT; a thread worker cannot end while a thread runs, so it is killed, and
    # the leases bring its work back.
    return [Program("web", web, signal.SIGQUIT), Program("worker", worker), Program("beat", beat)]


def _lock(folder: Path) -> IO[str]:
    file = (folder / "lock").open("w")
    try:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        file.close()
        raise CommandError(f"roofops runs already with this data folder ({folder}). Stop it first.") from None
    return file


def _require_free(host: str, port: int) -> None:
    try:
        with socket.socket(socket.AF_INET6 if ":" in host else socket.AF_INET) as probe:
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            probe.bind((host, port))
    except OSError as error:
        if error.errno == errno.EADDRINUSE:
            raise CommandError(
                f"Port {port} is taken by another program. Choose another one: make run PORT={port + 1}"
            ) from None
        raise CommandError(f"Cannot listen at {host}:{port}: {error.strerror}.") from None


def _address(host: str, port: int) -> str:
    return f"http://{'localhost' if host in ('127.0.0.1', '0.0.0.0', '::') else host}:{port}"  # noqa: S104


def _wait_until_served(host: str, port: int, is_stopping: Callable[[], bool]) -> bool:
    """Wait for the web server's first answer; False where it is time to stop or none came."""
    target = "127.0.0.1" if host == "0.0.0.0" else host  # noqa: S104 - comparing, not binding
    deadline = time.monotonic() + READY_WITHIN_S
    while time.monotonic() < deadline and not is_stopping():
        try:
            with urllib.request.urlopen(f"http://{target}:{port}/healthz", timeout=2):
                return True
        except urllib.error.HTTPError:
            return True
        except OSError:
            time.sleep(0.1)
    return False
