"""What the page of crews prints."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from crews.boards.crews import CrewLine, CrewsBoard, PersonLine
from roofops.pages.wording import formats

WARN_AHEAD = timedelta(days=30)


@dataclass(frozen=True)
class PersonRow:
    """One person of a crew."""

    name: str
    lead: bool
    today: str
    away: bool
    phone: str
    language: str
    skills: str
    expired: str
    expiring: str


@dataclass(frozen=True)
class CrewCard:
    """One crew."""

    name: str
    line: str
    work: str
    insurance: str
    insurance_over: bool
    speed: str
    people: tuple[PersonRow, ...]


@dataclass(frozen=True)
class CrewsPage:
    """The whole page."""

    headline: str
    without_crew: str
    crews: tuple[CrewCard, ...]


def crews_page(board: CrewsBoard) -> CrewsPage:
    """Return the roster of a day."""
    here = sum(crew.count for crew in board.crews)
    words = {"n": len(board.crews), "people": formats.people(here), "day": formats.day(board.day)}
    headline = _("No crew in this yard.")
    if board.crews:
        form = ngettext("%(n)s crew, %(people)s on %(day)s.", "%(n)s crews, %(people)s on %(day)s.", len(board.crews))
        headline = form % words
    return CrewsPage(
        headline=headline,
        without_crew=", ".join(board.without_crew),
        crews=tuple(_card(crew, board.day) for crew in board.crews),
    )


def _card(crew: CrewLine, day: date) -> CrewCard:
    kind = _("subcontract crew") if crew.subcontract else _("own crew")
    steep = _("up to %(pitch)s") % {"pitch": formats.pitch(crew.steep_limit_in_12)}
    words = {"n": crew.tarps, "squares": formats.figure(crew.tarp_squares)}
    tarps = ngettext("%(n)s tarp of %(squares)s sq", "%(n)s tarps of %(squares)s sq", crew.tarps) % words
    return CrewCard(
        name=crew.name,
        line=", ".join([kind, _("%(people)s there") % {"people": formats.people(crew.count)}, steep, tarps]),
        work=", ".join(crew.job_names) or _("no job today"),
        insurance=_insurance(crew, day),
        insurance_over=not crew.insured,
        speed=_speed(crew),
        people=tuple(_person(person, day) for person in crew.people),
    )


def _insurance(crew: CrewLine, day: date) -> str:
    if not crew.insured:
        return _("No valid insurance: gets no work.")
    if crew.insurance_until is None:
        return ""
    words = {"day": _date(crew.insurance_until, day)}
    if crew.insurance_until <= day + WARN_AHEAD:
        return _("Insurance ends %(day)s.") % words
    return _("Insured until %(day)s.") % words


def _speed(crew: CrewLine) -> str:
    """Speed counts table hours done per labor-hour: above 1 is faster than the table."""
    percent = round((crew.speed - 1) * 100)
    if not crew.jobs_counted:
        return _("as the table says until jobs are finished")
    jobs = ngettext("%(n)s job", "%(n)s jobs", crew.jobs_counted) % {"n": crew.jobs_counted}
    words = {"n": abs(percent), "jobs": jobs}
    if percent > 0:
        return _("%(n)s %% faster than the table, from %(jobs)s") % words
    if percent < 0:
        return _("%(n)s %% slower than the table, from %(jobs)s") % words
    return _("as the table says, from %(jobs)s") % words


def _person(person: PersonLine, day: date) -> PersonRow:
    if person.there:
        words = _("here")
    elif person.away in ("", "off"):
        words = _("day off")
    else:
        words = _("away, %(reason)s") % {"reason": person.away}
    return PersonRow(
        name=person.name,
        lead=person.lead,
        today=words,
        away=not person.there,
        phone=person.phone,
        language={"en": _("English"), "es": _("Spanish")}.get(person.language, person.language),
        skills=", ".join(skill.replace("_", "-") for skill in person.skills),
        expired=_trainings(_("%(topic)s expired %(day)s"), person.expired_training, day),
        expiring=_trainings(_("%(topic)s until %(day)s"), person.expiring_training, day),
    )


def _trainings(form: str, rows: Iterable[tuple[str, date]], day: date) -> str:
    return ", ".join(form % {"topic": topic, "day": _date(until, day)} for topic, until in rows)


def _date(value: date, day: date) -> str:
    """Return a day with its year where that is another one."""
    return formats.month_day(value) if value.year == day.year else f"{formats.month_day(value)}, {value.year}"
