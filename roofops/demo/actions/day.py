"""Tells the demo's day again in order: the morning's forecast, plan and verdicts, then the reports up to now."""

from datetime import datetime, time
from operator import attrgetter

from crews.actions import decide, report
from crews.models import Crew
from jobs.actions import set_status
from jobs.models import Job, JobStatus, Yard
from roofops.demo.actions.planning import publish_first_plan
from roofops.demo.actions.reports import Told, told
from roofops.demo.dates import Calendar
from roofops.demo.scenario.jobs import JOBS
from roofops.record.access import Access
from weather.actions import refresh_cell
from weather.models import Cell, Source

# The morning's round, before the crews leave the yard.
MORNING = time(5, 5)


def tell_the_day(
    office: Access, yard: Yard, crews: dict[str, Crew], jobs: dict[str, Job], calendar: Calendar
) -> None:
    """Let everything happen that has happened by now, each thing at its own time."""
    # Loaded at night, before the round, the round is now.
    morning = min(calendar.moment(0, MORNING), calendar.now)
    said = sorted(_all_reports(crews, jobs, calendar), key=attrgetter("at"))
    for one in (one for one in said if one.at < morning):
        report(_in_the_office(office, one), one.entry, one.at)
    for story in JOBS:
        if story.status in (JobStatus.FINISHED, JobStatus.CLOSED_OUT):
            set_status(office, jobs[story.number].pk, story.status, morning)
    _read_the_sky(morning)
    publish_first_plan(office, yard, crews, jobs, morning)
    decide(Access.system(), yard, morning)
    for one in (one for one in said if one.at >= morning):
        report(one.access, one.entry, one.at)
    _read_the_sky(calendar.now)
    decide(Access.system(), yard, calendar.now)
