"""Tells the demo's day again in order: the morning's forecast, plan and verdicts, then the reports up to now."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, time, timedelta
from operator import attrgetter

from crews.actions import accept, choose, confirm_seen, decide, refresh_forecasts, report, tell
from crews.models import Crew, Decision, Verdict
from crews.progress import NewEntry
from jobs.actions import set_status
from jobs.models import Job, JobStatus, Yard
from roofops.demo.actions.deliveries import settle_trucks
from roofops.demo.actions.pictures import take_pictures
from roofops.demo.actions.planning import publish_first_plan
from roofops.demo.actions.reports import Told, access_of_lead, told
from roofops.demo.dates import Calendar
from roofops.demo.scenario.choices import CHOICES
from roofops.demo.scenario.jobs import JOBS
from roofops.record.access import Access

# The morning's round, before the crews leave the yard.
MORNING = time(5, 5)
# Far below the age at which a forecast no longer counts.
LOOK_EVERY = timedelta(minutes=50)
ACCEPTED_AT, SEEN_AT = time(6, 10), time(6, 25)
SEEN_AFTER = timedelta(minutes=3)


def tell_the_day(office: Access, yard: Yard, crews: dict[str, Crew], jobs: dict[str, Job], calendar: Calendar) -> None:
    """Let everything happen that has happened by now, each thing at its own time."""
    # Loaded at night, before the round, the round is now.
    morning = min(calendar.moment(0, MORNING), calendar.now)
    said = sorted(_all_reports(crews, jobs, calendar), key=attrgetter("at"))
    for one in (one for one in said if one.at < morning):
        report(office, _in_the_office(one), one.at)
    for story in JOBS:
        if story.status in (JobStatus.FINISHED, JobStatus.CLOSED_OUT):
            set_status(office, jobs[story.number].pk, story.status, morning)
    refresh_forecasts(Access.system(), lambda: morning, yard_id=yard.pk)
    publish_first_plan(office, yard, crews, jobs, morning)
    settle_trucks(office, yard, calendar, morning)
    decide(Access.system(), yard.pk, morning)
    _see_the_morning(office, crews, calendar)
    _tell_today(yard, [one for one in said if one.at >= morning], morning)
    take_pictures(office, jobs, calendar)
    _decide_tomorrow(office, jobs, calendar)
    _look_at_the_sky(yard, calendar.now)
    _see_changes(calendar)


def _tell_today(yard: Yard, reports: list[Told], morning: datetime) -> None:
    """Let today's reports come in, with the sky looked at between them as the running service does."""
    looked = morning
    for one in reports:
        if one.at - looked >= LOOK_EVERY:
            looked = one.at
            _look_at_the_sky(yard, looked)
        report(one.access, one.entry, one.at)


def _look_at_the_sky(yard: Yard, now: datetime) -> None:
    """Read the invented forecasts as of a moment and judge every roof by them."""
    refresh_forecasts(Access.system(), lambda: now, yard_id=yard.pk)
    decide(Access.system(), yard.pk, now)


def _see_the_morning(office: Access, crews: dict[str, Crew], calendar: Calendar) -> None:
    """The manager accepts the roof that is shingled only, and the leads say that they have seen their sheets."""
    first = Decision.objects.filter(day=calendar.today, in_force=True, job__yard_id__in=office.yards())
    if calendar.moment(0, ACCEPTED_AT) <= calendar.now:
        for row in first.filter(verdict=Verdict.NO_TEAR_OFF):
            accept(office, row.pk, calendar.moment(0, ACCEPTED_AT))
    if calendar.moment(0, SEEN_AT) <= calendar.now:
        for row in first.filter(crew__in=crews.values()).select_related("job", "crew__lead__user"):
            confirm_seen(access_of_lead(row.crew, row.job.yard_id), row.pk, calendar.moment(0, SEEN_AT))


def _see_changes(calendar: Calendar) -> None:
    """The leads say that they have seen the latest change, a few minutes after it was told."""
    latest = Decision.objects.filter(day=calendar.today, in_force=True, confirmed_at=None, crew__isnull=False)
    for row in latest.select_related("job", "crew__lead__user"):
        seen_at = row.computed_at + SEEN_AFTER
        if row.version > 1 and seen_at <= calendar.now:
            confirm_seen(access_of_lead(row.crew, row.job.yard_id), row.pk, seen_at)


def _decide_tomorrow(office: Access, jobs: dict[str, Job], calendar: Calendar) -> None:
    """The manager's choices around noon, as far as noon has come."""
    tomorrow = calendar.work_day(1)
    for story in CHOICES:
        if calendar.moment(0, story.at) > calendar.now:
            continue
        job = jobs[story.number]
        choose(office, job.pk, tomorrow, story.choice, calendar.moment(0, story.at))
        for party, state, at in story.told:
            if calendar.moment(0, at) <= calendar.now:
                tell(office, job.pk, tomorrow, party, state, calendar.moment(0, at))


def _all_reports(crews: dict[str, Crew], jobs: dict[str, Job], calendar: Calendar) -> Iterator[Told]:
    for story in JOBS:
        if story.reports:
            yield from told(story, jobs[story.number], crews[story.crew], calendar)


def _in_the_office(one: Told) -> NewEntry:
    """The report of a day before this plan began: the office wrote it down, with the name of who said so.

    A lead may report only on roofs that a published plan gives to the crew, and the demo has none for the days before.
    """
    return replace(one.entry, by_name=one.who)
