"""The plans that the Plan page sets side by side."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from crews.boards.plan import BarChange, Blocker
from crews.models import Assignment, Crew, Plan
from crews.queries.plan_problem import proposal, published_plan
from crews.queries.yards import local_day
from jobs.models import Job, Yard
from jobs.queries import jobs_for
from roofops.record.access import Access

RULE_CODES = {"drops_over": "drops", "dumpsters_over": "dumpsters"}
SAME_START = timedelta(minutes=30)


@dataclass(frozen=True)
class ShownPlans:
    """The rows that the page is made of. main: the proposal's where there is one, else the published plan's."""

    plan: Plan | None
    published: Plan | None
    main: tuple[Assignment, ...]
    before: Mapping[int, Assignment]  # published, by job
    jobs: Mapping[int, Job]
    crews: Mapping[int, str]
    zone: str


def shown_plans(access: Access, yard: Yard) -> ShownPlans:
    """The proposal and the published plan of a yard with their jobs and crews."""
    published, proposed = published_plan(yard.pk), proposal(yard.pk)
    plan = proposed or published
    rows = Assignment.objects.filter(plan__in=[p.pk for p in (published, proposed) if p]).select_related("crew")
    found = list(rows.order_by("start", "id"))
    before = {row.job_id: row for row in found if published and row.plan_id == published.pk}
    main = tuple(row for row in found if plan and row.plan_id == plan.pk)
    left = {entry["job"] for entry in plan.unscheduled} if plan else set()
    wanted = {row.job_id for row in found} | left
    jobs = {job.pk: job for job in jobs_for(access, yard_id=yard.pk).filter(pk__in=wanted).prefetch_related("loads")}
    crews = dict(Crew.objects.filter(yard=yard).values_list("pk", "name"))
    return ShownPlans(plan, published, main, before, jobs, crews, yard.time_zone)


def blockers_of(shown: ShownPlans) -> tuple[Blocker, ...]:
    """The rules that the plan on the table breaks."""
    rules = shown.plan.broken_rules if shown.plan else []
    return tuple(
        Blocker(
            code=RULE_CODES.get(rule["rule"], rule["rule"]),
            day=date.fromisoformat(rule["day"]) if rule.get("day") else None,
            job_id=rule.get("job"),
            job_name=shown.jobs[rule["job"]].short_name if rule.get("job") in shown.jobs else "",
            crew_name=shown.crews.get(rule.get("crew") or 0, ""),
            used=rule.get("used"),
            limit=rule.get("limit"),
            text=rule.get("text", ""),
        )
        for rule in rules
    )


def bar_change(row: Assignment, shown: ShownPlans) -> BarChange:
    """How an assignment differs from the published plan."""
    old = shown.before.get(row.job_id)
    if shown.published is None or shown.plan is shown.published:
        return BarChange("same")
    if old is None:
        return BarChange("new")
    if old.crew_id != row.crew_id:
        return BarChange("from_crew", crew_name=shown.crews.get(old.crew_id, ""))
    was = local_day(old.start, shown.zone)
    job = shown.jobs.get(row.job_id)
    if shown.plan is not None and was < shown.plan.first_day and job is not None and is_started(job):
        return BarChange("same")  # it goes on where it stands
    days = (local_day(row.start, shown.zone) - was).days
    if days:
        return BarChange("days_later" if days > 0 else "days_earlier", abs(days))
    return BarChange("same") if abs(row.start - old.start) <= SAME_START else BarChange("hours")


def is_started(job: Job) -> bool:
    """True for a roof that is opened already: it brings no drop and no dumpster."""
    return job.status == "at_work" and any(s.old_squares < s.squares - 0.01 for s in job.sections.all())
