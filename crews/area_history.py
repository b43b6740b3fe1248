"""The roof's areas over a day: recorded by reports up to now, planned by the walk from now on."""

from collections.abc import Sequence
from datetime import datetime
from itertools import pairwise

from crews.boards.sky_strip import AreaPoint
from crews.planner.problem import Run
from crews.progress import RIDGE_KINDS, TARPED, Reported, RidgeProgress, ridge_progress, slope_areas, total
from jobs.roof_measure import EdgeKind, RoofMeasure

ByPlace = dict[tuple[bool, int | None], list[Reported]]


def recorded(
    roof: RoofMeasure, reports: Sequence[Reported], day_start: datetime, now: datetime
) -> tuple[AreaPoint, ...]:
    """The roof's areas at the day's start, at each report of the day, and now.

    A slope that nobody reported on stands as it is measured now.
    """
    by_place: ByPlace = {}
    for report in reports:
        # Slopes and ridges are rows of two tables whose ids overlap.
        by_place.setdefault((report.kind in RIDGE_KINDS, report.place_id), []).append(report)
    moments = [day_start, *sorted({r.at for r in reports if day_start < r.at < now and r.place_id is not None}), now]
    points = [_at(roof, by_place, moment) for moment in moments if moment < now]
    return (*points, _present(roof, by_place, now))


def _at(roof: RoofMeasure, by_place: ByPlace, moment: datetime) -> AreaPoint:
    old = bare = tarped = dried = shingled = 0.0
    for section in roof.sections:
        found = [r for r in by_place.get((False, section.section_id), []) if r.at <= moment]
        amounts = {kind: total(r for r in found if r.kind == kind) for kind in ("torn_off", "dried_in", "shingled")}
        if by_place.get((False, section.section_id)):
            areas = slope_areas(section.squares, amounts["torn_off"], amounts["dried_in"], amounts["shingled"])
            values = (areas.old, areas.bare, areas.dried_in, areas.shingled)
        else:
            values = (section.old_squares, section.bare_squares, section.dried_in_squares, section.shingled_squares)
        cover = min(values[1], total(r for r in found if r.kind == TARPED))
        old, bare, tarped = old + values[0], bare + values[1] - cover, tarped + cover
        dried, shingled = dried + values[2], shingled + values[3]
    open_ft = sum(ridge.open_ft for ridge in _ridges(roof, by_place, moment))
    return AreaPoint(moment, old, bare, tarped, dried, shingled, open_ft, recorded=True)


def _ridges(roof: RoofMeasure, by_place: ByPlace, moment: datetime) -> list[RidgeProgress]:
    found = []
    for edge in roof.edges_of(EdgeKind.RIDGE) + roof.edges_of(EdgeKind.HIP):
        reports = by_place.get((True, edge.edge_id), [])
        if reports:
            opened = total(r for r in reports if r.kind == "ridge_opened" and r.at <= moment)
            finished = total(r for r in reports if r.kind == "ridge_finished" and r.at <= moment)
            found.append(ridge_progress(edge.length_ft, opened, finished))
        else:
            found.append(RidgeProgress(edge.open_ft, edge.finished_ft))
    return found


def _present(roof: RoofMeasure, by_place: ByPlace, now: datetime) -> AreaPoint:
    """The areas as they are stored now, tarps by report."""
    tarped = sum(
        min(s.bare_squares, total(r for r in by_place.get((False, s.section_id), []) if r.kind == TARPED))
        for s in roof.sections
    )
    return AreaPoint(
        at=now,
        old=sum(s.old_squares for s in roof.sections),
        bare=sum(s.bare_squares for s in roof.sections) - tarped,
        tarped=tarped,
        dried_in=sum(s.dried_in_squares for s in roof.sections),
        shingled=sum(s.shingled_squares for s in roof.sections),
        open_ridge_ft=sum(edge.open_ft for edge in roof.edges),
        recorded=True,
    )


def planned(run: Run, start: datetime, end: datetime) -> tuple[AreaPoint, ...]:
    """The walk's break points within [start, end); the last one is held to the end."""
    points = [
        AreaPoint(a.at, a.old, a.bare, a.tarped, a.dried_in, a.shingled, a.open_ridge_ft)
        for a in run.areas
        if start <= a.at <= end
    ]
    if points and points[-1].at < end:
        last = points[-1]
        points.append(
            AreaPoint(end, last.old, last.bare, last.tarped, last.dried_in, last.shingled, last.open_ridge_ft)
        )
    return tuple(points)


def ridge_span(points: Sequence[AreaPoint]) -> tuple[datetime, datetime, float] | None:
    """From when to when a ridge slot lies open in a day, and its most feet; None where none does."""
    spans = [
        (one.at, two.at, max(one.open_ridge_ft, two.open_ridge_ft))
        for one, two in pairwise(points)
        if one.open_ridge_ft > 0 or two.open_ridge_ft > 0
    ]
    if not spans:
        return None
    return spans[0][0], spans[-1][1], max(feet for _start, _end, feet in spans)
