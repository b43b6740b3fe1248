"""Plan: crews by days, the proposal beside the published plan, and what stands in the way of publishing."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from crews.models import Assignment, Crew, Plan
from crews.plan_board import (
    BarChange,
    Blocker,
    CostLine,
    Move,
    PlanBar,
    PlanBoard,
    PlanCrewRow,
    PlanDay,
    PlanHead,
    RunningWork,
    Segment,
    SnapLine,
    Unscheduled,
)
from crews.plan_data import day_from_data
from crews.plan_segments import LEAVES, phase_spans
from crews.planner.climatology import WORKABLE_SHARE
from crews.queries.plan_problem import proposal, published_plan
from crews.queries.rosters import crews_for, roster_of, with_people
from crews.queries.skies import JobSky, SkyReader
from crews.queries.today import name_of
from crews.queries.yards import YardDay, local_day, on_day, yard_day, yard_seen
from crews.roster import CrewRoster
from crews.sky_hours import HOUR, bare_hours, sky_hours, whole_hour
from jobs.models import Inspection, InspectionState, Job, Yard
from jobs.queries import jobs_for, ready
from roofops.record.access import Access, Role
from roofops.record.models import Work
from roofops.record.queries import WorkView, latest_work

DEFAULT_DAYS = 14
WORK_KIND = "plan"
SHOWN_STATES = (Work.State.QUEUED, Work.State.RUNNING, Work.State.FAILED)
COSTS = ("late_days", "idle_labor_hours", "water_loss_usd", "travel_miles")
RULE_CODES = {"drops_over": "drops", "dumpsters_over": "dumpsters"}
SAME_START = timedelta(minutes=30)


@dataclass(frozen=True)
class _Shown:
    """The rows that the page is made of. main: the proposal's where there is one, else the published plan's."""

    plan: Plan | None
    published: Plan | None
    main: tuple[Assignment, ...]
    before: Mapping[int, Assignment]  # published, by job
    jobs: Mapping[int, Job]
    crews: Mapping[int, str]
    zone: str


def plan_board(access: Access, yard_id: int, now: datetime) -> PlanBoard:
    """The whole page for the office; Forbidden for a crew lead, NotFound where the yard is not seen."""
    yard = yard_seen(access, yard_id)
    access.require(yard_id, Role.MANAGER, Role.DISPATCHER)
    today = yard_day(yard, now)
    shown = _shown(access, yard)
    first, n_days = _span(shown, today)
    reader = SkyReader(yard, now)
    sky = reader.over_yard(first, n_days)
    return PlanBoard(
        yard_id=yard.pk,
        yard_name=yard.name,
        company=yard.company,
        zone=yard.time_zone,
        now=now,
        days=_days(yard, shown, sky, first, n_days),
        crews=_crew_rows(access, yard, shown, first, n_days),
        proposal=_head(shown.plan, shown.main) if shown.plan is not shown.published else None,
        published=_head(shown.published, tuple(shown.before.values())),
        costs=_costs(shown),
        moves=_moves(shown),
        blockers=_blockers(shown),
        unscheduled=_unscheduled(shown),
        work=_running(latest_work(access, WORK_KIND, yard_id), now),
        forecast=sky.note,
        jobs_planned=len(shown.main),
        may_plan=access.may_see(yard_id, Role.MANAGER),
        stale=_is_stale(shown),
        told=_told(shown),
    )


def _shown(access: Access, yard: Yard) -> _Shown:
    published, proposed = published_plan(yard.pk), proposal(yard.pk)
    plan = proposed or published
    rows = Assignment.objects.filter(plan__in=[p.pk for p in (published, proposed) if p]).select_related("crew")
    found = list(rows.order_by("start", "id"))
    before = {row.job_id: row for row in found if published and row.plan_id == published.pk}
    main = tuple(row for row in found if plan and row.plan_id == plan.pk)
    left = {entry["job"] for entry in plan.unscheduled} if plan else set()
    wanted = {row.job_id for row in found} | left
    jobs = {job.pk: job for job in jobs_for(access, yard_id=yard.pk).filter(pk__in=wanted)}
    crews = dict(Crew.objects.filter(yard=yard).values_list("pk", "name"))
    return _Shown(plan, published, main, before, jobs, crews, yard.time_zone)


def _span(shown: _Shown, today: YardDay) -> tuple[date, int]:
    """First day and number of days of the grid: those of the plan on the table, from today on at the earliest."""
    plan = shown.plan
    if plan is None:
        return today.day, DEFAULT_DAYS
    last = max(plan.first_day + timedelta(days=plan.days - 1), today.day + timedelta(days=DEFAULT_DAYS - 1))
    ends = [local_day(row.finish_p50, shown.zone) for row in shown.main]
    last = max([last, *ends])
    first = min(today.day, plan.first_day) if (today.day - plan.first_day).days < DEFAULT_DAYS else today.day
    return first, min((last - first).days + 1, 31)


def _days(yard: Yard, shown: _Shown, sky: JobSky, first: date, n_days: int) -> tuple[PlanDay, ...]:
    starts = _starts(shown)
    visits = _visits(yard, shown, first, n_days)
    return tuple(_day(on_day(yard, first + timedelta(days=n)), sky, starts, visits, shown) for n in range(n_days))


def _day(
    day: YardDay,
    sky: JobSky,
    starts: Mapping[date, list[Assignment]],
    visits: Mapping[date, list[tuple[str, datetime | None, str]]],
    shown: _Shown,
) -> PlanDay:
    axis = day.axis()
    first = whole_hour(axis[0])
    usable = sky.chosen.hourly if sky.chosen.usable_beyond else None
    known = usable is not None and usable.row_at(axis[0]) is not None
    hours = sky_hours(sky.work_hours, usable, first, max(1, round((axis[1] - first) / HOUR))) if known else ()
    shift = day.hours.span(day.day)
    here = [row for row in starts.get(day.day, []) if not row.pencilled]
    gusts = [hour.gust_mph for hour in hours if hour.gust_mph is not None]
    temps = [hour.temp_f for hour in hours if hour.temp_f is not None]
    workday = day.day.weekday() in day.hours.weekdays
    typical = (shift[1] - shift[0]) / HOUR * WORKABLE_SHARE[day.day.month] if workday else None
    return PlanDay(
        date=day.day,
        workday=workday,
        start=day.start,
        end=day.end,
        hours=hours,
        bare_hours=bare_hours(sky.work_hours, *shift) if known else typical,
        gust_max_mph=max(gusts, default=None),
        high_f=max(temps, default=None),
        typical=not known,
        drops_used=sum(_drops(shown.jobs.get(row.job_id)) for row in here),
        drops_limit=day.yard.roof_drops_per_day,
        dumpsters_used=len(here),
        dumpsters_limit=day.yard.dumpsters_per_day,
        inspections=tuple(visits.get(day.day, ())),
    )


def _starts(shown: _Shown) -> dict[date, list[Assignment]]:
    """Jobs by the day on which they begin; a roof that is opened already brings no drop."""
    found: dict[date, list[Assignment]] = {}
    for row in shown.main:
        job = shown.jobs.get(row.job_id)
        if job is not None and not _started(job):
            found.setdefault(local_day(row.start, shown.zone), []).append(row)
    return found


def _started(job: Job) -> bool:
    return job.status == "at_work" and any(s.old_squares < s.squares - 0.01 for s in job.sections.all())


def _drops(job: Job | None) -> int:
    """Roof-top deliveries of a job's first day; the same count as the plan's capacity."""
    return 1 if job is not None and job.roof_drop_allowed else 0


def _visits(yard: Yard, shown: _Shown, first: date, n_days: int) -> dict[date, list[tuple[str, datetime | None, str]]]:
    start, end = on_day(yard, first).start, on_day(yard, first + timedelta(days=n_days)).start
    rows = Inspection.objects.filter(job__yard=yard, window_start__gte=start, window_start__lt=end)
    found: dict[date, list[tuple[str, datetime | None, str]]] = {}
    for row in rows.exclude(state=InspectionState.PASSED).select_related("job").order_by("window_start"):
        if row.window_start is not None:
            day = local_day(row.window_start, shown.zone)
            found.setdefault(day, []).append((row.kind, row.window_start, row.job.short_name))
    return found


def _crew_rows(access: Access, yard: Yard, shown: _Shown, first: date, n_days: int) -> tuple[PlanCrewRow, ...]:
    blockers = _blockers(shown)
    ids = list(crews_for(access, yard.pk).values_list("pk", flat=True))
    rows = []
    for crew in with_people(ids).order_by("name"):
        roster = roster_of(crew)
        mine = [row for row in shown.main if row.crew_id == crew.pk]
        bars = tuple(_bar(row, shown, blockers) for row in mine)
        rows.append(
            PlanCrewRow(
                crew_id=crew.pk,
                name=crew.name,
                subcontract=roster.subcontract,
                people=_people(roster, first, n_days),
                squares_a_day=_squares_a_day(mine),
                bars=bars,
                snap_lines=_snaps(crew.pk, shown),
                as_published=all(bar.change.code == "same" for bar in bars) and not _snaps(crew.pk, shown),
            )
        )
    return tuple(rows)


def _people(roster: CrewRoster, first: date, n_days: int) -> float:
    """The usual number of people: the most on any day shown."""
    return float(max((len(roster.people(first + timedelta(days=n))) for n in range(n_days)), default=0))


def _squares_a_day(rows: Sequence[Assignment]) -> float | None:
    days = [day for row in rows for day in row.days if day.get("shingled")]
    return sum(day["shingled"] for day in days) / len(days) if days else None


def _bar(row: Assignment, shown: _Shown, blockers: Sequence[Blocker]) -> PlanBar:
    job = shown.jobs.get(row.job_id)
    days = [day_from_data(day) for day in row.days]
    segments = tuple(
        Segment(span.start, span.end, span.phase, LEAVES.get(span.phase, "none"))
        for day in days
        for span in phase_spans(day)
    )
    last = local_day(row.finish_p50, shown.zone)
    return PlanBar(
        assignment_id=row.pk,
        job_id=row.job_id,
        number=job.number if job else "",
        name=job.short_name if job else "",
        squares=sum(s.squares for s in job.sections.all()) if job else 0.0,
        start=row.start,
        end=row.finish_p50,
        finish_p90=row.finish_p90,
        segments=segments,
        pinned=row.pinned,
        pencilled=row.pencilled,
        change=_change(row, shown),
        broken=tuple(blocker for blocker in blockers if blocker.job_id == row.job_id),
        reasons=tuple(said["text"] for said in row.reasons),
        not_ready=tuple(item.kind for item in ready(job)) if job else (),
        late_days=max(0, (last - job.promised_by).days) if job and job.promised_by else 0,
        started=bool(job and _started(job)),
    )


def _change(row: Assignment, shown: _Shown) -> BarChange:
    old = shown.before.get(row.job_id)
    if shown.published is None or shown.plan is shown.published:
        return BarChange("same")
    if old is None:
        return BarChange("new")
    if old.crew_id != row.crew_id:
        return BarChange("from_crew", crew_name=shown.crews.get(old.crew_id, ""))
    days = (local_day(row.start, shown.zone) - local_day(old.start, shown.zone)).days
    if days:
        return BarChange("days_later" if days > 0 else "days_earlier", abs(days))
    return BarChange("same") if abs(row.start - old.start) <= SAME_START else BarChange("hours")


def _snaps(crew_id: int, shown: _Shown) -> tuple[SnapLine, ...]:
    """Published places of this crew's jobs that move, or that another crew gets."""
    if shown.plan is shown.published:
        return ()
    now = {row.job_id: row for row in shown.main}
    found = []
    for job_id, old in shown.before.items():
        if old.crew_id != crew_id:
            continue
        new = now.get(job_id)
        if new is not None and _change(new, shown).code == "same":
            continue
        job = shown.jobs.get(job_id)
        to = shown.crews.get(new.crew_id, "") if new is not None and new.crew_id != crew_id else ""
        found.append(SnapLine(job_id, job.short_name if job else "", old.start, old.finish_p50, to))
    return tuple(found)


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


def _costs(shown: _Shown) -> tuple[CostLine, ...]:
    old = shown.published.costs if shown.published else {}
    new = shown.plan.costs if shown.plan and shown.plan is not shown.published else {}
    return tuple(CostLine(code, old.get(code), new.get(code)) for code in COSTS if code in old or code in new)


def _moves(shown: _Shown) -> tuple[Move, ...]:
    if shown.plan is shown.published or shown.published is None:
        return ()
    now = {row.job_id: row for row in shown.main}
    found = []
    for job_id in dict.fromkeys([*(row.job_id for row in shown.main), *shown.before]):
        new, old = now.get(job_id), shown.before.get(job_id)
        if new is not None and _change(new, shown).code in ("same", "hours"):
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


def _blockers(shown: _Shown) -> tuple[Blocker, ...]:
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


def _unscheduled(shown: _Shown) -> tuple[Unscheduled, ...]:
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
    )


def _is_stale(shown: _Shown) -> bool:
    if shown.plan is None or shown.plan is shown.published:
        return False
    return shown.plan.made_from_id != (shown.published.pk if shown.published else None)


def _told(shown: _Shown) -> tuple[str, ...]:
    """Crews whose work changes when the proposal is published."""
    if shown.plan is shown.published:
        return ()
    crews: set[str] = set()
    for move in _moves(shown):
        crews.update(name for name in (move.from_crew, move.to_crew) if name)
    for row in shown.main:
        if _change(row, shown).code != "same" and not row.pencilled:
            crews.add(shown.crews.get(row.crew_id, ""))
    return tuple(sorted(name for name in crews if name))
