"""What the office may do to a roof's day: only less by itself; more only by a manager, on a sound forecast."""

from datetime import timedelta

import pytest

from crews import actions
from crews.models import Decision
from crews.refusals import Refused
from roofops.record.access import Access, Forbidden, NotFound, Role
from roofops.record.models import LogEntry
from tests.factories.crews import WORK_DAY, SmallYard, local, person, sky_over, small_yard

pytestmark = pytest.mark.django_db
SYSTEM = Access.system()


def decided(**hours: object) -> SmallYard:
    world = small_yard(**hours)
    actions.decide(SYSTEM, world.yard.pk, local(6))
    return world


def in_force(world: SmallYard) -> Decision:
    return Decision.objects.get(job=world.job, in_force=True)


def test_a_limit_of_ones_own_holds_at_once_and_is_never_passed() -> None:
    world = decided()
    before = in_force(world)
    row = actions.limit_further(world.manager, world.job.pk, WORK_DAY, 3.0, "new people", local(6.2))
    assert row.in_force
    assert row.in_all_today_squares <= 3.0
    assert row.in_all_today_squares < before.in_all_today_squares
    assert row.accepted_by == world.manager.user
    assert LogEntry.objects.filter(verb="limited", subject_id=str(world.job.pk)).exists()


def test_the_limit_stays_when_the_sky_gets_better() -> None:
    world = decided(wet=range(14, 19))
    actions.limit_further(world.manager, world.job.pk, WORK_DAY, 2.0, "new people", local(6.2))
    sky_over(world.job, issued_at=local(8))
    actions.decide(SYSTEM, world.yard.pk, local(8))
    assert in_force(world).in_all_today_squares <= 2.0
    assert not Decision.objects.filter(job=world.job, waiting=True, in_all_today_squares__gt=2.0).exists()


@pytest.mark.parametrize("squares", [-1.0, 500.0])
def test_a_limit_takes_only_less(squares: float) -> None:
    world = decided()
    with pytest.raises(Refused):
        actions.limit_further(world.manager, world.job.pk, WORK_DAY, squares, "why", local(6.2))
    assert Decision.objects.count() == 1


def test_less_at_once_is_a_limit_of_its_own() -> None:
    world = decided()
    row = actions.limit_further(
        world.manager, world.job.pk, WORK_DAY, in_force(world).in_all_today_squares, "gusts", local(6.2), at_once=2.5
    )
    assert row.bare_at_once_squares <= 2.5


def test_orders_need_a_reason() -> None:
    world = decided()
    with pytest.raises(Refused, match="why"):
        actions.hold(world.manager, world.job.pk, WORK_DAY, "  ", local(6.2))
    with pytest.raises(Refused, match="why"):
        actions.limit_further(world.manager, world.job.pk, WORK_DAY, 1.0, "", local(6.2))


def test_a_hold_stops_opening_and_lasts_until_a_manager_releases_it() -> None:
    world = decided()
    actions.hold(world.manager, world.job.pk, WORK_DAY, "power line down", local(6.2))
    held = in_force(world)
    assert held.held
    assert held.verdict == "no_tear_off"
    sky_over(world.job, issued_at=local(8))
    actions.decide(SYSTEM, world.yard.pk, local(8))
    assert in_force(world).verdict == "no_tear_off"
    actions.release(world.manager, world.job.pk, WORK_DAY, "line is up", local(8.2))
    free = in_force(world)
    assert (free.held, free.verdict) == (False, "tear_off")
    with pytest.raises(Refused, match="Nothing is held"):
        actions.release(world.manager, world.job.pk, WORK_DAY, "again", local(8.3))


def test_a_hold_never_stops_covering_what_is_bare() -> None:
    world = small_yard()
    section = world.job.sections.first()
    assert section is not None
    section.bare_squares, section.old_squares = 3.0, section.squares - 3.0
    section.save()
    actions.decide(SYSTEM, world.yard.pk, local(8))
    actions.hold(world.manager, world.job.pk, WORK_DAY, "inspector says stop", local(8.2))
    run = in_force(world).run["run"]
    assert min(point["bare"] for point in run["areas"]) == pytest.approx(0)
    kinds = {step["kind"] for step in run["steps"]}
    assert "tear_off" not in kinds
    assert "underlayment" in kinds or "tarp" in kinds


def test_a_dispatcher_may_hold_but_not_release_or_accept() -> None:
    world = decided()
    dispatcher = person(world.yard, "dirk", Role.DISPATCHER)
    actions.hold(dispatcher, world.job.pk, WORK_DAY, "truck in the way", local(6.2))
    with pytest.raises(Forbidden):
        actions.release(dispatcher, world.job.pk, WORK_DAY, "gone", local(6.3))
    with pytest.raises(Forbidden):
        actions.accept(dispatcher, in_force(world).pk, local(6.3))


def test_a_crew_lead_and_a_stranger_order_nothing() -> None:
    world = decided()
    with pytest.raises(Forbidden):
        actions.hold(world.lead, world.job.pk, WORK_DAY, "tired", local(6.2))
    with pytest.raises(NotFound):
        actions.hold(Access.nobody(), world.job.pk, WORK_DAY, "curious", local(6.2))
    assert not in_force(world).held


def test_a_looser_verdict_is_not_accepted_on_a_forecast_that_has_grown_too_old() -> None:
    world = decided(wet=range(14, 19))
    sky_over(world.job, issued_at=local(8))
    actions.decide(SYSTEM, world.yard.pk, local(8))
    waiting = Decision.objects.get(job=world.job, waiting=True)
    late = local(8) + timedelta(hours=6, minutes=5)
    with pytest.raises(Refused):
        actions.accept(world.manager, waiting.pk, late)
    assert in_force(world).verdict != "tear_off"


def test_a_verdict_that_was_overtaken_is_not_accepted() -> None:
    world = decided()
    old = in_force(world)
    sky_over(world.job, issued_at=local(8), wet=range(13, 19))
    actions.decide(SYSTEM, world.yard.pk, local(8))
    with pytest.raises(Refused, match="changed while you looked"):
        actions.accept(world.manager, old.pk, local(8.1))


def test_all_unchanged_verdicts_are_accepted_together() -> None:
    world = decided()
    assert actions.accept_all_unchanged(world.manager, world.yard.pk, local(6.2)) == 1
    assert in_force(world).accepted_at == local(6.2)
    assert actions.accept_all_unchanged(world.manager, world.yard.pk, local(6.3)) == 0


def test_acceptance_names_what_the_verdict_was_computed_from() -> None:
    world = decided()
    row = actions.accept(world.manager, in_force(world).pk, local(6.1))
    entry = LogEntry.objects.get(verb="accepted")
    assert entry.data["basis"]["forecast"] == row.forecast_id
    assert entry.forecast_ref == f"forecast:{row.forecast_id}"
    assert {"limits", "people", "speed"} <= set(entry.data["basis"])


def test_time_alone_makes_no_new_verdict_but_hours_of_silence_do() -> None:
    world = decided(n_hours=60)
    sky_over(world.job, issued_at=local(5), checked_at=local(9))
    actions.decide(SYSTEM, world.yard.pk, local(8))
    assert Decision.objects.count() == 1
    actions.decide(SYSTEM, world.yard.pk, local(13))
    assert Decision.objects.count() == 2
    assert in_force(world).in_all_today_squares < Decision.objects.get(version=1).in_all_today_squares
