"""Rows of a roof turned into the measured roof that kernels compute from."""

from collections.abc import Iterable, Mapping
from typing import Any

from django.db.models import Prefetch, QuerySet

from jobs.delivery_window import RoofThen, SlopeThen
from jobs.models import Detail, Edge, Job, Section
from jobs.roof_measure import (
    DetailKind,
    DetailMeasure,
    EdgeKind,
    EdgeMeasure,
    Point,
    RoofMeasure,
    SectionMeasure,
    Underlayment,
)


def with_roof(queryset: QuerySet[Job]) -> QuerySet[Job]:
    """Return jobs with sections, edges and details fetched along: three queries however many jobs."""
    return queryset.select_related("yard").prefetch_related(
        Prefetch("sections", queryset=Section.objects.order_by("position", "id")),
        Prefetch("edges", queryset=Edge.objects.order_by("id")),
        Prefetch("details", queryset=Detail.objects.order_by("id")),
    )


def measured_roof(job: Job) -> RoofMeasure:
    """Return the measured roof of a job; fetch jobs through `with_roof` to spare queries.

    Raises ValueError for a job without sections.
    """
    if not job.sections.all():
        raise ValueError(f"Job {job.number} has no roof sections yet.")
    return RoofMeasure(
        job_id=job.pk,
        sections=tuple(section_measure(section) for section in job.sections.all()),
        edges=tuple(edge_measure(edge) for edge in job.edges.all()),
        details=tuple(_detail_measure(detail) for detail in job.details.all()),
        storeys=job.storeys,
        layers=job.layers,
        cut_up=job.cut_up,
        debris_carry=job.debris_carry,
        code_edition=job.code_edition,
        ice_barrier_required=job.ice_barrier_required,
        wall_thickness_in=job.wall_thickness_in,
        eave_overhang_in=job.eave_overhang_in,
        deck_sheets_allowance=job.deck_sheets_allowance,
        product_line=job.product_line,
        underlayment=Underlayment(job.underlayment),
    )


def roof_then(job: Job, shingled_today: Mapping[int, float]) -> RoofThen:
    """Return what `delivery_window.place_for` asks about the roof as it is now.

    Parameters
    ----------
    job
        Fetched through `with_roof`.
    shingled_today
        Squares laid today by section id; a section that is not named got none.
    """
    return RoofThen(
        slopes=tuple(
            SlopeThen(
                section.old_squares,
                section.bare_squares,
                section.dried_in_squares,
                section.shingled_squares,
                shingled_today.get(section.pk, 0.0),
            )
            for section in job.sections.all()
        ),
        slot_open_ft=sum(edge.open_ft for edge in job.edges.all()),
        # Who allows a roof drop has looked at the old roof.
        old_roof_sound=job.roof_drop_allowed,
        allowed=job.roof_drop_allowed,
    )


def section_measure(section: Section) -> SectionMeasure:
    """Return one plane as plain data."""
    return SectionMeasure(
        section_id=section.pk,
        name=section.name,
        pitch_in_12=section.pitch_in_12,
        squares=section.squares,
        old_squares=section.old_squares,
        bare_squares=section.bare_squares,
        dried_in_squares=section.dried_in_squares,
        shingled_squares=section.shingled_squares,
        eave_ft=section.eave_ft,
        run_ft=section.run_ft,
        downslope_deg=section.downslope_deg,
        outline_ft=_points(section.outline_ft),
        position=section.position,
    )


def edge_measure(edge: Edge) -> EdgeMeasure:
    """Return one edge as plain data."""
    return EdgeMeasure(
        edge_id=edge.pk,
        kind=EdgeKind(edge.kind),
        length_ft=edge.length_ft,
        section_id=edge.section_id,
        other_section_id=edge.other_section_id,
        vented=edge.vented,
        open_ft=edge.open_ft,
        finished_ft=edge.finished_ft,
        line_ft=_points(edge.line_ft),
    )


def _detail_measure(detail: Detail) -> DetailMeasure:
    at = _points([detail.at_ft]) if detail.at_ft else ()
    return DetailMeasure(
        detail_id=detail.pk,
        kind=DetailKind(detail.kind),
        count=detail.count,
        length_ft=detail.length_ft,
        section_id=detail.section_id,
        at_ft=at[0] if at else None,
    )


def _points(rows: Iterable[Any]) -> tuple[Point, ...]:
    return tuple((float(x), float(y)) for x, y in rows)
