"""Saving the measured roof of a job, and the work per phase that follows from it."""

from dataclasses import asdict
from typing import Any

from django.db import transaction

from jobs.models import Detail, Edge, Job, PhaseWork, Section
from jobs.phases import Phase
from jobs.production import RoofHours, phase_hours
from jobs.production_table import DEFAULT_RATES, RateTable
from jobs.queries.measured import measured_roof, with_roof
from jobs.roof_data import RoofData
from jobs.roof_measure import EdgeKind, RoofMeasure

SMALLEST_SQUARES = 1e-9


class RoofInWork(ValueError):
    """The roof cannot be measured anew in this way because work on it has been reported."""


@transaction.atomic
def replace_roof(job: Job, roof: RoofData) -> None:
    """Save a job's sections, edges and details, keep what lies on sections of the same name, recompute the work.

    Sections keep their row by name, so that reports about them stay; a section on which work was reported can be
    neither dropped nor made smaller than its finished part.

    Raises RoofInWork for that.
    """
    kept = {section.name: section for section in job.sections.all()}
    for gone in [section for name, section in kept.items() if name not in {s.name for s in roof.sections}]:
        _refuse_worked(gone)
        gone.delete()
    saved: dict[str, Section] = {}
    for position, data in enumerate(roof.sections, start=1):
        section = kept.get(data.name) or Section(job=job, name=data.name)
        _lay_areas(section, data.squares)
        section.position = position
        for name, value in asdict(data).items():
            if name not in ("name", "squares"):
                setattr(section, name, value)
        section.outline_ft = [list(point) for point in data.outline_ft]
        section.save()
        saved[data.name] = section
    _replace_edges(job, roof, saved)
    job.details.all().delete()
    Detail.objects.bulk_create(
        Detail(
            job=job,
            section=saved.get(data.section) if data.section else None,
            kind=data.kind.value,
            count=data.count,
            length_ft=data.length_ft,
            at_ft=list(data.at_ft) if data.at_ft else [],
        )
        for data in roof.details
    )
    recompute_phase_work(job)


def recompute_phase_work(job: Job, rates: RateTable = DEFAULT_RATES) -> None:
    """Compute the planned labor-hours of each phase anew; reported hours stay."""
    fresh = with_roof(Job.objects.filter(pk=job.pk)).get()
    if not fresh.sections.all():
        fresh.phase_work.all().delete()
        return
    measure = measured_roof(fresh)
    hours = phase_hours(measure, rates)
    rows = {(row.section_id, row.phase): row for row in job.phase_work.all()}
    new: list[PhaseWork] = []
    for (section_id, phase), values in _phase_rows(measure, hours).items():
        row = rows.pop((section_id, phase), None)
        if row is None:
            new.append(PhaseWork(job=job, section_id=section_id, phase=phase, **values))
        elif any(getattr(row, name) != value for name, value in values.items()):
            for name, value in values.items():
                setattr(row, name, value)
            row.save(update_fields=list(values))
    PhaseWork.objects.bulk_create(new)
    for row in rows.values():
        row.delete()


def _phase_rows(measure: RoofMeasure, hours: RoofHours) -> dict[tuple[int | None, str], dict[str, Any]]:
    rows: dict[tuple[int | None, str], dict[str, Any]] = {
        (section.section_id, phase.value): {
            "quantity": section.squares,
            "unit": "sq",
            "planned_labor_hours": section.phase_labor_hours(phase),
        }
        for section in hours.sections
        for phase in section.hours_per_square
    }
    ridge_ft = measure.length_ft(EdgeKind.RIDGE, EdgeKind.HIP)
    if ridge_ft:
        rows[(None, Phase.RIDGE.value)] = {
            "quantity": ridge_ft,
            "unit": "ft",
            "planned_labor_hours": hours.phase_labor_hours(Phase.RIDGE),
        }
    return rows


def _refuse_worked(section: Section) -> None:
    if section.squares - section.old_squares > 0.01:
        raise RoofInWork(f"Work on “{section.name}” has been reported; it cannot be taken out of the roof.")


def _lay_areas(section: Section, squares: float) -> None:
    """Give a section its new area: what was opened stays as reported, the old roof takes the difference."""
    worked = section.bare_squares + section.dried_in_squares + section.shingled_squares
    if squares < worked - 0.01:
        raise RoofInWork(
            f"“{section.name}” cannot be {squares:.2f} squares: {worked:.2f} squares of it are opened already."
        )
    section.squares = squares
    section.old_squares = max(0.0, squares - worked)


def _replace_edges(job: Job, roof: RoofData, saved: dict[str, Section]) -> None:
    """Save the edges; one of the same kind between the same sections keeps its row, and with it what was reported."""
    names = {section.pk: name for name, section in saved.items()}
    kept: dict[tuple[str, str | None, str | None], list[Edge]] = {}
    for edge in job.edges.all():
        key = (edge.kind, names.get(edge.section_id or 0), names.get(edge.other_section_id or 0))
        kept.setdefault(key, []).append(edge)
    new: list[Edge] = []
    for data in roof.edges:
        rows = kept.get((data.kind.value, data.section, data.other_section))
        known = bool(rows)
        edge = rows.pop(0) if rows else Edge(job=job)
        if data.length_ft < edge.open_ft + edge.finished_ft - 0.01:
            raise RoofInWork(f"The {data.kind} of {data.length_ft:g} ft is shorter than what is worked on already.")
        edge.kind, edge.length_ft, edge.vented = data.kind.value, data.length_ft, data.vented
        edge.section = saved.get(data.section) if data.section else None
        edge.other_section = saved.get(data.other_section) if data.other_section else None
        edge.line_ft = [list(point) for point in data.line_ft]
        if known:
            edge.save()
        else:
            new.append(edge)
    Edge.objects.bulk_create(new)
    for edge in (edge for rows in kept.values() for edge in rows):
        if edge.open_ft or edge.finished_ft:
            raise RoofInWork(f"Work on the {edge.kind} has been reported; it cannot be taken out of the roof.")
        edge.delete()
