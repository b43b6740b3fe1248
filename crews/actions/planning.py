"""Planning in the background: the question is put together, answered in a process of its own, and stored."""

import pickle
import queue
import subprocess
import sys
import threading
from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path
from typing import Any

from django.db import transaction
from django.db.models import Max
from django.utils.translation import gettext as _

from crews.actions.decide import OFFICE
from crews.models import Assignment, JobPoint, Plan, PlanState
from crews.plan_data import day_to_data, rule_to_data, said_to_data
from crews.planner.feasibility import check
from crews.planner.plan_problem import PlanProblem, PlanResult
from crews.planner.solve import Budget, Progress
from crews.queries.plan_problem import plan_problem, published_plan
from crews.queries.yards import local_day, yard_seen
from crews.refusals import Refused
from jobs.models import Yard
from roofops.record import actions as record
from roofops.record.access import Access, NotFound, Role
from roofops.record.models import Work
from weather.models import Forecast

WORK_KIND = "plan"
DEFAULT_DAYS = 14
MAX_DAYS = 60
CHILD = (sys.executable, "-m", "crews.management.plan_child")
ROOT = Path(__file__).resolve().parents[2]
BEAT_S = 2.0  # the longest silence towards the work row [s]
# Where a stage lies on the way to a plan [share].
STAGES = {"columns": (0.02, 0.40), "bound": (0.40, 0.45), "choice": (0.45, 0.65), "improvement": (0.65, 0.97)}

Report = Callable[[float, str], bool]


def propose(access: Access, yard_id: int, first_day: date, days: int, seed: int, now: datetime) -> Work:
    """Ask for a plan in the background and return the work; one runs per yard at a time.

    Raises Refused for a first day that is over or a number of days that no plan covers.
    """
    yard = yard_seen(access, yard_id)
    access.require(yard_id, Role.MANAGER)
    _check(yard, first_day, days, seed, now)
    params = {"yard": yard_id, "first_day": first_day.isoformat(), "days": days, "seed": seed}
    if access.user is not None:
        params["user"] = access.user.pk
    return record.start_work(WORK_KIND, params, now, access, yard_id, dedupe_key=f"yard-{yard_id}")


def stop_planning(access: Access, work_id: int, now: datetime) -> None:
    """Ask planning to stop and use its best plan so far; who may not start it may not stop it.

    Raises NotFound for work that is no planning of a yard that is seen, Forbidden for who is no manager there.
    """
    work = access.scope(Work.objects.filter(pk=work_id, kind=WORK_KIND)).first()
    if work is None or work.yard_id is None:
        raise NotFound("There is no such planning here.")
    access.require(work.yard_id, Role.MANAGER)
    record.request_cancel(access, work_id, now)


def _check(yard: Yard, first_day: date, days: int, seed: int, now: datetime) -> None:
    if first_day < local_day(now, yard.time_zone):
        raise Refused("past", _("A plan cannot begin in the past."))
    if not 1 <= days <= MAX_DAYS:
        raise Refused("days", _("A plan covers 1 to %(n)s days.") % {"n": MAX_DAYS})
    if not 0 <= seed < 2**31:
        raise Refused("seed", _("A seed is a whole number from 0 to 2147483647."))


def solve_in_child(problem: PlanProblem, seed: int, budget: Budget, report: Report) -> PlanResult:
    """Plan in a process of its own, so that no page and no other work waits for it.

    When `report` says no, the child is asked to stop and its best plan so far comes back, marked stopped.

    Raises ValueError where the question has no answer, RuntimeError where the process dies.
    """
    with subprocess.Popen(CHILD, stdin=subprocess.PIPE, stdout=subprocess.PIPE, cwd=ROOT) as child:  # noqa: S603
        assert child.stdin is not None
        assert child.stdout is not None
        messages: queue.Queue[tuple[str, Any]] = queue.Queue()
        threading.Thread(target=_listen, args=(child.stdout, messages), daemon=True).start()
        pickle.dump((problem, seed, budget), child.stdin)
        child.stdin.flush()
        try:
            return _await(child, messages, report)
        finally:
            if child.poll() is None and not child.stdin.closed:
                child.stdin.close()


def _listen(answers: Any, messages: "queue.Queue[tuple[str, Any]]") -> None:
    kind = ""
    try:
        while kind not in ("result", "error"):
            kind, what = pickle.load(answers)  # noqa: S301 - our own child
            messages.put((kind, what))
    except (EOFError, pickle.UnpicklingError):
        messages.put(("gone", None))


def _await(child: "subprocess.Popen[bytes]", messages: "queue.Queue[tuple[str, Any]]", report: Report) -> PlanResult:
    share, note = 0.02, "columns"
    asked_to_stop = False
    while True:
        try:
            kind, what = messages.get(timeout=BEAT_S)
        except queue.Empty:
            kind, what = "progress", None
        if kind == "result":
            return what  # type: ignore[no-any-return]
        if kind == "error":
            raise ValueError(what)
        if kind == "gone":
            raise RuntimeError(f"The planning process ended without a plan (code {child.wait()}).")
        if what is not None:
            share, note = _progress_of(what)
        if not report(share, note) and not asked_to_stop and child.stdin is not None:
            asked_to_stop = True
            child.stdin.write(b"s")
            child.stdin.flush()


def _progress_of(progress: Progress) -> tuple[float, str]:
    low, high = STAGES.get(progress.stage, (0.97, 0.99))
    gap = "" if progress.gap is None or progress.gap == float("inf") else f" gap={progress.gap:.6f}"
    return low + (high - low) * progress.share, f"{progress.stage}{gap}"


def make_plan(
    access: Access,
    yard_id: int,
    first_day: date,
    days: int,
    seed: int,
    now: datetime,
    *,
    clock: Callable[[], datetime],
    solve: Callable[[PlanProblem], PlanResult],
    user_id: int | None = None,
) -> Plan:
    """Put the question together, have it answered, check the answer without the solver, and store it as a proposal."""
    yard = yard_seen(access, yard_id)
    access.require(yard_id, *OFFICE)
    _check(yard, first_day, days, seed, now)
    made_from = published_plan(yard_id)
    problem = plan_problem(yard, first_day, days, now)
    if not problem.jobs:
        raise Refused("no_jobs", _("There is no measured job to plan."))
    if not any(crew.days for crew in problem.crews):
        raise Refused("no_crews", _("No crew works within the days of the plan."))
    began = clock()
    result = solve(problem)
    seconds = (clock() - began).total_seconds()
    return store_plan(access, yard, problem, result, now, seconds=seconds, made_from=made_from, user_id=user_id)


@transaction.atomic
def store_plan(
    access: Access,
    yard: Yard,
    problem: PlanProblem,
    result: PlanResult,
    now: datetime,
    *,
    seconds: float,
    made_from: Plan | None,
    user_id: int | None = None,
) -> Plan:
    """Store a result as the yard's one proposal; an older proposal is dropped."""
    Yard.objects.select_for_update().get(pk=yard.pk)
    Plan.objects.filter(yard=yard, state=PlanState.PROPOSED).update(state=PlanState.DROPPED)
    number = (Plan.objects.filter(yard=yard).aggregate(last=Max("number"))["last"] or 0) + 1
    plan = Plan.objects.create(
        yard=yard,
        number=number,
        made_from=made_from,
        first_day=problem.first_day,
        days=problem.n_days,
        seed=result.seed,
        objective=result.objective,
        bound=result.bound,
        gap=min(result.gap, 1e9),
        stopped=result.stopped,
        costs={name: round(value, 3) for name, value in result.totals.items()},
        unscheduled=[{"job": left.job_id, **said_to_data(left.reason)} for left in result.unscheduled],
        broken_rules=_broken(problem, result),
        made_at=now,
        made_by_id=access.user.pk if access.user else user_id,
        seconds=seconds,
        forecast_ids=forecasts_in_use(yard.pk),
    )
    Assignment.objects.bulk_create(
        Assignment(
            plan=plan,
            job_id=one.job_id,
            crew_id=one.crew_id,
            start=one.start,
            finish_p50=one.finish_p50,
            finish_p90=one.finish_p90,
            days=[day_to_data(day) for day in one.days],
            cost=one.cost,
            reasons=[said_to_data(said) for said in one.reasons],
            pinned=one.pinned,
            pencilled=one.pencilled,
            p_wet=one.p_wet,
        )
        for one in result.assignments
    )
    record.log(access, "proposed", plan, now, number=number, seed=result.seed, gap=plan.gap, stopped=result.stopped)
    return plan


def _broken(problem: PlanProblem, result: PlanResult) -> list[dict[str, Any]]:
    """Rules that the plan breaks by the check without the solver, and pins that could not be kept."""
    return [rule_to_data(rule) for rule in check(problem, result.assignments)] + [
        {"rule": said.code, "text": said.text, "job": None, "crew": None, "day": None, "params": dict(said.params)}
        for said in result.pin_conflicts
    ]


def forecasts_in_use(yard_id: int) -> list[int]:
    """The newest forecast of every cell that serves the yard's jobs."""
    points = JobPoint.objects.filter(job__yard_id=yard_id).values("point_id")
    rows = Forecast.objects.filter(cell__points__in=points).order_by("cell_id", "-issued_at", "-id")
    newest: dict[int, int] = {}
    for cell_id, forecast_id in rows.values_list("cell_id", "pk"):
        newest.setdefault(cell_id, forecast_id)
    return sorted(newest.values())


@transaction.atomic
def drop_plan(access: Access, plan_id: int, now: datetime) -> None:
    """Put a proposal away; the published plan stays. Raises Refused for a plan that is no proposal."""
    plan = plan_seen(access, plan_id)
    if not Plan.objects.filter(pk=plan.pk, state=PlanState.PROPOSED).update(state=PlanState.DROPPED):
        raise Refused("not_proposed", _("Only a proposal can be put away."))
    record.log(access, "dropped", plan, now, number=plan.number)


@transaction.atomic
def pin(access: Access, plan_id: int, job_id: int, pinned: bool, now: datetime) -> Assignment:
    """Pin a job to its crew and day, or take the pin out; the next proposal keeps it. A pin never opens a roof."""
    plan = plan_seen(access, plan_id)
    if plan.state not in (PlanState.PROPOSED, PlanState.PUBLISHED):
        raise Refused("old_plan", _("This plan is not on the table any more."))
    row = plan.assignments.filter(job_id=job_id).first()
    if row is None:
        raise Refused("not_in_plan", _("This job is not in the plan."))
    row.pinned = pinned
    row.save(update_fields=["pinned"])
    record.log(access, "pinned" if pinned else "unpinned", plan, now, job=job_id, crew=row.crew_id)
    return row


def plan_seen(access: Access, plan_id: int) -> Plan:
    """One plan for somebody who may change it."""
    plan = access.scope(Plan.objects.select_related("yard")).filter(pk=plan_id).first()
    if plan is None:
        raise NotFound("There is no such plan here.")
    access.require(plan.yard_id, Role.MANAGER)
    return plan
