"""Reads of stored verdicts."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, datetime

from crews.models import Decision
from crews.planner.problem import Run
from crews.planner.verdict import DayVerdict
from crews.verdict.verdict_data import run_from_data, verdict_from_data
from roofops.record.access import Access, NotFound

# Version, in force, waiting, computed at: of every version of a day.
Stamp = tuple[tuple[int, bool, bool, datetime], ...]


@dataclass(frozen=True)
class DayDecisions:
    """The versions of one roof and day: what is in force, what waits for a person, and all, oldest first."""

    in_force: Decision | None = None
    waiting: Decision | None = None
    versions: tuple[Decision, ...] = field(default=())

    @property
    def stamp(self) -> Stamp:
        """What tells these versions from later ones."""
        return tuple((row.pk, row.in_force, row.waiting, row.computed_at) for row in self.versions)

    @property
    def baseline(self) -> Decision | None:
        """What changes are counted from: the version accepted last before the present one, else the day's first."""
        older = [row for row in self.versions if self.in_force is None or row.version < self.in_force.version]
        accepted = [row for row in older if row.accepted_at is not None]
        if accepted:
            return accepted[-1]
        return older[0] if older else None

    @property
    def next_version(self) -> int:
        """The number of the next version."""
        return max((row.version for row in self.versions), default=0) + 1


def day_decisions(job_ids: Iterable[int], day: date) -> dict[int, DayDecisions]:
    """The verdicts of several roofs on one day, in one query."""
    wanted = list(job_ids)
    rows = Decision.objects.filter(job_id__in=wanted, day=day).select_related("accepted_by", "confirmed_by")
    grouped: dict[int, list[Decision]] = {job_id: [] for job_id in wanted}
    for row in rows.order_by("version"):
        grouped[row.job_id].append(row)
    return {job_id: _of(versions) for job_id, versions in grouped.items()}


def decision_seen(access: Access, decision_id: int) -> Decision:
    """One stored verdict with its job. Raises NotFound where it is not there or in a yard that is not seen."""
    row = access.scope(Decision.objects.select_related("job"), "job__yard_id").filter(pk=decision_id).first()
    if row is None:
        raise NotFound("There is no such verdict here.")
    return row


def _of(versions: list[Decision]) -> DayDecisions:
    return DayDecisions(
        in_force=next((row for row in versions if row.in_force), None),
        waiting=next((row for row in versions if row.waiting), None),
        versions=tuple(versions),
    )


def verdict_of_row(row: Decision) -> DayVerdict:
    """The verdict that a decision holds."""
    return verdict_from_data(row.run["verdict"])


def run_of_row(row: Decision) -> Run:
    """The run that a decision holds."""
    return run_from_data(row.run["run"])
