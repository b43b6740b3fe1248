"""Threads that claim at the same moment, each on its own connection: exactly one gets the work."""

import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import datetime, timedelta
from typing import TypeVar

import pytest
from django.db import connection

from roofops.record import actions
from roofops.record.access import Access
from roofops.record.models import Notice, Work
from roofops.record.notices import add_notice, claim_notice

pytestmark = pytest.mark.django_db(transaction=True)
THREADS = 4
ROUNDS = 25
Answer = TypeVar("Answer")


def at_once(ask: Callable[[], Answer]) -> list[Answer]:
    """Return the answers of several threads that ask at the same moment."""
    gate = threading.Barrier(THREADS)

    def wait_and_ask(_: int) -> Answer:
        try:
            connection.ensure_connection()
            gate.wait(timeout=20)
            return ask()
        finally:
            connection.close()

    with ThreadPoolExecutor(THREADS) as pool:
        return list(pool.map(wait_and_ask, range(THREADS)))


def test_queued_work_is_claimed_exactly_once(noon: datetime, queued: Callable[..., Work]) -> None:
    for _ in range(ROUNDS):
        work = queued()
        tokens = [token for token in at_once(lambda pk=work.pk: actions.claim(pk, noon)) if token is not None]
        work.refresh_from_db()
        assert tokens == [work.token]
        assert work.runs == 1


def test_lapsed_work_is_taken_over_exactly_once(noon: datetime, queued: Callable[..., Work]) -> None:
    for _ in range(ROUNDS):
        work = queued(state="running", lease_until=noon - timedelta(seconds=1), runs=1)
        tokens = [token for token in at_once(lambda pk=work.pk: actions.claim(pk, noon)) if token is not None]
        work.refresh_from_db()
        assert tokens == [work.token]
        assert work.runs == 2


def test_the_same_key_started_at_once_makes_one_row(noon: datetime, sent: list[int]) -> None:
    for round_number in range(ROUNDS):
        key = f"yard-{round_number}"
        works = at_once(lambda key=key: actions.start_work("test", {}, noon, Access.system(), None, key))
        assert len({work.pk for work in works}) == 1
    assert Work.objects.count() == len(sent) == ROUNDS


def test_a_notice_is_made_and_claimed_exactly_once(noon: datetime) -> None:
    for round_number in range(ROUNDS):
        ids = at_once(
            lambda version=str(round_number): add_notice(
                recipient=("worker", 1), channel="page", subject=("job", 1), verdict_version=version,
                body="Dry in by 14:00", yard_id=1, now=noon,
            )
        )  # fmt: skip
        assert len(set(ids)) == 1
        assert sum(token is not None for token in at_once(lambda pk=ids[0]: claim_notice(pk, noon))) == 1
    assert Notice.objects.count() == ROUNDS


def test_a_tick_is_taken_exactly_once(noon: datetime) -> None:
    for minute in range(ROUNDS):
        now = noon + timedelta(minutes=minute)
        assert sum(at_once(lambda now=now: actions.take_slot("sweep", now, timedelta(minutes=1)))) == 1
