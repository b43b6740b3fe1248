"""A runner's result, refusal, fault or stop ends up in the row."""

from collections.abc import Callable
from datetime import datetime

import pytest

from roofops.record import actions, runners
from roofops.record.access import Access
from roofops.record.models import Work
from roofops.record.runners import Stopped, register, run

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("no_kinds")]
Make = Callable[..., Work]


def test_the_result_of_a_runner_is_stored(noon: datetime, queued: Make) -> None:
    @register("test")
    def double(work_id, token, progress, params, now):  # noqa: ANN001, ANN202
        assert progress(0.5, "half")
        return {"doubled": params["number"] * 2, "at": now.isoformat()}

    work = queued(params={"number": 21})
    run(work.pk, noon)
    work.refresh_from_db()
    assert (work.state, work.progress, work.error) == ("done", 1.0, "")
    assert work.result == {"doubled": 42, "at": "2026-06-01T12:00:00+00:00"}


def test_a_refusal_is_shown_in_its_own_words(noon: datetime, queued: Make) -> None:
    @register("test")
    def refuse(work_id, token, progress, params, now):  # noqa: ANN001, ANN202
        raise ValueError("The yard has no crew.")

    work = queued()
    run(work.pk, noon)
    work.refresh_from_db()
    assert (work.state, work.error) == ("failed", "The yard has no crew.")


def test_a_fault_fails_the_work_and_names_its_kind(noon: datetime, queued: Make) -> None:
    @register("test")
    def stumble(work_id, token, progress, params, now):  # noqa: ANN001, ANN202
        return params["missing"]

    work = queued()
    run(work.pk, noon)
    work.refresh_from_db()
    assert (work.state, work.error) == ("failed", "Unexpected fault (KeyError): 'missing'")


def test_a_cancelled_runner_stops_at_its_next_step(noon: datetime, queued: Make) -> None:
    steps = []

    @register("test")
    def count(work_id, token, progress, params, now):  # noqa: ANN001, ANN202
        for step in range(10):
            if step == 3:
                actions.request_cancel(Access.system(), work_id, now)
            if not progress(step / 10, f"step {step}"):
                raise Stopped
            steps.append(step)

    work = queued()
    run(work.pk, noon)
    work.refresh_from_db()
    assert (work.state, steps) == ("cancelled", [0, 1, 2])


def test_a_runner_that_ignores_the_cancel_has_its_result_dropped(noon: datetime, queued: Make) -> None:
    @register("test")
    def deaf(work_id, token, progress, params, now):  # noqa: ANN001, ANN202
        actions.request_cancel(Access.system(), work_id, now)
        return "done anyway"

    work = queued()
    run(work.pk, noon)
    work.refresh_from_db()
    assert (work.state, work.result) == ("cancelled", None)


def test_a_second_message_for_the_same_work_does_nothing(noon: datetime, queued: Make) -> None:
    calls = []

    @register("test")
    def once(work_id, token, progress, params, now):  # noqa: ANN001, ANN202
        calls.append(work_id)
        run(work_id, now)

    work = queued()
    run(work.pk, noon)
    run(work.pk, noon)
    run(work.pk + 1000, noon)
    assert calls == [work.pk]


def test_a_kind_that_nobody_registered_fails_with_its_name(noon: datetime, queued: Make) -> None:
    work = queued(kind="unheard-of")
    run(work.pk, noon)
    work.refresh_from_db()
    assert (work.state, work.error) == ("failed", "Nothing here can do background work of kind 'unheard-of'.")


def test_two_runners_for_one_kind_are_refused() -> None:
    @register("test")
    def first(work_id, token, progress, params, now):  # noqa: ANN001, ANN202
        return 1

    register("test")(first)
    with pytest.raises(ValueError, match="has a runner already"):
        register("test")(lambda work_id, token, progress, params, now: 2)
    assert runners._kinds["test"].runner is first
