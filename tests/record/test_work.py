"""Background work: one runner at a time, progress, results, cancelling."""

import uuid
from collections.abc import Callable
from datetime import datetime, timedelta

import pytest
from django.contrib.auth.models import User
from django.db import IntegrityError, transaction

from roofops.record import actions, queries
from roofops.record.access import Access, NotFound, Role
from roofops.record.models import Work

pytestmark = pytest.mark.django_db
MINUTE = timedelta(minutes=1)
Make = Callable[..., Work]


@pytest.fixture
def manager() -> Access:
    """The manager of yard 1."""
    return Access(user=User.objects.create_user("mara"), role_by_yard={1: Role.MANAGER})


def test_started_work_is_sent_once_the_transaction_is_over(
    noon: datetime, manager: Access, sent: list[int], django_capture_on_commit_callbacks: Callable
) -> None:
    with django_capture_on_commit_callbacks(execute=True):
        work = actions.start_work("plan", {"days": 14}, noon, manager, yard_id=1)
        assert sent == []
    assert sent == [work.pk]
    stored = queries.work(manager, work.pk)
    assert (stored.kind, stored.state, stored.is_open) == ("plan", "queued", True)


def test_a_rolled_back_start_sends_nothing(
    noon: datetime, manager: Access, sent: list[int], django_capture_on_commit_callbacks: Callable
) -> None:
    with django_capture_on_commit_callbacks(execute=True), pytest.raises(RuntimeError), transaction.atomic():
        actions.start_work("plan", {}, noon, manager, yard_id=1)
        raise RuntimeError
    assert sent == []
    assert not Work.objects.exists()


def test_the_same_key_is_not_started_twice_while_it_is_open(noon: datetime, manager: Access, sent: list[int]) -> None:
    first = actions.start_work("plan", {}, noon, manager, 1, dedupe_key="yard-1")
    assert actions.start_work("plan", {}, noon, manager, 1, dedupe_key="yard-1") == first
    assert actions.start_work("plan", {}, noon, manager, 1, dedupe_key="yard-2") != first
    assert actions.start_work("other", {}, noon, manager, 1, dedupe_key="yard-1") != first
    token = actions.claim(first.pk, noon)
    assert token is not None
    assert actions.start_work("plan", {}, noon, manager, 1, dedupe_key="yard-1") == first
    actions.finish(first.pk, token, None, noon)
    assert actions.start_work("plan", {}, noon, manager, 1, dedupe_key="yard-1") != first


def test_work_without_a_key_may_be_started_many_times(noon: datetime, manager: Access, sent: list[int]) -> None:
    assert actions.start_work("plan", {}, noon, manager, 1) != actions.start_work("plan", {}, noon, manager, 1)


def test_nobody_starts_work_in_a_yard_they_do_not_see(noon: datetime, manager: Access) -> None:
    with pytest.raises(NotFound):
        actions.start_work("plan", {}, noon, manager, yard_id=2)


def test_only_one_runner_gets_the_work(noon: datetime, queued: Make) -> None:
    work = queued()
    assert actions.claim(work.pk, noon) is not None
    assert actions.claim(work.pk, noon) is None


def test_work_whose_lease_is_over_goes_to_another_and_the_first_runner_must_stop(noon: datetime, queued: Make) -> None:
    work = queued()
    first = actions.claim(work.pk, noon, lease=MINUTE)
    assert first is not None
    assert actions.report_progress(work.pk, first, 0.2, "a", noon + MINUTE, lease=MINUTE)
    assert actions.claim(work.pk, noon + 2 * MINUTE) is None, "progress extends the lease"
    second = actions.claim(work.pk, noon + 3 * MINUTE)
    assert second is not None
    assert second != first
    assert not actions.report_progress(work.pk, first, 0.9, "late", noon + 3 * MINUTE)
    assert not actions.finish(work.pk, first, "wrong", noon + 3 * MINUTE)
    assert not actions.fail(work.pk, first, "wrong", noon + 3 * MINUTE)
    assert actions.finish(work.pk, second, "right", noon + 3 * MINUTE)
    work.refresh_from_db()
    assert (work.result, work.runs, work.started_at, work.state) == ("right", 2, noon, "done")


def test_progress_is_kept_between_0_and_1(noon: datetime, queued: Make) -> None:
    work = queued()
    token = actions.claim(work.pk, noon)
    assert token is not None
    actions.report_progress(work.pk, token, 1.7, "x" * 500, noon)
    work.refresh_from_db()
    assert work.progress == 1.0
    assert len(work.progress_note) == 200
    with pytest.raises(IntegrityError), transaction.atomic():
        Work.objects.update(progress=-0.1)


def test_waiting_work_is_cancelled_at_once(noon: datetime, queued: Make, manager: Access) -> None:
    work = queued()
    actions.request_cancel(manager, work.pk, noon)
    assert queries.work(manager, work.pk).state == "cancelled"
    assert actions.claim(work.pk, noon) is None


def test_running_work_is_asked_to_stop_and_keeps_no_result(noon: datetime, queued: Make, manager: Access) -> None:
    work = queued()
    token = actions.claim(work.pk, noon)
    assert token is not None
    actions.request_cancel(manager, work.pk, noon)
    assert not actions.report_progress(work.pk, token, 0.5, "", noon)
    assert not actions.finish(work.pk, token, "too late", noon)
    assert actions.settle_cancel(work.pk, token, noon)
    assert (queries.work(manager, work.pk).state, queries.work(manager, work.pk).result) == ("cancelled", None)


def test_ended_work_stays_as_it_is_when_cancelled(noon: datetime, queued: Make, manager: Access) -> None:
    work = queued()
    token = actions.claim(work.pk, noon)
    assert token is not None
    actions.finish(work.pk, token, 7, noon)
    actions.request_cancel(manager, work.pk, noon)
    assert queries.work(manager, work.pk).state == "done"


def test_work_of_another_yard_does_not_exist(noon: datetime, queued: Make, manager: Access) -> None:
    foreign = queued(yard_id=2)
    with pytest.raises(NotFound):
        queries.work(manager, foreign.pk)
    with pytest.raises(NotFound):
        actions.request_cancel(manager, foreign.pk, noon)
    assert queries.latest_work(manager, "test") is None


def test_a_forged_token_gets_nothing(noon: datetime, queued: Make) -> None:
    work = queued()
    actions.claim(work.pk, noon)
    assert not actions.finish(work.pk, uuid.uuid4(), "forged", noon)


def test_a_tick_belongs_to_one_asker_only(noon: datetime) -> None:
    every = timedelta(seconds=15)
    assert actions.take_slot("sweep", noon, every)
    assert not actions.take_slot("sweep", noon + timedelta(seconds=14), every)
    assert actions.take_slot("sweep", noon + timedelta(seconds=15), every)
    assert actions.take_slot("watch", noon, every)
