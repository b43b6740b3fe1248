"""The demo's crews: workers, members, trainings, absences, and the leads' accounts."""

from crews.models import Absence, Crew, CrewMember, Training, Worker
from crews.roster import check_rule
from jobs.models import Yard
from roofops.access.models import Membership
from roofops.demo.actions.company import sign_in_for
from roofops.demo.dates import Calendar
from roofops.demo.scenario.people import CREWS
from roofops.demo.story import CrewStory, PersonStory
from roofops.record.access import Role

# Everybody has been with the crew for so long; jobs behind us need their crews as well.
JOINED_MONTHS_AGO = 14
TRAINING_LASTS_MONTHS = 12


def hire(yard: Yard, calendar: Calendar) -> dict[str, Crew]:
    """Save the four crews with their people, and return them by name."""
    return {story.name: _crew(story, yard, calendar) for story in CREWS}


def _crew(story: CrewStory, yard: Yard, calendar: Calendar) -> Crew:
    workers = [_worker(person, yard, calendar) for person in story.people]
    lead = workers[0]
    first_name, last_name = lead.name.split(" ", 1)
    lead.user = sign_in_for(story.user_name, first_name, last_name)
    lead.save()
    Membership.objects.create(user=lead.user, yard=yard, role=Role.CREW_LEAD)
    insured = None if story.insurance_months is None else calendar.months_from_today(story.insurance_months)
    crew = Crew(
        yard=yard,
        name=story.name,
        kind=story.kind,
        lead=lead,
        insurance_until=insured,
        skills=list(story.skills),
        steep_limit_in_12=story.steep_limit_in_12,
        tarps=story.tarps,
        overtime_allowed=story.overtime_allowed,
    )
    crew.full_clean()
    crew.save()
    joined = calendar.months_from_today(-JOINED_MONTHS_AGO)
    CrewMember.objects.bulk_create([CrewMember(crew=crew, worker=worker, from_day=joined) for worker in workers])
    return crew


def _worker(story: PersonStory, yard: Yard, calendar: Calendar) -> Worker:
    worker = Worker(
        yard=yard,
        name=story.name,
        phone=story.phone,
        language=story.language,
        skills=list(story.skills),
        working_days=check_rule(calendar.weekly_rule),
        hourly_cost_usd=story.hourly_cost_usd,
    )
    worker.full_clean()
    worker.save()
    for topic, months_ago in story.trained.items():
        Training.objects.create(
            worker=worker,
            topic=topic,
            trained_on=calendar.months_from_today(-months_ago),
            expires_on=calendar.months_from_today(TRAINING_LASTS_MONTHS - months_ago + 1),
            signed_by="K. Pell",
        )
    for absence in story.away:
        Absence.objects.create(
            worker=worker,
            first_day=calendar.work_day(absence.first_work_day),
            days=absence.days,
            rule=check_rule(absence.rule) if absence.rule else "",
            reason=absence.reason,
        )
    return worker
