"""Crews, their people, and skies stored for them; everything invented.

Worlds
------
crew(yard)          an own crew of five with its lead, all working Monday to Friday.
sky_over(job, ...)  a stored forecast over a job: dry, calm, warm, but for the hours named.
small_yard()        a yard with one crew and one ready job published for WORK_DAY, under a dry sky.
add_roofs(world)    more of the same in that yard.
planned_yard()      small_yard with three more jobs, a second crew and a proposal.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
from django.contrib.auth.models import User

from crews.actions.decide import decide
from crews.actions.planning import make_plan
from crews.models import Assignment, Crew, CrewKind, CrewMember, JobPoint, Plan, PlanState, Worker
from crews.planner.solve import Budget
from crews.planner.solve import plan as solve_plan
from jobs.models import Job, JobStatus, Yard
from roofops.access.models import Membership
from roofops.record.access import Access, Role
from tests.factories.jobs import LoadFactory, YardFactory, ready_job
from weather.actions import store_forecast
from weather.hourly import COLUMNS, Hourly
from weather.models import Cell, Point, Source

ZONE = "America/Chicago"
WORK_DAY = date(2026, 7, 14)  # a Tuesday
MPH = 0.44704  # m/s


def local(hour: float, day: date = WORK_DAY, zone: str = ZONE) -> datetime:
    """A wall time of the test day as a UTC moment."""
    start = datetime(day.year, day.month, day.day, tzinfo=ZoneInfo(zone))
    return (start + timedelta(hours=hour)).astimezone(UTC)


def hourly(
    issued_at: datetime,
    start: datetime,
    n_hours: int = 60,
    *,
    wet: Iterable[int] = (),
    gust_mph: Mapping[int, float] | None = None,
    thunder: Iterable[int] = (),
    missing: Iterable[int] = (),
    air_c: float = 22.0,
) -> Hourly:
    """A forecast from `start`: dry, calm and warm but for the hours named (counted from start; wet hours 70 %)."""
    columns = {name: np.zeros(n_hours) for name in COLUMNS}
    columns["air_temp_c"][:] = air_c
    columns["apparent_temp_c"][:] = air_c
    columns["dew_point_c"][:] = air_c - 12
    columns["rel_humidity"][:] = 0.45
    columns["wind_ms"][:] = 3.0
    columns["gust_ms"][:] = 8 * MPH
    columns["pop_period_h"][:] = 1
    columns["pop"][:] = 0.0
    columns["sky_cover"][:] = 0.3
    for hour in wet:
        columns["pop"][hour], columns["qpf_mm"][hour] = 0.7, 1.5
    for hour, mph in (gust_mph or {}).items():
        columns["gust_ms"][hour] = mph * MPH
    for hour in thunder:
        columns["thunder_p"][hour] = 0.4
    for hour in missing:
        for name in COLUMNS:
            columns[name][hour] = np.nan
    return Hourly(source="nws", start=start, issued_at=issued_at, **columns)


def point_of(job: Job, cell: Cell) -> Point:
    """Give a job its place in the sky, served by a cell."""
    point, _ = Point.objects.get_or_create(lat=job.lat, lon=job.lon, recorded_pattern="", defaults={"cell": cell})
    JobPoint.objects.get_or_create(job=job, defaults={"point": point})
    return point


def cell(key: str = "TST/1,1") -> Cell:
    """A grid cell of the real source; nothing is fetched."""
    return Cell.objects.get_or_create(source=Source.NWS, key=key)[0]


def sky_over(*jobs: Job, issued_at: datetime, checked_at: datetime | None = None, **hours: object) -> Cell:
    """Store a forecast over jobs, from the local midnight of the test day; `hours` as in `hourly`."""
    one = cell()
    for job in jobs:
        point_of(job, one)
    table = hourly(issued_at, local(0), **hours)  # type: ignore[arg-type]
    store_forecast(one.pk, table, issued_at, checked_at)
    return one


def worker(yard: Yard, name: str, **values: object) -> Worker:
    """One worker, Monday to Friday."""
    return Worker.objects.create(yard=yard, name=name, **values)


def crew(yard: Yard, name: str = "Ruiz", people: int = 5, **values: object) -> Crew:
    """A crew whose lead is its first member; members have belonged to it since January."""
    members = [worker(yard, f"{name} {number}") for number in range(1, people + 1)]
    row = Crew.objects.create(yard=yard, name=name, lead=members[0] if members else None, **values)
    for member in members:
        CrewMember.objects.create(crew=row, worker=member, from_day=date(2026, 1, 1))
    return row


def subcontract_crew(yard: Yard, name: str = "Tamm", **values: object) -> Crew:
    """A subcontract crew with insurance to the end of the year."""
    return crew(yard, name, kind=CrewKind.SUBCONTRACT, **{"insurance_until": date(2026, 12, 31), **values})


def published_plan(yard: Yard, number: int = 1, first_day: date = WORK_DAY) -> Plan:
    """The published plan of a yard, without assignments."""
    return Plan.objects.create(
        yard=yard,
        number=number,
        state=PlanState.PUBLISHED,
        first_day=first_day,
        days=10,
        seed=1,
        made_at=local(5, first_day),
        published_at=local(5, first_day),
    )


def assign(plan: Plan, job: Job, to: Crew, day: date = WORK_DAY, n_days: int = 2, **values: object) -> Assignment:
    """Put a job on a plan for some days from a day on, in whole shifts."""
    dates = [day + timedelta(days=n) for n in range(n_days)]
    return Assignment.objects.create(
        plan=plan,
        job=job,
        crew=to,
        start=local(7, dates[0]),
        finish_p50=local(16, dates[-1]),
        finish_p90=local(17, dates[-1]),
        days=[
            {"date": d.isoformat(), "start": local(7, d).isoformat(), "end": local(17.5, d).isoformat()} for d in dates
        ],
        **values,
    )


def person(yard: Yard, username: str, role: Role, leads: Crew | None = None) -> Access:
    """Somebody with a role in a yard; a crew lead is tied to the worker who leads the crew."""
    user = User.objects.create_user(username, password="a long invented phrase")
    Membership.objects.create(user=user, yard=yard, role=role)
    if leads is not None and leads.lead is not None:
        leads.lead.user = user
        leads.lead.save()
    return Access(user=user, role_by_yard={yard.pk: role})


@dataclass(frozen=True)
class SmallYard:
    """One yard, one own crew of five, one ready job of 14.087 squares at work on WORK_DAY, a manager and the lead."""

    yard: Yard
    crew: Crew
    job: Job
    plan: Plan
    manager: Access
    lead: Access


def small_yard(issued_at: datetime | None = None, **hours: object) -> SmallYard:
    """The small world of most tests here; `hours` as in `hourly`, the forecast issued at 5 am unless said."""
    yard = YardFactory()
    job = ready_job(yard=yard, status=JobStatus.AT_WORK)
    own = crew(yard)
    plan = published_plan(yard)
    assign(plan, job, own)
    sky_over(job, issued_at=issued_at or local(5), **hours)
    return SmallYard(
        yard,
        own,
        job,
        plan,
        person(yard, "mara", Role.MANAGER),
        person(yard, "lena", Role.CREW_LEAD, own),
    )


def add_roofs(world: SmallYard, count: int) -> None:
    """More roofs at work on the same day, each with a crew, a load and a verdict of its own."""
    for number in range(count):
        job = ready_job(yard=world.yard, status=JobStatus.AT_WORK)
        sky_over(job, issued_at=local(5))
        assign(world.plan, job, crew(world.yard, f"Crew {number}"))
        LoadFactory(job=job, slot_start=local(10 + number))
    decide(Access.system(), world.yard.pk, local(6.2))


def planned_yard() -> tuple[SmallYard, Plan]:
    """The small world with three more ready jobs, a second crew, and a proposal made at 5:12 am."""
    world = small_yard()
    jobs = [ready_job(yard=world.yard, contract_value_usd=9000) for _ in range(3)]
    sky_over(world.job, *jobs, issued_at=local(5), n_hours=160)
    crew(world.yard, "Adeyemi")
    return world, proposal(world)


def proposal(world: SmallYard, seed: int = 1, hour: float = 5.2) -> Plan:
    """A proposal over eight days with a small budget, made in this process."""
    now = local(hour)
    budget = Budget(choice_units=2.0, rounds=4)
    return make_plan(
        world.manager,
        world.yard.pk,
        WORK_DAY,
        8,
        seed,
        now,
        clock=lambda: now,
        solve=lambda problem: solve_plan(problem, seed, budget),
    )
