"""Rows of people turned into rosters: crews with members, absences, learned speed; the yard's shift."""

from collections.abc import Iterable
from datetime import date
from math import exp
from typing import Any

from django.contrib.auth.models import User
from django.db.models import Prefetch, QuerySet

from crews.models import Crew, CrewKind, CrewMember, CrewRate, Worker
from crews.planner.problem import CrewDay
from crews.roster import AbsenceSpan, CrewRoster, Member, ShiftHours
from crews.roster import crew_days as days_of_crew
from jobs.models import Yard
from roofops.record.access import Access, NotFound, Role


def crews_for(access: Access, yard_id: int) -> QuerySet[Crew]:
    """The crews of a yard that this person may see; the lead of a subcontract crew sees that crew only."""
    access.require(yard_id)
    rows = Crew.objects.filter(yard_id=yard_id, active=True)
    if access.everywhere or access.role(yard_id) != Role.CREW_LEAD:
        return rows
    return rows.filter(lead__user=access.user)


def crew_of(access: Access, yard_id: int) -> int | None:
    """The crew that the signed-in person leads in this yard, or None."""
    if access.user is None:
        return None
    return _led_by(access.user).filter(yard_id=yard_id).values_list("pk", flat=True).first()


def led_crews(access: Access) -> tuple[tuple[int, int], ...]:
    """(yard id, crew id) of every crew that the signed-in person leads in a yard that is seen."""
    if access.user is None:
        return ()
    rows = access.scope(_led_by(access.user)).order_by("pk")
    return tuple(rows.values_list("yard_id", "pk"))


def crew_seen(access: Access, crew_id: int) -> Crew:
    """One crew; raise NotFound where it is in no yard that is seen, or another crew of a crew lead's yard."""
    crew = Crew.objects.filter(pk=crew_id, active=True).select_related("yard", "lead").first()
    if crew is None or not access.may_see(crew.yard_id):
        raise NotFound("There is no such crew here.")
    if not access.everywhere and access.role(crew.yard_id) == Role.CREW_LEAD:
        lead = crew.lead
        if lead is None or access.user is None or lead.user_id != access.user.pk:
            raise NotFound("There is no such crew here.")
    return crew


def works_here(access: Access, crew: Crew) -> bool:
    """True for who may report in this crew's name: its lead, and the office of its yard."""
    if access.everywhere or access.role(crew.yard_id) in (Role.MANAGER, Role.DISPATCHER):
        return True
    return crew.lead is not None and access.user is not None and crew.lead.user_id == access.user.pk


def shift_hours(yard: Yard) -> ShiftHours:
    """The yard's ordinary shift."""
    weekdays = frozenset(int(digit) for digit in yard.work_weekdays if digit.isdecimal() and int(digit) < 7)
    return ShiftHours(yard.shift_start, yard.shift_end, yard.time_zone, weekdays)


def rosters(access: Access, yard_id: int) -> tuple[CrewRoster, ...]:
    """Every active crew of a yard that is seen, with its people; five queries however many crews."""
    return tuple(roster_of(crew) for crew in _people(crews_for(access, yard_id)).order_by("name"))


def with_people(crew_ids: Iterable[int]) -> QuerySet[Crew]:
    """Some crews with members, absences and rates fetched along."""
    return _people(Crew.objects.filter(pk__in=list(crew_ids)))


def _people(queryset: QuerySet[Crew]) -> QuerySet[Crew]:
    return queryset.select_related("lead").prefetch_related(_members(), _rates())


def roster(crew: Crew) -> CrewRoster:
    """One crew with its people."""
    return roster_of(with_people([crew.pk]).get())


def crew_days(crew: Crew, first_day: date, n: int) -> tuple[CrewDay, ...]:
    """The crew's ordinary work days among n calendar days, absences taken off."""
    return days_of_crew(roster(crew), shift_hours(crew.yard), first_day, n)


def roster_of(crew: Crew) -> CrewRoster:
    """The roster of a crew that was fetched with members and rates."""
    return CrewRoster(
        crew_id=crew.pk,
        name=crew.name,
        members=tuple(_member(row) for row in crew.members.all()),
        subcontract=crew.kind == CrewKind.SUBCONTRACT,
        insurance_until=crew.insurance_until,
        steep_limit_in_12=crew.steep_limit_in_12,
        lead_id=crew.lead_id,
        tarps=crew.tarps,
        tarp_squares=crew.tarp_squares,
        overtime_allowed=crew.overtime_allowed,
        active=crew.active,
        speed=learned_speed(tuple(crew.rates.all())),
    )


def learned_speed(rates: tuple[CrewRate, ...]) -> float:
    """Table labor-hours done per labor-hour: above 1 = faster than the table; 1 with no record.

    The newest fit of each phase counts, weighted by its jobs.
    """
    newest: dict[str, CrewRate] = {}
    for rate in rates:
        if rate.phase not in newest or rate.fitted_at > newest[rate.phase].fitted_at:
            newest[rate.phase] = rate
    jobs = sum(rate.jobs_counted for rate in newest.values())
    if not jobs:
        return 1.0
    return exp(-sum(rate.mean_log * rate.jobs_counted for rate in newest.values()) / jobs)


def _member(row: CrewMember) -> Member:
    worker: Worker = row.worker
    return Member(
        worker_id=worker.pk,
        name=worker.name,
        working_days=worker.working_days,
        from_day=row.from_day,
        to_day=row.to_day,
        absences=tuple(AbsenceSpan(a.first_day, max(1, a.days), a.rule, a.reason) for a in worker.absences.all()),
        skills=tuple(worker.skills),
        active=worker.active,
        hourly_cost_usd=worker.hourly_cost_usd,
        phone=worker.phone,
        language=worker.language,
    )


def _members() -> "Prefetch[Any, Any, Any]":
    return Prefetch(
        "members",
        queryset=CrewMember.objects.select_related("worker").prefetch_related("worker__absences").order_by("id"),
    )


def _rates() -> "Prefetch[Any, Any, Any]":
    return Prefetch("rates", queryset=CrewRate.objects.all())


def _led_by(user: User) -> QuerySet[Crew]:
    return Crew.objects.filter(active=True, lead__user=user)
