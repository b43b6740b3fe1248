"""A tighter verdict holds at once; a looser one waits for a person; what is stale opens nothing."""

from datetime import timedelta

import pytest

from crews import actions
from crews.actions.pruning import prune_old_forecasts
from crews.models import Decision
from crews.refusals import Refused
from roofops.record.access import Access
from roofops.record.models import Notice
from tests.factories.crews import SmallYard, local, sky_over, small_yard
from weather.models import Forecast

pytestmark = pytest.mark.django_db
SYSTEM = Access.system()


def in_force(world: SmallYard) -> Decision:
    return Decision.objects.get(job=world.job, in_force=True)


def test_a_dry_day_lets_the_crew_tear_off() -> None:
    world = small_yard()
    [decided] = actions.decide(SYSTEM, world.yard.pk, local(6))
    row = in_force(world)
    assert row.pk == decided.decision_id
    assert row.verdict == "tear_off"
    assert 0 < row.bare_at_once_squares <= 5.0
    assert row.in_all_today_squares > row.bare_at_once_squares
    assert row.dry_in_by is not None
    assert row.stop_line


def test_rain_in_the_new_forecast_acts_at_once_and_tells_the_crew() -> None:
    world = small_yard()
    actions.decide(SYSTEM, world.yard.pk, local(6))
    before = in_force(world)
    sky_over(world.job, issued_at=local(8), wet=range(14, 19))
    [decided] = actions.decide(SYSTEM, world.yard.pk, local(8))
    after = in_force(world)
    assert decided.changed
    assert after.version == before.version + 1
    assert after.in_all_today_squares < before.in_all_today_squares
    assert after.dry_in_by is not None
    assert after.dry_in_by < local(14)
    assert Notice.objects.filter(
        recipient_id=str(world.crew.pk), verdict_version__endswith=f":{after.version}"
    ).exists()


def test_a_better_forecast_waits_until_the_manager_accepts_it() -> None:
    world = small_yard(wet=range(14, 19))
    actions.decide(SYSTEM, world.yard.pk, local(6))
    before = in_force(world)
    sky_over(world.job, issued_at=local(8))
    [decided] = actions.decide(SYSTEM, world.yard.pk, local(8))
    assert decided.waits
    held = in_force(world)
    assert held.pk == before.pk
    assert held.in_all_today_squares == before.in_all_today_squares
    assert held.dry_in_by == before.dry_in_by
    waiting = Decision.objects.get(job=world.job, waiting=True)
    assert waiting.in_all_today_squares > held.in_all_today_squares
    actions.accept(
        world.manager,
        waiting.pk,
        local(
            8,
        )
        + timedelta(minutes=2),
    )
    now_held = in_force(world)
    assert now_held.pk == waiting.pk
    assert now_held.accepted_by == world.manager.user


def test_what_waits_is_planned_within_the_limits_that_still_hold() -> None:
    world = small_yard(wet=range(14, 19))
    actions.decide(SYSTEM, world.yard.pk, local(6))
    sky_over(world.job, issued_at=local(8))
    actions.decide(SYSTEM, world.yard.pk, local(8))
    held = in_force(world)
    assert held.dry_in_by is not None
    areas = held.run["run"]["areas"]
    bare_later = [a["bare"] for a in areas if a["at"] >= held.dry_in_by.isoformat()]
    assert max(bare_later, default=0.0) == pytest.approx(0.0, abs=1e-6)
    assert max(a["bare"] for a in areas) <= held.bare_at_once_squares + 0.06


def test_a_forecast_too_old_makes_the_roof_unknown_and_opens_nothing() -> None:
    world = small_yard()
    actions.decide(SYSTEM, world.yard.pk, local(6))
    later = local(5) + timedelta(hours=6, minutes=10)
    actions.decide(SYSTEM, world.yard.pk, later)
    row = in_force(world)
    assert row.verdict == "unknown"
    assert row.in_all_today_squares == 0
    assert row.bare_at_once_squares == 0


def test_without_any_forecast_nothing_opens() -> None:
    world = small_yard()
    Forecast.objects.all().delete()
    actions.decide(SYSTEM, world.yard.pk, local(6))
    row = in_force(world)
    assert row.verdict == "unknown"
    assert row.in_all_today_squares == 0


def test_the_same_sky_again_makes_no_new_version_and_no_new_notice() -> None:
    world = small_yard()
    actions.decide(SYSTEM, world.yard.pk, local(6))
    actions.decide(
        SYSTEM,
        world.yard.pk,
        local(
            6,
        )
        + timedelta(minutes=15),
    )
    assert Decision.objects.filter(job=world.job).count() == 1
    assert Notice.objects.count() == 1


def test_before_the_mornings_round_the_verdict_follows_the_sky_both_ways() -> None:
    world = small_yard(issued_at=local(0.5), wet=range(14, 19))
    actions.decide(SYSTEM, world.yard.pk, local(0.6))
    before = in_force(world)
    sky_over(world.job, issued_at=local(3))
    actions.decide(SYSTEM, world.yard.pk, local(3.1))
    assert in_force(world).in_all_today_squares > before.in_all_today_squares
    assert not Decision.objects.filter(waiting=True).exists()


def test_a_jobs_own_limit_tightens_its_verdict() -> None:
    world = small_yard()
    actions.decide(SYSTEM, world.yard.pk, local(6))
    before = in_force(world)
    actions.set_job_limit(world.manager, world.job.pk, "bare_at_once_squares", 2.5, local(6.1))
    actions.decide(SYSTEM, world.yard.pk, local(6.2))
    assert in_force(world).bare_at_once_squares <= 2.5 < before.bare_at_once_squares


def test_loosening_a_jobs_safety_limit_asks_for_a_reason() -> None:
    world = small_yard()
    with pytest.raises(Refused, match="say why"):
        actions.set_job_limit(world.manager, world.job.pk, "off_roof_gust_mph", 35, local(6))
    with pytest.raises(ValueError, match="between"):
        actions.set_job_limit(world.manager, world.job.pk, "off_roof_gust_mph", 95, local(6), "calm yard")
    assert actions.set_job_limit(world.manager, world.job.pk, "off_roof_gust_mph", 35, local(6), "sheltered yard")


def test_old_forecasts_go_but_those_that_a_verdict_names_stay() -> None:
    world = small_yard()
    actions.decide(SYSTEM, world.yard.pk, local(6))
    named = in_force(world).forecast_id
    for hour in (7, 8, 9):
        sky_over(world.job, issued_at=local(hour), wet=(hour,))
    later = local(9) + timedelta(days=40)
    assert prune_old_forecasts(later) == 2
    left = set(Forecast.objects.values_list("pk", flat=True))
    assert named in left
    assert len(left) == 2
