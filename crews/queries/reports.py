"""Reads of what the crews reported."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime

from crews.models import Decision, EntryKind, ProgressEntry
from crews.models.plan import Assignment, PlanState
from crews.progress import Reported, total
from crews.queries.rosters import crew_of
from jobs.models import Job
from roofops.record.access import Access, NotFound, Role


@dataclass(frozen=True)
class JobReports:
    """What counts of one job's reports for its verdict.

    torn_before: squares per section that were torn off before the day began. tarped: squares under tarps per section.
    """

    tarped: dict[int, float] = field(default_factory=dict)
    torn_before: dict[int, float] = field(default_factory=dict)
    torn_today: frozenset[int] = frozenset()  # sections on which tear-off was reported today
    rain_here_at: datetime | None = None
    dry_at: datetime | None = None
    people_here: float | None = None
    people_at: datetime | None = None
    closed: ProgressEntry | None = None
    entries: tuple[ProgressEntry, ...] = ()

    @property
    def wet_deck(self) -> bool:
        """Rain was reported and nobody found the deck dry since; it matters while deck is bare."""
        return self.rain_here_at is not None and (self.dry_at is None or self.dry_at < self.rain_here_at)


def reported(row: ProgressEntry) -> Reported:
    """One stored report as totals see it."""
    place = row.section_id if row.section_id is not None else row.edge_id
    return Reported(row.kind, place, row.done_after or 0.0, row.correction, row.at, row.pk)


def reports_of(job_ids: Iterable[int], day_start: datetime) -> dict[int, JobReports]:
    """The reports of several jobs in one query; people and closing count from the day's start only."""
    return {job_id: reports_from(rows, day_start) for job_id, rows in entries_of(job_ids).items()}


def entries_of(job_ids: Iterable[int]) -> dict[int, list[ProgressEntry]]:
    """Everything that was reported on several jobs, oldest first, by job, in one query."""
    wanted = list(job_ids)
    grouped: dict[int, list[ProgressEntry]] = {job_id: [] for job_id in wanted}
    for row in ProgressEntry.objects.filter(job_id__in=wanted).select_related("section", "by").order_by("at", "id"):
        grouped[row.job_id].append(row)
    return grouped


def may_report(access: Access, job: Job) -> int | None:
    """The crew in whose name this person reports on a job; None for the office.

    Raises NotFound where the job is not seen: another yard, or no roof of the crew lead's own crew.
    """
    if not access.may_see(job.yard_id):
        raise NotFound("There is no such job here.")
    if access.everywhere or access.role(job.yard_id) != Role.CREW_LEAD:
        return None
    crew_id = crew_of(access, job.yard_id)
    if crew_id is None or not works_for(crew_id, job.pk):
        raise NotFound("There is no such job here.")
    return crew_id


def works_for(crew_id: int, job_id: int) -> bool:
    """True where the crew has, or had, this roof: by the published plan or by a day's verdict."""
    planned = Assignment.objects.filter(crew_id=crew_id, job_id=job_id, plan__state=PlanState.PUBLISHED)
    return planned.exists() or Decision.objects.filter(crew_id=crew_id, job_id=job_id).exists()


def reports_from(rows: list[ProgressEntry], day_start: datetime) -> JobReports:
    """What counts of one job's reports, oldest first; people and closing count from the day's start only."""
    before = [row for row in rows if row.at < day_start]
    today = [row for row in rows if row.at >= day_start]
    people = _last(today, EntryKind.PEOPLE_HERE)
    rain, dry = _last(rows, EntryKind.RAIN_HERE), _last(rows, EntryKind.DRY_READING)
    return JobReports(
        tarped=_by_place(rows, EntryKind.TARPED),
        torn_before=_by_place(before, EntryKind.TORN_OFF),
        torn_today=frozenset(r.section_id for r in today if r.kind == EntryKind.TORN_OFF and r.section_id is not None),
        rain_here_at=rain.at if rain else None,
        dry_at=dry.at if dry else None,
        people_here=people.done_after if people else None,
        people_at=people.at if people else None,
        closed=_last(today, EntryKind.CLOSED),
        entries=tuple(rows),
    )


def _last(rows: list[ProgressEntry], kind: EntryKind) -> ProgressEntry | None:
    return next((row for row in reversed(rows) if row.kind == kind), None)


def _by_place(rows: list[ProgressEntry], kind: EntryKind) -> dict[int, float]:
    grouped: dict[int, list[Reported]] = {}
    for row in rows:
        if row.kind == kind and row.section_id is not None:
            grouped.setdefault(row.section_id, []).append(reported(row))
    return {place: total(group) for place, group in grouped.items()}
