"""Taking over a roster file: everything or nothing."""

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.db import transaction

from crews.models import Absence, Crew, CrewKind, CrewMember, Training, Worker
from crews.queries.yards import local_day, yard_seen
from crews.roster_fields import RowError
from crews.roster_import import CrewRow, RosterFile, WorkerRow
from roofops.record import actions as record
from roofops.record.access import Access, Role


class RosterRefused(ValueError):
    """The file is not taken; `errors` name every line, column and reason."""

    def __init__(self, errors: tuple[RowError, ...]) -> None:
        self.errors = errors
        first = errors[0]
        super().__init__(f"Line {first.line}, {first.column or 'file'}: {first.reason}")


@dataclass(frozen=True)
class RosterTaken:
    """What an import did, or with dry_run would do."""

    workers_new: int
    workers_changed: int
    crews_new: int
    absences: int
    trainings: int
    dry_run: bool


class _TakeBack(Exception):
    """Ends a dry run: everything is undone."""


def import_roster(
    access: Access, yard_id: int, parsed: RosterFile, now: datetime, *, dry_run: bool = False
) -> RosterTaken:
    """Take over every row of a roster file, or none.

    A worker or crew that is there already (by name) is brought up to date; absences and certificates are added once.

    Raises
    ------
    RosterRefused
        A row is refused; nothing is saved.
    NotFound, Forbidden
        The yard is not seen, or the person is no manager there.
    """
    yard = yard_seen(access, yard_id)
    access.require(yard_id, Role.MANAGER)
    if parsed.errors:
        raise RosterRefused(parsed.errors)
    today = local_day(now, yard.time_zone)
    taken: list[RosterTaken] = []
    try:
        with transaction.atomic():
            taken.append(_take(yard_id, parsed, today, dry_run=dry_run))
            record.log(access, "roster_imported", yard, now, yard_id=yard_id, workers=len(parsed.workers))
            if dry_run:
                raise _TakeBack
    except _TakeBack:
        pass
    return taken[0]


def _take(yard_id: int, parsed: RosterFile, today: date, *, dry_run: bool) -> RosterTaken:
    known_crews = set(Crew.objects.filter(yard_id=yard_id).values_list("name", flat=True))
    crews = {row.name: _crew(yard_id, row) for row in parsed.crews}
    new = changed = absences = trainings = 0
    for row in parsed.workers:
        worker, is_new = _worker(yard_id, row)
        new, changed = new + is_new, changed + (not is_new)
        if row.crew:
            _member(crews[row.crew], worker, row, today)
        absences += _absences(worker, row)
        trainings += _trainings(worker, row)
    crews_new = len(set(crews) - known_crews)
    return RosterTaken(new, changed, crews_new, absences, trainings, dry_run)


def _crew(yard_id: int, row: CrewRow) -> Crew:
    values: dict[str, Any] = {
        "kind": CrewKind.SUBCONTRACT if row.subcontract else CrewKind.OWN,
        "steep_limit_in_12": row.steep_limit_in_12,
        "active": True,
    }
    if row.insurance_until is not None:
        values["insurance_until"] = row.insurance_until
    return Crew.objects.update_or_create(yard_id=yard_id, name=row.name, defaults=values)[0]


def _worker(yard_id: int, row: WorkerRow) -> tuple[Worker, bool]:
    return Worker.objects.update_or_create(
        yard_id=yard_id,
        name=row.name,
        defaults={
            "phone": row.phone,
            "language": row.language,
            "skills": list(row.skills),
            "working_days": row.working_days,
            "hourly_cost_usd": row.hourly_cost_usd,
            "active": True,
        },
    )


def _member(crew: Crew, worker: Worker, row: WorkerRow, today: date) -> None:
    """Put a worker into a crew; the crew that the worker was in ends the day before."""
    start = row.from_day or today
    for old in CrewMember.objects.filter(worker=worker, to_day__isnull=True).exclude(crew=crew):
        if old.from_day >= start:
            old.delete()
        else:
            old.to_day = date.fromordinal(start.toordinal() - 1)
            old.save(update_fields=["to_day"])
    member = CrewMember.objects.filter(crew=crew, worker=worker, to_day__isnull=True).first()
    if member is None:
        CrewMember.objects.create(crew=crew, worker=worker, from_day=start, to_day=row.to_day)
    elif row.to_day is not None:
        member.to_day = max(row.to_day, member.from_day)
        member.save(update_fields=["to_day"])
    if row.lead:
        crew.lead = worker
        crew.save(update_fields=["lead"])


def _absences(worker: Worker, row: WorkerRow) -> int:
    made = 0
    for one in row.absences:
        _row, is_new = Absence.objects.get_or_create(
            worker=worker, first_day=one.first_day, days=one.days, rule=one.rule, defaults={"reason": one.reason}
        )
        made += is_new
    return made


def _trainings(worker: Worker, row: WorkerRow) -> int:
    made = 0
    for one in row.trainings:
        _row, is_new = Training.objects.update_or_create(
            worker=worker, topic=one.topic, trained_on=one.trained_on, defaults={"expires_on": one.expires_on}
        )
        made += is_new
    return made
