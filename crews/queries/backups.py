"""Other closed work for each crew of the next work day: dried-in squares that wait for shingles on another roof."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from django.db.models import F, FloatField, Max, Sum

from crews.boards.tomorrow import BackupWork
from crews.planner.problem import StepKind
from crews.queries.day_inputs import DueRoof, due_roofs, judged_or_none
from crews.queries.due import Due
from crews.queries.rows_read import RowsRead
from crews.queries.skies import SkyReader
from jobs.models import JobStatus, Section, Yard

WORTH_SQUARES = 0.5


@dataclass(frozen=True)
class Waiting:
    """A roof with dried-in squares and no crew on the day."""

    job_id: int
    squares: float
    pitch_in_12: float


def backups_for(
    yard: Yard, roofs: Sequence[DueRoof], day: date, now: datetime, reader: SkyReader, read: RowsRead
) -> Mapping[int, BackupWork]:
    """The closed work that each roof's crew can do elsewhere on the day, by the job it would leave.

    Never the job itself nor one that has a crew of its own that day; each is given to one crew, the most squares first,
    and only to a crew that is fit for its pitch. Squares: what the crew can shingle there in the hours that allow it.
    """
    pairs = _pairs(roofs, _waiting(yard, {roof.job.pk for roof in roofs}))
    found = due_roofs(yard, [Due(job_id, roof.due.crew_id) for roof, job_id in pairs], day, now, reader, read)
    by_job = {other.job.pk: other for other in found}
    works: dict[int, BackupWork] = {}
    for roof, job_id in pairs:
        squares = _shingled(by_job[job_id]) if job_id in by_job else 0.0
        if squares >= WORTH_SQUARES:
            works[roof.job.pk] = BackupWork("closed_work", squares=squares, street=by_job[job_id].job.street)
    return works


def _waiting(yard: Yard, busy: set[int]) -> list[Waiting]:
    """Roofs at work with dried-in squares, nothing bare among them, that are not due on the day; the largest first."""
    rows = (
        Section.objects.filter(job__yard=yard, job__status=JobStatus.AT_WORK)
        .exclude(job_id__in=busy)
        .values("job_id")
        .annotate(
            dried=Sum(F("dried_in_squares"), output_field=FloatField()),
            bare=Sum(F("bare_squares"), output_field=FloatField()),
            pitch=Max("pitch_in_12"),
        )
        .filter(dried__gte=WORTH_SQUARES, bare__lt=WORTH_SQUARES)
        .order_by("-dried", "job_id")
    )
    return [Waiting(row["job_id"], row["dried"], row["pitch"]) for row in rows]


def _pairs(roofs: Sequence[DueRoof], waiting: Sequence[Waiting]) -> list[tuple[DueRoof, int]]:
    """One roof for each crew; a crew with several roofs that day is given one only once."""
    left, pairs, given = list(waiting), [], set()
    for roof in sorted(roofs, key=lambda roof: roof.job.number):
        if roof.roster is None or roof.roster.crew_id in given:
            continue
        fitting = next((one for one in left if roof.roster.fit_for(one.pitch_in_12)), None)
        if fitting is not None:
            left.remove(fitting)
            given.add(roof.roster.crew_id)
            pairs.append((roof, fitting.job_id))
    return pairs


def _shingled(other: DueRoof) -> float:
    """Squares that a crew shingles there in its day while nothing is opened."""
    if other.inputs is None:
        return 0.0
    held = replace(other.inputs, policy=replace(other.inputs.policy, held=True))
    result = judged_or_none(replace(other, inputs=held))
    return sum(step.squares for step in result.run.steps if step.kind is StepKind.FIELD) if result else 0.0
