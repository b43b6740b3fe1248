"""Proposing and publishing: compare and swap, rules checked anew, pencilled jobs, who is told."""

from datetime import date, timedelta

import pytest

from crews import actions
from crews.actions.planning import make_plan, solve_in_child
from crews.models import Absence, Assignment, Plan, PlanState
from crews.planner.solve import Budget
from crews.planner.solve import plan as solve_plan
from crews.queries import plan_board
from crews.refusals import Refused
from jobs.models import Job, JobStatus, Load, LoadKind, ReadyItem
from roofops.record.access import Access, Forbidden, NotFound, Role
from tests.factories.crews import (
    WORK_DAY,
    SmallYard,
    local,
    person,
    planned_yard,
    proposal,
    sky_over,
    subcontract_crew,
)
from tests.factories.jobs import LoadFactory, ready_job

pytestmark = pytest.mark.django_db
SYSTEM = Access.system()
QUICK = Budget(choice_units=2.0, rounds=4)


def bigger_yard() -> SmallYard:
    return planned_yard()[0]


def test_a_proposal_places_the_jobs_and_breaks_no_rule() -> None:
    world = bigger_yard()
    plan = proposal(world)
    assert plan.state == PlanState.PROPOSED
    assert plan.made_from == world.plan
    assert plan.broken_rules == []
    assert plan.assignments.count() == 4
    assert plan.bound >= plan.objective > 0
    assert {"late_days", "idle_labor_hours", "water_loss_usd", "travel_miles"} <= set(plan.costs)
    assert all(row.days and row.cost for row in plan.assignments.all())


def test_the_same_seed_gives_the_same_plan() -> None:
    world = bigger_yard()
    one = [(r.job_id, r.crew_id, r.start) for r in proposal(world).assignments.order_by("job_id")]
    two = [(r.job_id, r.crew_id, r.start) for r in proposal(world).assignments.order_by("job_id")]
    assert one == two


def test_publishing_puts_the_proposal_in_force_and_times_the_loads() -> None:
    world = bigger_yard()
    job = ready_job(yard=world.yard, contract_value_usd=9000)
    sky_over(job, issued_at=local(5.1), n_hours=160)
    load = LoadFactory(job=job, kind=LoadKind.DUMPSTER_DROP, needed_for="tear_off")
    plan = proposal(world)
    published = actions.publish(world.manager, plan.pk, world.plan.pk, local(5.5))
    plan.refresh_from_db()
    world.plan.refresh_from_db()
    assert (plan.state, world.plan.state) == (PlanState.PUBLISHED, PlanState.SUPERSEDED)
    assert "Adeyemi" in published.told_crews or "Ruiz" in published.told_crews
    fresh = Load.objects.get(pk=load.pk)
    place = Assignment.objects.get(plan=plan, job=job)
    assert fresh.need_by is not None
    assert place.start - timedelta(hours=1) <= fresh.need_by <= place.start + timedelta(hours=3)


def test_of_two_who_publish_from_the_same_plan_only_the_first_succeeds() -> None:
    world = bigger_yard()
    first = proposal(world, seed=1)
    Plan.objects.filter(pk=first.pk).update(state=PlanState.DROPPED)
    second = proposal(world, seed=2)
    Plan.objects.filter(pk=first.pk).update(state=PlanState.PROPOSED)
    actions.publish(world.manager, first.pk, world.plan.pk, local(5.5))
    with pytest.raises(Refused) as refused:
        actions.publish(world.manager, second.pk, world.plan.pk, local(5.5))
    assert refused.value.code == "stale"
    assert Plan.objects.get(yard=world.yard, state=PlanState.PUBLISHED) == first


def test_what_the_person_saw_must_still_be_in_force() -> None:
    world = bigger_yard()
    plan = proposal(world)
    with pytest.raises(Refused, match="meanwhile"):
        actions.publish(world.manager, plan.pk, None, local(5.5))


def test_an_absence_entered_after_the_proposal_stops_publishing_and_says_why() -> None:
    world = bigger_yard()
    plan = proposal(world)
    for member in world.crew.members.all():
        Absence.objects.create(worker=member.worker, first_day=WORK_DAY, days=14)
    with pytest.raises(actions.PlanBroken) as broken:
        actions.publish(world.manager, plan.pk, world.plan.pk, local(5.5))
    assert any(rule.rule == "crew_away" for rule in broken.value.rules)
    plan.refresh_from_db()
    assert plan.state == PlanState.PROPOSED
    assert plan.broken_rules
    assert Plan.objects.get(state=PlanState.PUBLISHED) == world.plan


def test_a_forecast_that_turned_wet_stops_publishing() -> None:
    world = bigger_yard()
    plan = proposal(world)
    jobs = [row.job for row in plan.assignments.all()]
    sky_over(*jobs, issued_at=local(5.3), n_hours=160, wet=range(160))
    with pytest.raises(actions.PlanBroken):
        actions.publish(world.manager, plan.pk, world.plan.pk, local(5.5))


def test_a_job_that_is_not_ready_stays_pencilled_and_binds_nobody() -> None:
    world = bigger_yard()
    unready = ready_job(yard=world.yard, contract_value_usd=9000)
    ReadyItem.objects.filter(job=unready, kind="permit").update(done_at=None)
    sky_over(unready, issued_at=local(5.1), n_hours=160)
    plan = proposal(world)
    assert plan.assignments.get(job=unready).pencilled
    published = actions.publish(world.manager, plan.pk, world.plan.pk, local(5.5))
    assert unready.pk in published.pencilled_jobs
    assert unready.pk not in published.moved_jobs


def test_a_pin_keeps_its_crew_and_day_in_the_next_proposal() -> None:
    world = bigger_yard()
    plan = proposal(world)
    row = plan.assignments.exclude(job=world.job).order_by("start").last()
    assert row is not None
    actions.pin(world.manager, plan.pk, row.job_id, True, local(5.3))
    again = proposal(world, seed=3, hour=5.4).assignments.get(job=row.job)
    assert again.pinned
    assert (again.crew_id, again.start.date()) == (row.crew_id, row.start.date())


def test_a_subcontract_crew_without_insurance_gets_nothing() -> None:
    world = bigger_yard()
    sub = subcontract_crew(world.yard, insurance_until=date(2026, 7, 1))
    plan = proposal(world)
    assert not plan.assignments.filter(crew=sub).exists()


def test_who_may_plan_and_publish() -> None:
    world = bigger_yard()
    plan = proposal(world)
    dispatcher = person(world.yard, "dirk", Role.DISPATCHER)
    for access, error in ((dispatcher, Forbidden), (world.lead, Forbidden), (Access.nobody(), NotFound)):
        with pytest.raises(error):
            actions.publish(access, plan.pk, world.plan.pk, local(5.5))
    assert Plan.objects.get(state=PlanState.PUBLISHED) == world.plan


def test_a_plan_cannot_begin_in_the_past() -> None:
    world = bigger_yard()
    with pytest.raises(Refused, match="past"):
        actions.propose(world.manager, world.yard.pk, WORK_DAY - timedelta(days=1), 5, 1, local(6))


def test_the_planning_process_answers_and_can_be_stopped() -> None:
    world = bigger_yard()
    from crews.queries.plan_problem import plan_problem

    problem = plan_problem(world.yard, WORK_DAY, 8, local(5.2))
    told: list[str] = []

    def heard(share: float, note: str) -> bool:
        told.append(note)
        return True

    whole = solve_in_child(problem, 1, QUICK, heard)
    assert len(whole.assignments) == 4
    assert told
    stopped = solve_in_child(problem, 1, Budget(choice_units=1e6, rounds=10**6, gap_goal=0.0), lambda *_: False)
    assert stopped.stopped


def test_the_next_days_proposal_goes_on_with_the_roof_that_was_begun_and_calls_it_no_move() -> None:
    world = bigger_yard()
    world.plan.assignments.filter(job=world.job).update(pinned=True)
    Plan.objects.filter(yard=world.yard, state=PlanState.PROPOSED).delete()
    section = world.job.sections.order_by("position")[0]
    section.old_squares, section.dried_in_squares = section.old_squares - 2, section.dried_in_squares + 2
    section.save()
    world.job.status = JobStatus.AT_WORK
    world.job.save()
    now = local(6, WORK_DAY + timedelta(days=1))
    sky_over(*Job.objects.filter(yard=world.yard), issued_at=now, n_hours=160)
    plan = make_plan(
        world.manager,
        world.yard.pk,
        WORK_DAY + timedelta(days=1),
        8,
        1,
        now,
        clock=lambda: now,
        solve=lambda problem: solve_plan(problem, 1, QUICK),
    )
    placed = plan.assignments.get(job=world.job)
    assert (placed.crew, placed.pinned) == (world.crew, True)
    assert placed.start.date() == WORK_DAY + timedelta(days=1)
    assert world.job.pk not in [move.job_id for move in plan_board(world.manager, world.yard.pk, now).moves]
