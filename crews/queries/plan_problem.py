"""A yard's planning question put together from its rows as they are now."""

from collections.abc import Iterable, Sequence
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from crews.models import Assignment, Crew, Plan, PlanState
from crews.plan_values import priority_steps, value_usd
from crews.planner.carried_pins import carried_on
from crews.planner.exposure import Sky
from crews.planner.plan_problem import Capacity, Pin, PlanCrew, PlanJob, PlanProblem, PublishedPlace
from crews.planner.problem import CrewDay
from crews.queries.reports import JobReports, reports_of
from crews.queries.roof_work import job_work, with_work
from crews.queries.rosters import roster_of, shift_hours, with_people
from crews.queries.skies import SkyReader
from crews.queries.yards import midnight
from crews.roster import CrewRoster, ShiftHours, crew_day, crew_days
from crews.verdict.day_verdict import policy_of
from jobs.models import Job, JobKind, JobStatus, LoadKind, LoadState, Placement, Yard

OPEN_JOB = (JobStatus.SIGNED, JobStatus.AT_WORK)
SATURDAY = 5
# Days beyond the plan's last day on which a job that starts late may still be finished.
TAIL_DAYS = 16
USUAL_LABOR_USD = 38.0


def plan_problem(
    yard: Yard, first_day: date, n_days: int, now: datetime, pins: Iterable[Pin] | None = None
) -> PlanProblem:
    """The question as of now: open jobs with a measured roof, crews with their people, the sky, pins, capacities.

    pins: None takes those of the plan that is on the table.
    """
    hours = shift_hours(yard)
    reader = SkyReader(yard, now)
    span = n_days + TAIL_DAYS
    rows = list(open_jobs(yard.pk))
    reader.load(rows)
    reports = reports_of([job.pk for job in rows], midnight(first_day, yard.time_zone))
    skies: dict[int, Sky] = {}
    jobs = [_job(job, reader, first_day, span, skies, reports.get(job.pk, JobReports())) for job in rows]
    rosters = with_people(yard_crew_ids(yard.pk)).order_by("name")
    crews = tuple(_crew(roster_of(row), tuple(row.skills), yard, hours, first_day, span, now) for row in rosters)
    pinned = pins_of(yard.pk, [job.pk for job in rows]) if pins is None else tuple(pins)
    return PlanProblem(
        first_day=first_day,
        n_days=n_days,
        zone=yard.time_zone,
        now=now,
        crews=crews,
        jobs=tuple(jobs),
        skies=skies,
        policy=policy_of(reader.limits()),
        pins=carried_on(pinned, crews, jobs, first_day, yard.time_zone),
        published=published_places(yard.pk),
        capacity=Capacity(yard.roof_drops_per_day, yard.dumpsters_per_day),
    )


def open_jobs(yard_id: int) -> Iterable[Job]:
    """Jobs of a yard that a plan may hold: signed or at work, with a measured roof."""
    rows = Job.objects.filter(yard_id=yard_id, status__in=OPEN_JOB, sections__isnull=False).distinct()
    unfinished = with_work(rows.order_by("number"))
    return [job for job in unfinished if _has_work(job)]


def _has_work(job: Job) -> bool:
    left = sum(s.squares - s.shingled_squares for s in job.sections.all())
    ridge = sum(
        e.length_ft - e.finished_ft
        for e in job.edges.all()
        if e.kind in ("ridge", "hip") and e.finished_ft < e.length_ft
    )
    return left > 0.01 or (ridge > 0.01 and job.kind != JobKind.EMERGENCY_COVER)


def yard_crew_ids(yard_id: int) -> list[int]:
    """The active crews of a yard."""
    return list(Crew.objects.filter(yard_id=yard_id, active=True).values_list("pk", flat=True))


def published_plan(yard_id: int) -> Plan | None:
    """The plan that is in force."""
    return Plan.objects.filter(yard_id=yard_id, state=PlanState.PUBLISHED).first()


def proposal(yard_id: int) -> Plan | None:
    """The newest plan that is proposed."""
    return Plan.objects.filter(yard_id=yard_id, state=PlanState.PROPOSED).order_by("-number").first()


def published_places(yard_id: int) -> dict[int, PublishedPlace]:
    """Where each job stands in the published plan."""
    rows = Assignment.objects.filter(plan__yard_id=yard_id, plan__state=PlanState.PUBLISHED, pencilled=False)
    return {row.job_id: PublishedPlace(row.crew_id, row.start) for row in rows}


def pins_of(yard_id: int, job_ids: Sequence[int]) -> list[Pin]:
    """The pins of the plan on the table: the proposal where there is one, else the published plan."""
    plan = proposal(yard_id) or published_plan(yard_id)
    if plan is None:
        return []
    zone = ZoneInfo(plan.yard.time_zone)
    rows = plan.assignments.filter(pinned=True, job_id__in=job_ids).order_by("start")
    return [Pin(row.job_id, row.crew_id, row.start.astimezone(zone).date()) for row in rows]


def _job(
    job: Job, reader: SkyReader, first_day: date, span: int, skies: dict[int, Sky], reports: JobReports
) -> PlanJob:
    found = job_work(job, reports, for_plan=True)
    sky = reader.over_job(job, first_day, span).sky
    sky_id = next((key for key, known in skies.items() if known is sky), len(skies) + 1)
    skies[sky_id] = sky
    return PlanJob(
        job_id=job.pk,
        name=job.short_name,
        work=found.work,
        sky_id=sky_id,
        value_usd=value_usd(job.contract_value_usd, found.roof.squares),
        place=(job.lat, job.lon),
        promised_from=job.promised_from,
        promised_by=job.promised_by,
        blocked_dates=frozenset(date.fromisoformat(day) for day in job.blocked_dates),
        priority=priority_steps(job.priority),
        missing=found.missing,
        roof_drops=roof_drops(job),
        dumpsters=0 if found.work.started else 1,
        policy=policy_of(reader.limits(job)),
        allowed_hours=_allowed(job),
    )


def roof_drops(job: Job) -> int:
    """Roof-top deliveries still to come; one where no load is entered yet."""
    loads = [load for load in job.loads.all() if load.kind == LoadKind.MATERIALS]
    if not loads:
        return 1 if job.roof_drop_allowed else 0
    gone = (LoadState.CAME, LoadState.CANCELLED)
    return sum(1 for load in loads if load.placement == Placement.ROOF and load.state not in gone)


def _allowed(job: Job) -> tuple[time, time] | None:
    if job.allowed_start is None and job.allowed_end is None:
        return None
    return job.allowed_start or time(0, 0), job.allowed_end or time(23, 59)


def _crew(
    roster: CrewRoster,
    skills: tuple[str, ...],
    yard: Yard,
    hours: ShiftHours,
    first_day: date,
    span: int,
    now: datetime,
) -> PlanCrew:
    costs = [member.hourly_cost_usd for member in roster.members if member.active]
    return PlanCrew(
        crew_id=roster.crew_id,
        name=roster.name,
        days=tuple(day for day in crew_days(roster, hours, first_day, span) if day.end > now),
        make_up_days=_make_up(roster, hours, first_day, span) if roster.overtime_allowed else (),
        skills=frozenset(skills),
        steep_limit_in_12=roster.steep_limit_in_12,
        insurance_until=roster.insurance_until,
        needs_insurance=roster.subcontract,
        labor_usd_per_hour=sum(costs) / len(costs) if costs else USUAL_LABOR_USD,
        base=(yard.lat, yard.lon),
    )


def _make_up(roster: CrewRoster, hours: ShiftHours, first_day: date, span: int) -> tuple[CrewDay, ...]:
    """Saturdays on which the crew could make up for lost days, at overtime."""
    if SATURDAY in hours.weekdays:
        return ()
    days = (first_day + timedelta(days=n) for n in range(span))
    found = (crew_day(roster, hours, day, overtime=True) for day in days if day.weekday() == SATURDAY)
    return tuple(day for day in found if day is not None)
