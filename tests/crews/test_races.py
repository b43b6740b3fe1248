"""Two at the same moment: one plan is published, one report counted, one verdict in force."""

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
from tests.factories.crews import local, planned_yard, proposal, small_yard

pytestmark = pytest.mark.django_db(transaction=True)


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
