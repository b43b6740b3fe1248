"""Publishing a plan: compare and swap, with every rule checked anew on what is true now."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from crews.actions.planning import plan_seen
from crews.delivery_timing import LoadAsk, load_window, times_of_plan
from crews.models import Assignment, Plan, PlanState
from crews.plan_data import day_from_data, planned_from_data, rule_to_data
from crews.planner.feasibility import BrokenRule, check
from crews.planner.plan_problem import Planned, PlanProblem
from crews.queries.plan_problem import plan_problem, published_plan
from crews.refusals import Refused
from jobs.actions.loads import LoadWindow, set_load_windows
from jobs.models import Load, LoadState, Yard
from roofops.record import actions as record
from roofops.record.access import Access
from roofops.record.notices import add_notice

SHEET = "sheet"
FIXED = (LoadState.CAME, LoadState.CANCELLED)


class PlanBroken(Refused):
    """The plan cannot be carried out as things are now; `rules` say why."""

    def __init__(self, rules: Sequence[BrokenRule]) -> None:
        first = rules[0].text
        more = " " + _("And %(n)s more.") % {"n": len(rules) - 1} if len(rules) > 1 else ""
        super().__init__("broken", _("The plan breaks a rule as things are now: %(rule)s") % {"rule": first} + more)
        self.rules = tuple(rules)


@dataclass(frozen=True)
class Published:
    """What publishing did: who gets told, and which jobs stay pencilled in."""

    plan: Plan
    told_crews: tuple[str, ...]
    moved_jobs: tuple[int, ...]
    pencilled_jobs: tuple[int, ...]


def publish(access: Access, plan_id: int, made_from: int | None, now: datetime) -> Published:
    """Put a proposal in force.

    Parameters
    ----------
    made_from
        The published plan that the person saw beside the proposal; None where there was none.

    Raises
    ------
    NotFound, Forbidden
        The plan is not seen, or the role may not.
    Refused
        Another plan was published meanwhile, or this is no proposal any more; nothing is changed.
    PlanBroken
        A rule is broken on current progress, absences, limits, forecast or capacity; the plan keeps the reasons.
    """
    plan = plan_seen(access, plan_id)
    try:
        return _publish(access, plan, made_from, now)
    except PlanBroken as broken:
        rules = [rule_to_data(rule) for rule in broken.rules]
        Plan.objects.filter(pk=plan.pk, state=PlanState.PROPOSED).update(broken_rules=rules)
        raise


@transaction.atomic
def _publish(access: Access, plan: Plan, made_from: int | None, now: datetime) -> Published:
    # One publication at a time in a yard; who comes second finds another plan in force.
    yard = Yard.objects.select_for_update().get(pk=plan.yard_id)
    plan = Plan.objects.get(pk=plan.pk)
    if plan.state != PlanState.PROPOSED:
        raise Refused("not_proposed", _("This proposal is not on the table any more; look at the plan in force."))
    current = published_plan(yard.pk)
    current_id = current.pk if current else None
    if current_id != made_from or plan.made_from_id != current_id:
        raise Refused("stale", _("Another plan was published meanwhile; propose again from that one."))
    problem = plan_problem(yard, plan.first_day, plan.days, now, pins=())
    rows = list(plan.assignments.select_related("crew", "job"))
    _pencil(rows, problem)
    ready = [row for row in rows if not row.pencilled]
    broken = check(problem, [planned_of(row) for row in ready], publishing=True)
    if broken:
        raise PlanBroken(broken)
    before = _places(current)
    if current is not None:
        Plan.objects.filter(pk=current.pk).update(state=PlanState.SUPERSEDED)
    plan.state, plan.published_at, plan.published_by, plan.broken_rules = PlanState.PUBLISHED, now, access.user, []
    plan.save(update_fields=["state", "published_at", "published_by", "broken_rules"])
    moved = moved_jobs(before, _places(plan))
    _time_loads(access, ready, problem)
    told = _tell_crews(plan, ready, moved, before, now)
    pencilled = tuple(row.job_id for row in rows if row.pencilled)
    record.log(
        access, "published", plan, now, number=plan.number, made_from=current_id, moved=moved, pencilled=pencilled
    )
    return Published(plan, told, moved, pencilled)


def planned_of(row: Assignment) -> Planned:
    """A stored assignment as the feasibility check wants it."""
    return planned_from_data(
        row.job_id,
        row.crew_id,
        row.start,
        row.finish_p50,
        row.finish_p90,
        row.days,
        row.cost,
        pinned=row.pinned,
        pencilled=row.pencilled,
        p_wet=row.p_wet,
    )


def _pencil(rows: Sequence[Assignment], problem: PlanProblem) -> None:
    """Bring up to date which jobs are ready; one that is not stays pencilled in and binds nobody."""
    missing = {job.job_id: job.missing for job in problem.jobs}
    for row in rows:
        pencilled = bool(missing.get(row.job_id, ()))
        if pencilled != row.pencilled:
            row.pencilled = pencilled
            row.save(update_fields=["pencilled"])


def _places(plan: Plan | None) -> dict[int, tuple[int, datetime]]:
    if plan is None:
        return {}
    rows = Assignment.objects.filter(plan=plan, pencilled=False)
    return {row.job_id: (row.crew_id, row.start) for row in rows}


def moved_jobs(before: dict[int, tuple[int, datetime]], after: dict[int, tuple[int, datetime]]) -> tuple[int, ...]:
    """Jobs whose crew or start differs, new and dropped ones included."""
    return tuple(sorted(job for job in {*before, *after} if before.get(job) != after.get(job)))


def _time_loads(access: Access, rows: Sequence[Assignment], problem: PlanProblem) -> None:
    """Give every load that has not come the window that the plan leaves it."""
    of_job = {row.job_id: row for row in rows}
    works = {job.job_id: job.work for job in problem.jobs}
    loads = Load.objects.filter(job_id__in=of_job).exclude(state__in=FIXED).select_related("job")
    windows = []
    for load in loads:
        row = of_job[load.job_id]
        old = sum(section.old_squares for section in works[load.job_id].sections)
        times = times_of_plan([day_from_data(day) for day in row.days], old, row.finish_p50)
        ask = LoadAsk(load.kind, load.placement, load.needed_for, load.weight_lb)
        found = load_window(ask, times, load.job.layers)
        windows.append(LoadWindow(load.pk, found.not_before, found.need_by))
    set_load_windows(Access.system(), windows)


def _tell_crews(
    plan: Plan,
    rows: Sequence[Assignment],
    moved: Sequence[int],
    before: dict[int, tuple[int, datetime]],
    now: datetime,
) -> tuple[str, ...]:
    """One notice to each crew whose work changed; returns their names."""
    changed = {row.crew for row in rows if row.job_id in moved}
    left = {before[job][0] for job in moved if job in before}
    crews = {crew.pk: crew for crew in changed}
    for crew in {row.crew for row in rows if row.crew_id in left}:
        crews[crew.pk] = crew
    for crew in crews.values():
        jobs = [row.job.short_name for row in rows if row.crew_id == crew.pk]
        add_notice(
            recipient=("crew", crew.pk),
            channel=SHEET,
            subject=("plan", plan.pk),
            verdict_version=f"plan:{plan.number}",
            body=f"Plan {plan.number}: {', '.join(jobs) or 'no job'}.",
            yard_id=plan.yard_id,
            now=now,
        )
    return tuple(sorted(crew.name for crew in crews.values()))
