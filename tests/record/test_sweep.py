"""The sweep brings back what a crash or a lost message left behind."""

from collections.abc import Callable
from datetime import datetime, timedelta

import pytest

from roofops.record import actions
from roofops.record.models import Notice, Work
from roofops.record.notices import add_notice, claim_notice, mark_failed, mark_sent
from roofops.record.queries import background_state
from roofops.record.sweep import MAX_RUNS, sweep

pytestmark = pytest.mark.django_db
SECOND = timedelta(seconds=1)
Capture = Callable[..., object]
Make = Callable[..., Work]


@pytest.fixture
def sweep_at(sent: list[int], django_capture_on_commit_callbacks: Callable) -> Callable[[datetime], list[int]]:
    """Return a function that sweeps and returns which work was sent."""

    def run(now: datetime) -> list[int]:
        sent.clear()
        with django_capture_on_commit_callbacks(execute=True):
            sweep(now)
        return list(sent)

    return run


def test_a_lost_message_is_sent_again_after_ten_seconds_then_more_rarely(
    noon: datetime, queued: Make, sweep_at: Callable
) -> None:
    work = queued()
    sent_after_s = [second for second in range(0, 600, 5) if sweep_at(noon + second * SECOND) == [work.pk]]
    assert sent_after_s == [15, 30, 60, 120, 240, 360, 480]


def test_work_of_a_dead_runner_is_queued_again(noon: datetime, queued: Make, sweep_at: Callable) -> None:
    work = queued()
    token = actions.claim(work.pk, noon, lease=60 * SECOND)
    assert token is not None
    assert sweep_at(noon + 59 * SECOND) == []
    assert sweep_at(noon + 61 * SECOND) == [work.pk]
    assert not actions.finish(work.pk, token, "from the grave", noon + 62 * SECOND)
    assert actions.claim(work.pk, noon + 62 * SECOND) is not None


def test_work_that_kills_its_runner_is_given_up(noon: datetime, queued: Make, sweep_at: Callable) -> None:
    work = queued(state="running", runs=MAX_RUNS, lease_until=noon - SECOND)
    assert sweep_at(noon) == []
    work.refresh_from_db()
    assert work.state == "failed"
    assert work.error == "Its runner stopped 5 times without an answer."


def test_cancelled_work_of_a_dead_runner_ends_cancelled(noon: datetime, queued: Make, sweep_at: Callable) -> None:
    work = queued(state="running", runs=1, lease_until=noon - SECOND, cancel_requested=True)
    assert sweep_at(noon) == []
    work.refresh_from_db()
    assert work.state == "cancelled"


def test_ended_and_living_work_is_left_alone(noon: datetime, queued: Make, sweep_at: Callable) -> None:
    queued(state="done")
    queued(state="running", lease_until=noon + SECOND)
    assert sweep_at(noon + timedelta(seconds=0)) == []
    assert sorted(Work.objects.values_list("state", flat=True)) == ["done", "running"]


def test_each_sweep_is_a_sign_of_life(noon: datetime, sweep_at: Callable) -> None:
    assert background_state(noon).heartbeat_age is None
    sweep_at(noon)
    sweep_at(noon + 15 * SECOND)
    assert background_state(noon + 20 * SECOND).heartbeat_age == 5 * SECOND


def a_notice(now: datetime) -> int:
    """Return the id of a new notice."""
    return add_notice(
        recipient=("worker", 1), channel="page", subject=("job", 1), verdict_version="3", body="b", yard_id=1, now=now
    )


def test_a_notice_lost_between_sending_and_marking_is_uncertain_not_sent_again(
    noon: datetime, sweep_at: Callable
) -> None:
    notice_id = a_notice(noon)
    token = claim_notice(notice_id, noon)
    assert token is not None
    sweep_at(noon + timedelta(minutes=6))
    assert Notice.objects.get().state == "uncertain"
    assert claim_notice(notice_id, noon + timedelta(minutes=6)) is None
    assert mark_sent(notice_id, token, noon + timedelta(minutes=7)), "the slow sender came back: it was sent"
    assert Notice.objects.get().state == "sent"


def test_a_notice_goes_from_new_to_sent_or_failed_once(noon: datetime) -> None:
    notice_id = a_notice(noon)
    assert a_notice(noon) == notice_id
    token = claim_notice(notice_id, noon)
    assert token is not None
    assert mark_failed(notice_id, token, "no such number")
    assert not mark_sent(notice_id, token, noon)
    assert (Notice.objects.get().state, Notice.objects.get().error) == ("failed", "no such number")


def test_old_ended_work_is_forgotten_but_never_open_work(noon: datetime, queued: Make, sweep_at: Callable) -> None:
    old = noon - timedelta(days=31)
    queued(state="done", created_at=old)
    kept = [queued(state="queued", created_at=old), queued(state="done", created_at=noon - timedelta(days=29))]
    sweep_at(noon)
    assert sorted(Work.objects.values_list("pk", flat=True)) == sorted(work.pk for work in kept)
