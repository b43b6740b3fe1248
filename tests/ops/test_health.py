"""/healthz says that the process lives, /readyz that it can do its work."""

from datetime import timedelta
from typing import Any

import pytest
from django.db import DatabaseError
from django.test import Client

from roofops.record import clock, queries
from roofops.record.models import Heartbeat, Work

SECOND = timedelta(seconds=1)


def test_healthz_touches_nothing(client: Client, db: None, django_assert_num_queries: Any) -> None:
    with django_assert_num_queries(0):
        answer = client.get("/healthz")
    assert (answer.status_code, answer.content) == (200, b"ok\n")


@pytest.mark.parametrize(("beat_age_s", "expected"), [(None, 503), (5, 200), (61, 503)])
def test_readyz_needs_a_fresh_heartbeat(client: Client, db: None, beat_age_s: int | None, expected: int) -> None:
    if beat_age_s is not None:
        Heartbeat.objects.create(name="worker", at=clock.now() - beat_age_s * SECOND)
    assert client.get("/readyz").status_code == expected


@pytest.mark.parametrize(("waits_s", "expected"), [(60, 200), (130, 503)])
def test_readyz_needs_a_queue_that_moves(client: Client, db: None, waits_s: int, expected: int) -> None:
    now = clock.now()
    Heartbeat.objects.create(name="worker", at=now)
    Work.objects.create(kind="plan", created_at=now - waits_s * SECOND, sent_at=now)
    answer = client.get("/readyz")
    assert answer.status_code == expected
    assert answer.json()["oldest_queued_age_s"] == pytest.approx(waits_s, abs=5)


def test_a_worker_busy_with_long_work_counts_as_alive(client: Client, db: None) -> None:
    now = clock.now()
    Heartbeat.objects.create(name="worker", at=now - 300 * SECOND)
    Work.objects.create(kind="plan", state="running", lease_until=now + 60 * SECOND, created_at=now, sent_at=now)
    assert client.get("/readyz").status_code == 200


def test_readyz_says_when_the_database_is_gone(client: Client, monkeypatch: pytest.MonkeyPatch) -> None:
    def gone(now: object) -> None:
        raise DatabaseError("gone")

    monkeypatch.setattr(queries, "background_state", gone)
    answer = client.get("/readyz")
    assert (answer.status_code, answer.json()) == (503, {"ready": False, "database": False})


def test_a_page_forbids_inline_scripts_and_foreign_sources(client: Client) -> None:
    policy = client.get("/healthz").headers["Content-Security-Policy"]
    assert "default-src 'self'" in policy
    assert "object-src 'none'" in policy
    assert "frame-ancestors 'none'" in policy
    assert "unsafe" not in policy
    assert "http" not in policy
