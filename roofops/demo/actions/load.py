"""Loads the whole demo: company, people, houses, then the day told again up to now."""

from dataclasses import dataclass
from datetime import datetime

from django.db import transaction

from crews.models import Crew
from jobs.models import Job, Yard
from roofops.demo.actions.clear import clear
from roofops.demo.actions.company import DemoRefused, open_office, open_yard
from roofops.demo.actions.day import tell_the_day
from roofops.demo.actions.houses import sign_jobs
from roofops.demo.actions.people import hire
from roofops.demo.dates import Calendar
from roofops.demo.scenario import company
from roofops.record.access import Access, Role


@dataclass(frozen=True)
class Loaded:
    """What was loaded; `fresh` is False where the demo was there already and nothing changed."""

    yard_id: int
    jobs: int
    crews: int
    fresh: bool


def load(now: datetime, *, anew: bool = False) -> Loaded:
    """Load the invented contractor, dated around `now`.

    A demo that is there already stays as it is, unless `anew` asks to drop it and begin again. A load that fails
    leaves nothing behind.

    Raises
    ------
    DemoRefused
        The database holds a yard that is not the demo's.
    """
    if Yard.objects.exclude(is_demo=True, company=company.COMPANY).exists():
        raise DemoRefused("This database holds a company's data; the demo would mix invented jobs with them.")
    there = Yard.objects.filter(name=company.YARD).first()
    if there is not None and not anew:
        return _loaded(there, fresh=False)
    clear()
    calendar = Calendar.around(now, company.TIME_ZONE, company.WORK_WEEKDAYS)
    try:
        yard = _load(calendar)
    except BaseException:
        clear()
        raise
    return _loaded(yard, fresh=True)


def _load(calendar: Calendar) -> Yard:
    with transaction.atomic():
        yard = open_yard(calendar)
        office = Access(user=open_office(yard), role_by_yard={yard.pk: Role.MANAGER})
        crews = hire(yard, calendar)
        jobs = sign_jobs(office, yard, calendar)
    tell_the_day(office, yard, crews, jobs, calendar)
    return yard


def _loaded(yard: Yard, *, fresh: bool) -> Loaded:
    return Loaded(
        yard_id=yard.pk,
        jobs=Job.objects.filter(yard=yard).count(),
        crews=Crew.objects.filter(yard=yard).count(),
        fresh=fresh,
    )
