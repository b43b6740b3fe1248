"""Two at the same moment: one plan is published, one report counted, one verdict in force."""

import importlib
import threading
import uuid
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor

import pytest
from django.db import connection

from crews import actions
from crews.models import Decision, Plan, PlanState, ProgressEntry
from crews.progress import NewEntry
from crews.refusals import Refused
from roofops.record.access import Access
from roofops.record.models import Notice
from tests.factories.crews import WORK_DAY, local, planned_yard, proposal, sky_over, small_yard

pytestmark = pytest.mark.django_db(transaction=True)
decide_module = importlib.import_module("crews.actions.decide")  # the package exports the action of the same name


def at_once(*asks: Callable[[], object]) -> list[object]:
    """The answers of several threads that start together; an exception is an answer."""
    gate = threading.Barrier(len(asks))

    def run(ask: Callable[[], object]) -> object:
        try:
            connection.ensure_connection()
            gate.wait(timeout=20)
            return ask()
        except Exception as error:
            return error
        finally:
            connection.close()

    with ThreadPoolExecutor(len(asks)) as pool:
        return list(pool.map(run, asks))


def test_of_two_publishers_exactly_one_wins_and_the_other_is_told() -> None:
    world, first = planned_yard()
    Plan.objects.filter(pk=first.pk).update(state=PlanState.DROPPED)
    second = proposal(world, seed=2)
    Plan.objects.filter(pk=first.pk).update(state=PlanState.PROPOSED)
    answers = at_once(
        lambda: actions.publish(world.manager, first.pk, world.plan.pk, local(5.5)),
        lambda: actions.publish(world.manager, second.pk, world.plan.pk, local(5.5)),
    )
    refused = [answer for answer in answers if isinstance(answer, Refused)]
    assert [error.code for error in refused] == ["stale"]
    assert Plan.objects.filter(yard=world.yard, state=PlanState.PUBLISHED).count() == 1
    assert Plan.objects.get(pk=world.plan.pk).state == PlanState.SUPERSEDED


def test_the_same_report_from_two_requests_is_kept_once() -> None:
    world = small_yard()
    section = world.job.sections.first()
    assert section is not None
    entry = NewEntry(uuid.uuid4(), world.job.pk, "torn_off", local(9), section_id=section.pk, done_after=3.0)
    answers = at_once(*[lambda: actions.report(world.lead, entry, local(9))] * 4)
    assert not [answer for answer in answers if isinstance(answer, Exception)]
    assert ProgressEntry.objects.filter(client_uuid=entry.client_uuid).count() == 1
    section.refresh_from_db()
    assert section.bare_squares == pytest.approx(3.0)


def test_two_reports_on_different_slopes_lose_nothing() -> None:
    world = small_yard()
    slopes = list(world.job.sections.order_by("position"))
    asks = [
        lambda s=slope, n=number: actions.report(
            world.lead,
            NewEntry(uuid.uuid4(), world.job.pk, "torn_off", local(9), section_id=s.pk, done_after=n + 1.0),
            local(9),
        )
        for number, slope in enumerate(slopes)
    ]
    assert not [answer for answer in at_once(*asks) if isinstance(answer, Exception)]
    assert [s.bare_squares for s in world.job.sections.order_by("position")] == pytest.approx([1.0, 2.0])


def test_verdicts_computed_at_the_same_moment_leave_one_in_force_and_one_notice() -> None:
    world = small_yard()
    answers = at_once(*[lambda: actions.decide(Access.system(), world.yard.pk, local(6))] * 4)
    assert not [answer for answer in answers if isinstance(answer, Exception)]
    assert Decision.objects.filter(job=world.job).count() == 1
    assert Decision.objects.get(job=world.job).in_force
    assert Notice.objects.count() == 1


def test_web_and_worker_deciding_at_once_leave_one_row_in_force_and_never_loosen_it() -> None:
    world = small_yard()
    actions.decide(Access.system(), world.yard.pk, local(6))
    sky_over(world.job, issued_at=local(8), wet=range(14, 19))
    for _round in range(3):
        answers = at_once(*[lambda: actions.decide(Access.system(), world.yard.pk, local(8))] * 4)
        assert not [answer for answer in answers if isinstance(answer, Exception)]
    row = Decision.objects.get(job=world.job, in_force=True)
    assert Decision.objects.filter(job=world.job).count() == 2
    assert row.dry_in_by is not None
    assert row.dry_in_by < local(14)


def test_a_decision_read_before_a_tighter_one_was_stored_is_read_again(monkeypatch: pytest.MonkeyPatch) -> None:
    world = small_yard()
    actions.decide(Access.system(), world.yard.pk, local(6))
    read, meanwhile = decide_module.due_roofs, []

    def due_roofs(*args: object) -> object:
        roofs = read(*args)
        if not meanwhile:  # another process fetches rain and decides while this one still holds what it read
            meanwhile.append(True)
            sky_over(world.job, issued_at=local(8), wet=range(14, 19))
            actions.decide(Access.system(), world.yard.pk, local(8))
        return roofs

    monkeypatch.setattr(decide_module, "due_roofs", due_roofs)
    actions.decide(Access.system(), world.yard.pk, local(8))
    row = Decision.objects.get(job=world.job, in_force=True)
    assert row.forecast is not None
    assert row.forecast.issued_at == local(8)
    assert row.dry_in_by is not None
    assert row.dry_in_by < local(14)
    assert not Decision.objects.filter(job=world.job, waiting=True).exists()


def test_a_hold_and_a_tighter_verdict_at_once_both_hold() -> None:
    world = small_yard()
    actions.decide(Access.system(), world.yard.pk, local(6))
    sky_over(world.job, issued_at=local(8), wet=range(14, 19))
    answers = at_once(
        lambda: actions.hold(world.manager, world.job.pk, WORK_DAY, "inspector is late", local(8)),
        lambda: actions.decide(Access.system(), world.yard.pk, local(8)),
        lambda: actions.limit_further(world.manager, world.job.pk, WORK_DAY, 0.0, "short of hands", local(8)),
    )
    assert not [answer for answer in answers if isinstance(answer, Exception) and not isinstance(answer, Refused)]
    row = Decision.objects.get(job=world.job, in_force=True)
    assert row.held
    assert row.verdict != "tear_off"
    assert row.forecast is not None
    assert row.forecast.issued_at == local(8)
