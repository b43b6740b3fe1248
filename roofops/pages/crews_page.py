"""What the page of crews prints."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from crews.models import Training
from crews.roster import CrewRoster, Member
from roofops.pages import formats

WARN_AHEAD = timedelta(days=30)


@dataclass(frozen=True)
class PersonLine:
    """One person of a crew."""

    name: str
    lead: bool
    today: str
    away: bool
    phone: str
    language: str
    skills: str
    training: str
    expired: bool


@dataclass(frozen=True)
class CrewCard:
    """One crew."""

    name: str
    line: str
    insurance: str
    insurance_over: bool
    speed: str
    people: tuple[PersonLine, ...]


@dataclass(frozen=True)
class CrewsPage:
    """The whole page."""

    headline: str
    crews: tuple[CrewCard, ...]


def crews_page(crews: Sequence[CrewRoster], today: date) -> CrewsPage:
    """Return the roster of a day."""
    worker_ids = [member.worker_id for crew in crews for member in crew.members]
    trainings: dict[int, list[Training]] = {}
    for row in Training.objects.filter(worker_id__in=worker_ids).order_by("expires_on", "topic"):
        trainings.setdefault(row.worker_id, []).append(row)
    here = sum(len(crew.people(today)) for crew in crews)
    words = {"n": len(crews), "people": formats.people(here), "day": formats.day(today)}
    if crews:
        form = ngettext("%(n)s crew, %(people)s on %(day)s.", "%(n)s crews, %(people)s on %(day)s.", len(crews))
        headline = form % words
    else:
        headline = _("No crew in this yard.")
    return CrewsPage(headline=headline, crews=tuple(_card(crew, trainings, today) for crew in crews))


def _card(crew: CrewRoster, trainings: dict[int, list[Training]], today: date) -> CrewCard:
    kind = _("subcontract crew") if crew.subcontract else _("own crew")
    steep = _("up to %(pitch)s") % {"pitch": formats.pitch(crew.steep_limit_in_12)}
    tarps = ngettext("%(n)s tarp", "%(n)s tarps", crew.tarps) % {"n": crew.tarps}
    members = [member for member in crew.members if member.in_crew(today) and member.active]
    return CrewCard(
        name=crew.name,
        line=", ".join([kind, _("%(n)s today") % {"n": formats.people(len(crew.people(today)))}, steep, tarps]),
        insurance=_insurance(crew, today),
        insurance_over=not crew.insured(today),
        speed=_speed(crew.speed),
        people=tuple(_person(crew, member, trainings.get(member.worker_id, ()), today) for member in members),
    )


def _insurance(crew: CrewRoster, today: date) -> str:
    if not crew.insured(today):
        return _("No valid insurance: gets no work.")
    if crew.insurance_until is None:
        return ""
    words = {"day": _date(crew.insurance_until, today)}
    if crew.insurance_until <= today + WARN_AHEAD:
        return _("Insurance ends %(day)s.") % words
    return _("Insured until %(day)s.") % words


def _speed(speed: float) -> str:
    percent = round((speed - 1) * 100)
    if percent > 0:
        return _("%(n)s %% faster than the table") % {"n": percent}
    if percent < 0:
        return _("%(n)s %% slower than the table") % {"n": -percent}
    return _("as the table says")


def _person(crew: CrewRoster, member: Member, trainings: Iterable[Training], today: date) -> PersonLine:
    away = member.away(today)
    if away is not None:
        words = _("away, %(reason)s") % {"reason": away.reason} if away.reason else _("away")
    else:
        words = _("here") if member.works(today) else _("day off")
    rows = list(trainings)
    return PersonLine(
        name=member.name,
        lead=member.worker_id == crew.lead_id,
        today=words,
        away=not member.works(today),
        phone=member.phone,
        language={"en": _("English"), "es": _("Spanish")}.get(member.language, member.language),
        skills=", ".join(skill.replace("_", " ") for skill in member.skills),
        training=", ".join(_training(row, today) for row in rows),
        expired=any(row.expires_on is not None and row.expires_on < today for row in rows),
    )


def _training(row: Training, today: date) -> str:
    if row.expires_on is None:
        return row.topic
    words = {"topic": row.topic, "day": _date(row.expires_on, today)}
    if row.expires_on < today:
        return _("%(topic)s expired %(day)s") % words
    return _("%(topic)s until %(day)s") % words


def _date(day: date, today: date) -> str:
    """Return a day with its year where that is another one."""
    return formats.month_day(day) if day.year == today.year else f"{formats.month_day(day)}, {day.year}"
