"""Totals rebuilt from what was reported, and the invariants that must hold whatever happened."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from django.db.models import Count, Q

from crews.models import Assignment, Decision, Plan, PlanState, ProgressEntry
from crews.progress import (
    RIDGE_KINDS,
    SQUARE_KINDS,
    Reported,
    SlopeAreas,
    ridge_progress,
    slope_areas,
    totals,
)
from crews.queries.reports import reported
from jobs.models import Edge, Section

SQUARES_SLACK = 0.02
FEET_SLACK = 0.05
NAMES = ("old", "bare", "dried_in", "shingled")


@dataclass(frozen=True)
class Unsound:
    """One thing that is not as it must be."""

    what: str
    where: str
    stored: float | None = None
    rebuilt: float | None = None

    def __str__(self) -> str:
        if self.stored is None or self.rebuilt is None:
            return f"{self.where}: {self.what}"
        return f"{self.where}: {self.what} is {self.stored:g}, its reports say {self.rebuilt:g}"


def unsound() -> list[Unsound]:
    """Everything that is not sound, over all yards; empty is what a healthy database gives."""
    return [*_sections(), *_ridges(), *_decisions(), *_plans()]


def _sections() -> Iterator[Unsound]:
    grouped: dict[int, list[Reported]] = {}
    rows = ProgressEntry.objects.filter(kind__in=SQUARE_KINDS, section__isnull=False)
    for row in rows.iterator():
        assert row.section_id is not None
        grouped.setdefault(row.section_id, []).append(reported(row))
    for section in Section.objects.select_related("job").iterator():
        where = f"job {section.job.number}, {section.name}"
        stored = SlopeAreas(
            section.old_squares, section.bare_squares, section.dried_in_squares, section.shingled_squares
        )
        if abs(stored.squares - section.squares) > SQUARES_SLACK:
            yield Unsound("the sum of its four areas", where, stored.squares, section.squares)
        if section.pk in grouped:
            found = {kind: amount for (kind, _place), amount in totals(grouped[section.pk]).items()}
            amounts = [found.get(kind, 0.0) for kind in SQUARE_KINDS]
            rebuilt = slope_areas(section.squares, *amounts)
            for name in NAMES:
                if abs(getattr(stored, name) - getattr(rebuilt, name)) > SQUARES_SLACK:
                    yield Unsound(f"the area {name}", where, getattr(stored, name), getattr(rebuilt, name))


def _ridges() -> Iterator[Unsound]:
    grouped: dict[int, list[Reported]] = {}
    for row in ProgressEntry.objects.filter(kind__in=RIDGE_KINDS, edge__isnull=False).iterator():
        assert row.edge_id is not None
        grouped.setdefault(row.edge_id, []).append(reported(row))
    for edge in Edge.objects.filter(pk__in=grouped).select_related("job"):
        found = {kind: amount for (kind, _place), amount in totals(grouped[edge.pk]).items()}
        state = ridge_progress(edge.length_ft, found.get("ridge_opened", 0.0), found.get("ridge_finished", 0.0))
        where = f"job {edge.job.number}, {edge.kind} {edge.pk}"
        if abs(state.open_ft - edge.open_ft) > FEET_SLACK:
            yield Unsound("open feet", where, edge.open_ft, state.open_ft)
        if abs(state.finished_ft - edge.finished_ft) > FEET_SLACK:
            yield Unsound("finished feet", where, edge.finished_ft, state.finished_ft)


def _decisions() -> Iterator[Unsound]:
    """A day with verdicts has exactly one in force; none that opens is held; what waits is newer than what holds."""
    counted = Decision.objects.values("job__number", "day").annotate(holding=Count("pk", filter=Q(in_force=True)))
    for row in counted.exclude(holding=1):
        yield Unsound(f"{row['holding']} verdicts are in force", f"job {row['job__number']} on {row['day']}")
    for decision in Decision.objects.filter(in_force=True, held=True, verdict="tear_off").select_related("job"):
        yield Unsound("a held roof may be torn off", f"job {decision.job.number} on {decision.day}")


def _plans() -> Iterator[Unsound]:
    """One published plan per yard; in it a crew is on one roof at a time."""
    for plan in Plan.objects.filter(state=PlanState.PUBLISHED).select_related("yard"):
        spans: dict[int, list[tuple[str, str, int]]] = {}
        for row in Assignment.objects.filter(plan=plan, pencilled=False):
            spans.setdefault(row.crew_id, []).extend((d["start"], d["end"], row.job_id) for d in row.days)
        for crew_id, days in spans.items():
            days.sort()
            for (_, end, one), (start, _, two) in pairwise(days):
                if one != two and start < end:
                    yield Unsound(f"crew {crew_id} is on jobs {one} and {two} at once", f"plan {plan.number}")
