"""Jobs as one person sees them."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db.models import Prefetch, QuerySet

from jobs.models import Job, JobStatus, ReadyItem
from jobs.queries.measured import with_roof
from jobs.queries.ready import MissingItem, ready
from roofops.record.access import Access, NotFound

OPEN_STATUSES = (JobStatus.SIGNED, JobStatus.AT_WORK)


def jobs_for(
    access: Access, *, yard_id: int | None = None, statuses: Iterable[str] | None = None, text: str = ""
) -> QuerySet[Job]:
    """Return the jobs a person sees, with roof and checklist fetched along (five queries however many jobs).

    Parameters
    ----------
    yard_id
        Only this yard; one that is not seen gives no job.
    statuses
        Only these; None gives every status.
    text
        Only jobs whose number, short name, street or city holds it.
    """
    queryset = access.scope(with_roof(Job.objects.all())).prefetch_related(
        Prefetch("ready_items", queryset=ReadyItem.objects.order_by("id"))
    )
    if yard_id is not None:
        queryset = queryset.filter(yard_id=yard_id)
    if statuses is not None:
        queryset = queryset.filter(status__in=list(statuses))
    for word in text.split():
        queryset = (
            queryset.filter(number__icontains=word)
            | queryset.filter(short_name__icontains=word)
            | queryset.filter(street__icontains=word)
            | queryset.filter(city__icontains=word)
        )
    return queryset


def job(access: Access, job_id: int) -> Job:
    """Return one job with its roof fetched along.

    Raises
    ------
    NotFound
        It does not exist for this person.
    """
    found = jobs_for(access).filter(pk=job_id).first()
    if found is None:
        raise NotFound("There is no such job here.")
    return found


def job_by_number(access: Access, yard_id: int, number: str) -> Job:
    """Return the job of this number in a yard; NotFound where this person sees none."""
    found = jobs_for(access, yard_id=yard_id).filter(number=number).first()
    if found is None:
        raise NotFound("There is no such job here.")
    return found


@dataclass(frozen=True)
class JobLine:
    """One line of the job list: areas in squares, pitches in 12."""

    job_id: int
    number: str
    short_name: str
    kind: str
    status: str
    street: str
    city: str
    squares: float
    shingled_squares: float
    bare_squares: float
    min_pitch_in_12: float | None
    max_pitch_in_12: float | None
    n_sections: int
    layers: int
    promised_from: date | None
    promised_by: date | None
    missing: tuple[MissingItem, ...]


def job_list(
    access: Access, *, yard_id: int | None = None, statuses: Iterable[str] | None = None, text: str = ""
) -> list[JobLine]:
    """Return the lines of the job list; parameters as for `jobs_for`."""
    return [job_line(row) for row in jobs_for(access, yard_id=yard_id, statuses=statuses, text=text)]


def job_line(row: Job) -> JobLine:
    """Return the list line of one job that was fetched through `jobs_for`."""
    sections = list(row.sections.all())
    pitches = [section.pitch_in_12 for section in sections]
    return JobLine(
        job_id=row.pk,
        number=row.number,
        short_name=row.short_name,
        kind=row.get_kind_display(),
        status=row.get_status_display(),
        street=row.street,
        city=row.city,
        squares=sum(section.squares for section in sections),
        shingled_squares=sum(section.shingled_squares for section in sections),
        bare_squares=sum(section.bare_squares for section in sections),
        min_pitch_in_12=min(pitches, default=None),
        max_pitch_in_12=max(pitches, default=None),
        n_sections=len(sections),
        layers=row.layers,
        promised_from=row.promised_from,
        promised_by=row.promised_by,
        missing=tuple(ready(row)),
    )
