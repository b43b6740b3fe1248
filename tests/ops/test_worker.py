"""A real worker does real work over a real broker, also when it is killed in the middle."""

import os
import signal
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit, urlunsplit

import psycopg
import pytest
import redis
from psycopg import sql

POSTGRES_URL = os.environ.get("ROOFOPS_TEST_POSTGRES", "")
REDIS_URL = os.environ.get("ROOFOPS_TEST_REDIS", "")

START = """
from roofops.record import actions, clock
from roofops.record.access import Access
for number in range({count}):
    params = dict(trace={trace!r}, seconds={seconds}, number=number)
    actions.start_work("slow", params, clock.now(), Access.system())
"""
STATES = """
from roofops.record.models import Work
print(sorted(Work.objects.values_list("state", "runs")))
"""
WORKER = ("-m", "celery", "-A", "tests.ops.slow_worker", "worker", "--without-mingle", "--without-gossip", "-c", "2")


@pytest.fixture
def full(installation: Any, tmp_path: Path) -> Iterator[Any]:
    """The installation with a PostgreSQL database and a Redis of its own."""
    name = f"roofops_ops_{os.getpid()}"
    with psycopg.connect(POSTGRES_URL, autocommit=True) as server:
        server.execute(sql.SQL("DROP DATABASE IF EXISTS {}").format(sql.Identifier(name)))
        server.execute(sql.SQL("CREATE DATABASE {}").format(sql.Identifier(name)))
    broker = redis.Redis.from_url(REDIS_URL)
    for key in broker.scan_iter("roofops:*"):
        broker.delete(key)
    installation.extra |= {
        "DATABASE_URL": urlunsplit(urlsplit(POSTGRES_URL)._replace(path=f"/{name}")),
        "REDIS_URL": REDIS_URL,
    }
    yield installation
    installation.end()
    for key in broker.scan_iter("roofops:*"):
        broker.delete(key)
    broker.close()
    with psycopg.connect(POSTGRES_URL, autocommit=True) as server:
        server.execute(sql.SQL("DROP DATABASE {} WITH (FORCE)").format(sql.Identifier(name)))


def do_six(installation: Any, trace: Path, until: Callable[..., None]) -> None:
    """Queue six short works, start a worker, and check that each was done once."""
    assert installation.manage("migrate", "-v0").returncode == 0
    installation.django(START.format(count=6, trace=str(trace), seconds=0.3))
    worker = installation.start(*WORKER)
    until(lambda: trace.exists() and trace.read_text().count("end") == 6, "six works are done")
    until(lambda: "done" in (text := installation.django(STATES)) and "running" not in text, "the rows say so")
    assert installation.django(STATES).strip() == str([("done", 1)] * 6)
    assert sorted(trace.read_text().split("\n"))[1:] == sorted(
        f"{word} {number}" for word in ("start", "end") for number in range(1, 7)
    )
    worker.send_signal(signal.SIGTERM)
    assert worker.wait(timeout=20) == 0


def survive_a_kill(installation: Any, trace: Path, until: Callable[..., None]) -> None:
    """Kill a worker in the middle of its work, start another, and check that the work is done once."""
    assert installation.manage("migrate", "-v0").returncode == 0
    installation.django(START.format(count=1, trace=str(trace), seconds=2))
    worker = installation.start(*WORKER)
    until(lambda: trace.exists() and "start 1" in trace.read_text(), "the work has begun")
    os.kill(worker.pid, signal.SIGKILL)
    worker.wait()
    until(lambda: not installation.processes(), "no child of the killed worker is left")
    assert "end" not in trace.read_text()
    assert installation.django(STATES).strip() == "[('running', 1)]"
    # The timetable's sweep in small: it finds the lapsed lease and sends the work again.
    sweep = "from roofops.record import clock, sweep; print(sweep.sweep(clock.now()).requeued)"
    until(lambda: installation.django(sweep).strip() == "1", "the lease lapses and the sweep takes the work back")
    installation.start(*WORKER)
    until(lambda: "end 1" in trace.read_text(), "the second worker does the work")
    until(lambda: "running" not in installation.django(STATES), "the row says so")
    assert installation.django(STATES).strip() == "[('done', 2)]"
    assert trace.read_text() == "start 1\nstart 1\nend 1\n"


def test_files_as_queue_each_work_is_done_once(installation: Any, tmp_path: Path, until: Callable[..., None]) -> None:
    do_six(installation, tmp_path / "trace", until)
    assert list((installation.data / "queue" / "in").iterdir()) == []


@pytest.mark.redis
@pytest.mark.postgres
def test_redis_and_postgresql_each_work_is_done_once(full: Any, tmp_path: Path, until: Callable[..., None]) -> None:
    do_six(full, tmp_path / "trace", until)


@pytest.mark.endure
def test_files_as_queue_work_of_a_killed_worker_is_done_by_the_next(
    installation: Any,
    tmp_path: Path,
    until: Callable[..., None],
) -> None:
    survive_a_kill(installation, tmp_path / "trace", until)


@pytest.mark.endure
@pytest.mark.redis
@pytest.mark.postgres
def test_redis_and_postgresql_work_of_a_killed_worker_is_done_by_the_next(
    full: Any,
    tmp_path: Path,
    until: Callable[..., None],
) -> None:
    survive_a_kill(full, tmp_path / "trace", until)
