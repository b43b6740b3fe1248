"""Plan: crews by days, the proposal beside the published plan, and what stands in the way of publishing."""

from collections.abc import Sequence
from datetime import date, datetime, timedelta

from crews.boards.plan import CostLine, Move, PlanBoard, PlanHead, RunningWork, Unscheduled
from crews.models import Assignment, Plan
from crews.queries.plan_bars import crew_rows
from crews.queries.plan_days import plan_days
from crews.queries.plans_shown import ShownPlans, bar_change, blockers_of, shown_plans
from crews.queries.roof_rows import name_of
from crews.queries.skies import SkyReader
from crews.queries.yards import YardDay, local_day, yard_day, yard_seen
from roofops.record.access import Access, Role
from roofops.record.models import Work
from roofops.record.queries import WorkView, latest_work

DEFAULT_DAYS = 14
LONGEST_GRID_DAYS = 31
WORK_KIND = "plan"
SHOWN_STATES = (Work.State.QUEUED, Work.State.RUNNING, Work.State.FAILED)
COSTS = ("late_days", "idle_labor_hours", "water_loss_usd", "travel_miles")


def plan_board(access: Access, yard_id: int, now: datetime) -> PlanBoard:
    """The whole page for the office; Forbidden for a crew lead, NotFound where the yard is not seen."""
    yard = yard_seen(access, yard_id)
    access.require(yard_id, Role.MANAGER, Role.DISPATCHER)
    today = yard_day(yard, now)
    shown = shown_plans(access, yard)
    first, n_days = _span(shown, today)
    reader = SkyReader(yard, now)
    sky = reader.over_yard(first, n_days)
    return PlanBoard(
        yard_id=yard.pk,
        yard_name=yard.name,
        company=yard.company,
        zone=yard.time_zone,
        now=now,
        days=plan_days(yard, shown, sky, first, n_days),
        crews=crew_rows(access, yard, shown, first, n_days),
        proposal=_head(shown.plan, shown.main) if shown.plan is not shown.published else None,
        published=_head(shown.published, tuple(shown.before.values())),
        costs=_costs(shown),
        moves=_moves(shown),
        blockers=blockers_of(shown),
        unscheduled=_unscheduled(shown),
        work=_running(latest_work(access, WORK_KIND, yard_id), now),
        forecast=sky.note,
        jobs_planned=len(shown.main),
        may_plan=access.may_see(yard_id, Role.MANAGER),
        stale=_is_stale(shown),
        told=_told(shown),
    )


def _span(shown: ShownPlans, today: YardDay) -> tuple[date, int]:
    """First day and number of days of the grid: those of the plan on the table, from today on at the earliest."""
    plan = shown.plan
    if plan is None:
        return today.day, DEFAULT_DAYS
    last = max(plan.first_day + timedelta(days=plan.days - 1), today.day + timedelta(days=DEFAULT_DAYS - 1))
    ends = [local_day(row.finish_p50, shown.zone) for row in shown.main]
    last = max([last, *ends])
    first = min(today.day, plan.first_day) if (today.day - plan.first_day).days < DEFAULT_DAYS else today.day
    return first, min((last - first).days + 1, LONGEST_GRID_DAYS)


def _head(plan: Plan | None, rows: Sequence[Assignment]) -> PlanHead | None:
    if plan is None:
        return None
    return PlanHead(
        id=plan.pk,
        number=plan.number,
        state=plan.state,
        made_at=plan.made_at,
        made_by=name_of(plan.made_by),
        seed=plan.seed,
        objective=plan.objective,
        bound=plan.bound,
        gap=plan.gap,
        seconds=plan.seconds,
        stopped=plan.stopped,
        first_day=plan.first_day,
        days=plan.days,
        jobs=len(rows),
        made_from_id=plan.made_from_id,
        published_at=plan.published_at,
    )


def _costs(shown: ShownPlans) -> tuple[CostLine, ...]:
    old = shown.published.costs if shown.published else {}
    new = shown.plan.costs if shown.plan and shown.plan is not shown.published else {}
    return tuple(CostLine(code, old.get(code), new.get(code)) for code in COSTS if code in old or code in new)


def _moves(shown: ShownPlans) -> tuple[Move, ...]:
    if shown.plan is shown.published or shown.published is None:
        return ()
    now = {row.job_id: row for row in shown.main}
    found = []
    for job_id in dict.fromkeys([*(row.job_id for row in shown.main), *shown.before]):
        new, old = now.get(job_id), shown.before.get(job_id)
        if new is not None and bar_change(new, shown).code in ("same", "hours"):
            continue
        job = shown.jobs.get(job_id)
        found.append(
            Move(
                job_id=job_id,
                name=job.short_name if job else "",
                from_start=old.start if old else None,
                to_start=new.start if new else None,
                from_crew=shown.crews.get(old.crew_id, "") if old else "",
                to_crew=shown.crews.get(new.crew_id, "") if new else "",
                reason=_reason(new),
            )
        )
    return tuple(found)


def _reason(row: Assignment | None) -> str:
    """The one reason that a move names: not the pin, but what the place costs or why the other one is worse."""
    if row is None:
        return ""
    texts = [said["text"] for said in row.reasons if said["code"] in ("runner_up", "better_taken", "largest_cost")]
    return texts[0] if texts else ""


def _unscheduled(shown: ShownPlans) -> tuple[Unscheduled, ...]:
    left = shown.plan.unscheduled if shown.plan else []
    return tuple(
        Unscheduled(entry["job"], shown.jobs[entry["job"]].short_name, entry.get("text", ""))
        for entry in left
        if entry["job"] in shown.jobs
    )


def _running(work: WorkView | None, now: datetime) -> RunningWork | None:
    """The proposal that is being computed, or the last one where it failed."""
    if work is None or work.state not in SHOWN_STATES:
        return None
    gap = next((part.removeprefix("gap=") for part in work.progress_note.split() if part.startswith("gap=")), None)
    return RunningWork(
        id=work.id,
        state=work.state,
        progress=work.progress,
        note=work.progress_note.split(" ")[0],
        gap=float(gap) if gap else None,
        error=work.error,
        started_at=work.created_at,
        stopping=work.cancel_requested,
    )


def _is_stale(shown: ShownPlans) -> bool:
    if shown.plan is None or shown.plan is shown.published:
        return False
    return shown.plan.made_from_id != (shown.published.pk if shown.published else None)


def _told(shown: ShownPlans) -> tuple[str, ...]:
    """Crews whose work changes when the proposal is published."""
    if shown.plan is shown.published:
        return ()
    crews: set[str] = set()
    for move in _moves(shown):
        crews.update(name for name in (move.from_crew, move.to_crew) if name)
    for row in shown.main:
        if bar_change(row, shown).code != "same" and not row.pencilled:
            crews.add(shown.crews.get(row.crew_id, ""))
    return tuple(sorted(name for name in crews if name))
