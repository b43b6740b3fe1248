"""Which roofs are at work or due on a day, with which crew."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Any

from django.db.models import Q

from crews.models import Assignment, DayChoice, PlanState
from jobs.models import Job, JobStatus

OPEN_JOB = (JobStatus.SIGNED, JobStatus.AT_WORK)
AT_530 = "at_530"
MOVE = "move"
AREA_SLACK = 0.01


@dataclass(frozen=True)
class Due:
    """One roof of a day. crew_id None: no crew is planned. start and end: the crew's time on it, None: the shift.

    carried_over: the plan had it finished before this day. choice: what the office chose for the day.
    """

    job_id: int
    crew_id: int | None
    start: datetime | None = None
    end: datetime | None = None
    assignment_id: int | None = None
    carried_over: bool = False
    choice: str = ""


def due_on(yard_id: int, day: date, *, with_moved: bool = False, today: date | None = None) -> list[Due]:
    """The roofs of one yard's day: planned and published for it, moved to it, carried over, or lying open.

    with_moved: those that the office moved away from the day, too. today: what the plan ends today may end today, so
    only what should have ended before is carried over.
    """
    chosen = list(DayChoice.objects.filter(Q(day=day) | Q(choice=MOVE, move_to=day), job__yard_id=yard_id))
    choices = {row.job_id: row for row in chosen if row.day == day}
    moved_here = {row.job_id for row in chosen if row.choice == MOVE and row.move_to == day}
    rows = (
        Assignment.objects.filter(plan__yard_id=yard_id, plan__state=PlanState.PUBLISHED, job__status__in=OPEN_JOB)
        .select_related("job")
        .order_by("start", "id")
    )
    found: dict[int, Due] = {}
    for row in rows:
        due = _of_assignment(row, day, moved=row.job_id in moved_here, today=today or day)
        if due is not None:
            found[row.job_id] = due
    for job_id in _lying_open(yard_id) - set(found):
        found[job_id] = Due(job_id, _last_crew(job_id))
    has_plan = rows.exists() if not found else True
    if not has_plan:
        at_work = Job.objects.filter(yard_id=yard_id, status=JobStatus.AT_WORK).values_list("pk", flat=True)
        found.update({job_id: Due(job_id, None) for job_id in at_work})
    return _in_turn(_with_choices(found.values(), choices, with_moved=with_moved))


def _of_assignment(row: Assignment, day: date, *, moved: bool, today: date) -> Due | None:
    """What one assignment means for a day; None where it lies on other days, or is only pencilled in."""
    if row.pencilled:
        return None
    entry = next((part for part in row.days if part.get("date") == day.isoformat()), None)
    if entry is not None:
        return Due(row.job_id, row.crew_id, _moment(entry, "start"), None, row.pk)
    if moved:
        return Due(row.job_id, row.crew_id, assignment_id=row.pk)
    last = max((part["date"] for part in row.days), default="")
    if last and last < today.isoformat() and row.job.status == JobStatus.AT_WORK:
        return Due(row.job_id, row.crew_id, assignment_id=row.pk, carried_over=True)
    return None


def _moment(entry: dict[str, Any], name: str) -> datetime | None:
    text = entry.get(name)
    return datetime.fromisoformat(text) if text else None


def _with_choices(found: Iterable[Due], choices: dict[int, DayChoice], *, with_moved: bool) -> list[Due]:
    """The roofs that stay on the day: one that the office moved away is not due any more."""
    kept = []
    for due in found:
        chosen = choices.get(due.job_id)
        if chosen is not None and chosen.choice == MOVE and not with_moved:
            continue
        kept.append(replace(due, choice=chosen.choice if chosen else ""))
    return kept


def _in_turn(found: list[Due]) -> list[Due]:
    """A crew with several roofs leaves each when the next one begins."""
    starts: dict[int, list[datetime]] = {}
    for due in found:
        if due.crew_id is not None and due.start is not None:
            starts.setdefault(due.crew_id, []).append(due.start)
    return [
        replace(
            due, end=min((s for s in starts.get(due.crew_id or 0, ()) if due.start and s > due.start), default=None)
        )
        for due in found
    ]


def _lying_open(yard_id: int) -> set[int]:
    """Jobs with bare deck or an open ridge now, whatever the plan says."""
    rows = Job.objects.filter(yard_id=yard_id, status__in=OPEN_JOB)
    lying = rows.filter(Q(sections__bare_squares__gt=AREA_SLACK) | Q(edges__open_ft__gt=AREA_SLACK))
    return set(lying.values_list("pk", flat=True))


def _last_crew(job_id: int) -> int | None:
    """The crew that had a roof last, by any plan that was published."""
    states = (PlanState.PUBLISHED, PlanState.SUPERSEDED)
    rows = Assignment.objects.filter(job_id=job_id, plan__state__in=states).order_by("-plan__number")
    return rows.values_list("crew_id", flat=True).first()
