"""What the crews reported, told again in order and only up to the moment of loading."""

import uuid
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from math import isinf
from typing import Any

from crews.models import Crew
from crews.progress import RIDGE_KINDS, NewEntry
from jobs.models import EdgeKind, Job
from roofops.demo.dates import Calendar
from roofops.demo.story import JobStory, ReportStory
from roofops.record.access import Access, Role

NAMESPACE = uuid.UUID("6d0f2f0e-5c1b-4d0a-9f43-6b1f7f2f7a11")


@dataclass(frozen=True)
class Told:
    """One report ready to be sent: by whom, when, and what."""

    at: datetime
    access: Access
    who: str
    entry: NewEntry


def told(story: JobStory, job: Job, crew: Crew, calendar: Calendar) -> Iterator[Told]:
    """Yield the job's reports up to now, in order."""
    access = access_of_lead(crew, job.yard_id)
    who = crew.lead.name if crew.lead else ""
    for number, report in enumerate(story.reports):
        at = calendar.moment(report.work_day, report.at)
        if at > calendar.now:
            continue
        for place, values in enumerate(_entries(report, job, at)):
            key = f"{job.yard_id}/{story.number}/{number}/{place}"
            entry = NewEntry(client_uuid=uuid.uuid5(NAMESPACE, key), sequence=number, **values)
            yield Told(at, access, who, entry)


def _entries(report: ReportStory, job: Job, at: datetime) -> Iterator[dict[str, Any]]:
    """One entry, or one for each ridge where feet of ridge are reported."""
    common: dict[str, Any] = {
        "job_id": job.pk,
        "kind": report.kind,
        "at": at,
        "device": "demo",
        "phase": report.phase,
        "note": report.note,
    }
    if report.kind in RIDGE_KINDS:
        for edge in job.edges.filter(kind__in=(EdgeKind.RIDGE, EdgeKind.HIP)):
            yield common | {"edge_id": edge.pk, "done_after": _amount(report.done, edge.length_ft)}
        return
    if report.section:
        section = job.sections.get(name=report.section)
        yield common | {"section_id": section.pk, "done_after": _amount(report.done, section.squares)}
        return
    yield common | {"done_after": report.done}


def _amount(done: float | None, measured: float) -> float | None:
    return measured if done is not None and isinf(done) else done


def access_of_lead(crew: Crew | None, yard_id: int) -> Access:
    """The rights of a crew's lead; ValueError where the crew has none who can sign in."""
    if crew is None or crew.lead is None or crew.lead.user is None:
        raise ValueError("A crew of the demo has no lead who can sign in.")
    return Access(user=crew.lead.user, role_by_yard={yard_id: Role.CREW_LEAD})
