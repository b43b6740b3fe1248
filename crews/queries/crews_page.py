"""Crews: the roster of one day."""

from datetime import date, datetime, timedelta

from crews.boards.crews import CrewLine, CrewsBoard, PersonLine
from crews.models import Crew, CrewMember, Training, Worker
from crews.queries.due import due_on
from crews.queries.rosters import crews_for, roster_of, with_people
from crews.queries.yards import yard_day, yard_seen
from crews.roster import RULE_ANCHOR, Member, days_of
from jobs.models import Job
from roofops.record.access import Access, Role

WARN_DAYS = 30


def crews_page(access: Access, yard_id: int, day: date, now: datetime) -> CrewsBoard:
    """The roster of one day; the lead of a crew sees that crew only. Raises NotFound for a yard that is not seen."""
    yard = yard_seen(access, yard_id)
    ids = list(crews_for(access, yard_id).values_list("pk", flat=True))
    office = access.may_see(yard_id, Role.MANAGER, Role.DISPATCHER)
    jobs: dict[int, list[str]] = {}
    due = due_on(yard_id, day, today=yard_day(yard, now).day)
    names = dict(Job.objects.filter(pk__in=[one.job_id for one in due]).values_list("pk", "short_name"))
    for one in due:
        if one.crew_id is not None:
            jobs.setdefault(one.crew_id, []).append(names.get(one.job_id, ""))
    trainings = _trainings(ids)
    lines = tuple(_line(crew, day, jobs, trainings) for crew in with_people(ids).order_by("name"))
    return CrewsBoard(
        yard_id=yard.pk,
        yard_name=yard.name,
        company=yard.company,
        zone=yard.time_zone,
        day=day,
        crews=lines,
        without_crew=_without_crew(yard_id, day) if office else (),
        may_edit=access.may_see(yard_id, Role.MANAGER),
    )


def _line(crew: Crew, day: date, jobs: dict[int, list[str]], trainings: dict[int, list[Training]]) -> CrewLine:
    roster = roster_of(crew)
    there = {member.worker_id for member in roster.people(day)}
    members = [member for member in roster.members if member.in_crew(day)]
    return CrewLine(
        crew_id=crew.pk,
        name=crew.name,
        subcontract=roster.subcontract,
        insured=roster.insured(day),
        insurance_until=roster.insurance_until,
        steep_limit_in_12=roster.steep_limit_in_12,
        tarps=roster.tarps,
        tarp_squares=roster.tarp_squares,
        overtime_allowed=roster.overtime_allowed,
        speed=roster.speed,
        jobs_counted=max((rate.jobs_counted for rate in crew.rates.all()), default=0),
        people=tuple(
            _person(m, day, m.worker_id in there, m.worker_id == roster.lead_id, trainings.get(m.worker_id, []))
            for m in members
        ),
        count=len(there),
        job_names=tuple(jobs.get(crew.pk, ())),
    )


def _person(member: Member, day: date, there: bool, lead: bool, trainings: list[Training]) -> PersonLine:
    absence = member.away(day)
    away = ""
    if absence is not None:
        away = absence.reason or "away"
    elif not days_of(member.working_days, RULE_ANCHOR, day, day):
        away = "off"
    dated = [(row.topic, row.expires_on) for row in trainings if row.expires_on is not None]
    soon = day + timedelta(days=WARN_DAYS)
    return PersonLine(
        worker_id=member.worker_id,
        name=member.name,
        phone=member.phone,
        language=member.language,
        skills=member.skills,
        lead=lead,
        there=there,
        away=away,
        working_days=member.working_days,
        expired_training=tuple((topic, end) for topic, end in dated if end < day),
        expiring_training=tuple((topic, end) for topic, end in dated if day <= end <= soon),
    )


def _trainings(crew_ids: list[int]) -> dict[int, list[Training]]:
    """The newest certificate of each topic, by worker."""
    workers = CrewMember.objects.filter(crew_id__in=crew_ids).values("worker_id")
    found: dict[int, dict[str, Training]] = {}
    for row in Training.objects.filter(worker_id__in=workers).order_by("trained_on"):
        found.setdefault(row.worker_id, {})[row.topic] = row
    return {pk: list(rows.values()) for pk, rows in found.items()}


def _without_crew(yard_id: int, day: date) -> tuple[str, ...]:
    inside = CrewMember.objects.filter(crew__yard_id=yard_id, crew__active=True, from_day__lte=day).exclude(
        to_day__lt=day
    )
    rows = Worker.objects.filter(yard_id=yard_id, active=True).exclude(pk__in=inside.values("worker_id"))
    return tuple(rows.order_by("name").values_list("name", flat=True))
