"""Saving an import file: all of its jobs or none."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction

from jobs.actions.jobs import OFFICE, NumberTaken, create_job
from jobs.importing import ParsedJobs, RefusedRow
from jobs.models import Job, Yard
from roofops.record.access import Access
from roofops.record.actions import log


class ImportRefused(ValueError):
    """The file is not taken; `rows` says where and why."""

    def __init__(self, rows: Sequence[RefusedRow]) -> None:
        self.rows = tuple(rows)
        super().__init__("; ".join(str(row) for row in self.rows[:3]) or "The file holds no job.")


@dataclass(frozen=True)
class ImportResult:
    """What an import did, or with dry_run would do: job numbers and their ids (none for a dry run), squares in all."""

    numbers: tuple[str, ...]
    job_ids: tuple[int, ...]
    squares: float
    dry_run: bool


def import_jobs(
    access: Access, yard: Yard, parsed: ParsedJobs, now: datetime, *, dry_run: bool = False
) -> ImportResult:
    """Save every job of a file in one transaction and return what was saved.

    Parameters
    ----------
    dry_run
        Does all of it, and takes it back.

    Raises
    ------
    ImportRefused
        A row is refused, or a job number is taken in the yard; nothing is saved.
    NotFound, Forbidden
        The yard is not seen, or the person is no manager or dispatcher there.
    """
    access.require(yard.pk, *OFFICE)
    if not parsed.ok:
        raise ImportRefused(parsed.refused)
    wanted = {job.data.number for job in parsed.jobs}
    taken = set(Job.objects.filter(yard=yard, number__in=wanted).values_list("number", flat=True))
    clashes = [
        RefusedRow(job.line, "job", f"The yard has a job {job.data.number} already.", job.place)
        for job in parsed.jobs
        if job.data.number in taken
    ]
    if clashes:
        raise ImportRefused(clashes)
    numbers = tuple(job.data.number for job in parsed.jobs)
    squares = sum(section.squares for job in parsed.jobs for section in job.data.roof.sections)
    with transaction.atomic():
        saved = [_saved(access, yard, parsed, index, now) for index in range(len(parsed.jobs))]
        log(access, "jobs_imported", yard, now, yard_id=yard.pk, numbers=list(numbers), squares=round(squares, 2))
        if dry_run:
            transaction.set_rollback(True)
    return ImportResult(numbers, () if dry_run else tuple(job.pk for job in saved), squares, dry_run)


def _saved(access: Access, yard: Yard, parsed: ParsedJobs, index: int, now: datetime) -> Job:
    job = parsed.jobs[index]
    try:
        return create_job(access, yard, job.data, now)
    except NumberTaken as error:  # somebody else saved it between the check and this row
        raise ImportRefused([RefusedRow(job.line, "job", str(error), job.place)]) from error
