"""What lies on a roof after a report: areas of sections, feet of ridge, labor-hours done."""

from django.db import transaction
from django.db.models import F
from django.utils.translation import gettext as _

from jobs.models import Edge, PhaseWork, Section

TOLERANCE_SQUARES = 0.01


@transaction.atomic
def set_areas(section: Section, *, bare_squares: float, dried_in_squares: float, shingled_squares: float) -> Section:
    """Save what lies on a section [squares] and return it; the old roof is what is left of its squares.

    Raises ValueError for a negative area, or areas that are together larger than the section.
    """
    areas = {"bare": bare_squares, "dried-in": dried_in_squares, "shingled": shingled_squares}
    for name, value in areas.items():
        if not value >= -TOLERANCE_SQUARES:  # also refuses NaN
            raise ValueError(
                _("The %(area)s area of “%(slope)s” must not be negative.") % {"area": name, "slope": section.name}
            )
    fresh = Section.objects.select_for_update().get(pk=section.pk)
    worked = sum(areas.values())
    if worked > fresh.squares + TOLERANCE_SQUARES:
        raise ValueError(
            _("“%(slope)s” measures %(squares)s squares; %(given)s were given.")
            % {"slope": fresh.name, "squares": f"{fresh.squares:.2f}", "given": f"{worked:.2f}"}
        )
    fresh.bare_squares = max(0.0, bare_squares)
    fresh.dried_in_squares = max(0.0, dried_in_squares)
    fresh.shingled_squares = max(0.0, shingled_squares)
    fresh.old_squares = max(0.0, fresh.squares - worked)
    fresh.save()
    return fresh


@transaction.atomic
def set_ridge(edge: Edge, *, open_ft: float, finished_ft: float) -> Edge:
    """Save the open and finished feet of a ridge or hip and return it.

    Raises ValueError for negative feet, or more feet than it is long.
    """
    if not open_ft >= 0 or not finished_ft >= 0:
        raise ValueError(_("Feet of ridge must not be negative."))
    fresh = Edge.objects.select_for_update().get(pk=edge.pk)
    if open_ft + finished_ft > fresh.length_ft + 0.01:
        raise ValueError(
            _("This ridge is %(feet)s ft long; %(given)s ft were given.")
            % {"feet": f"{fresh.length_ft:g}", "given": f"{open_ft + finished_ft:g}"}
        )
    fresh.open_ft, fresh.finished_ft = open_ft, finished_ft
    fresh.save()
    return fresh


@transaction.atomic
def add_done_hours(job_id: int, section_id: int | None, phase: str, labor_hours: float) -> None:
    """Add labor-hours to what was done of a phase; a correction may be negative, the total never is.

    Raises ValueError where the job has no such phase.
    """
    rows = PhaseWork.objects.filter(job_id=job_id, phase=phase)
    rows = rows.filter(section__isnull=True) if section_id is None else rows.filter(section_id=section_id)
    row = rows.select_for_update().first()
    if row is None:
        raise ValueError(_("This roof has no phase “%(phase)s” there.") % {"phase": phase})
    if row.done_labor_hours + labor_hours < 0:
        raise ValueError(_("A correction cannot take away more labor-hours than were reported."))
    rows.update(done_labor_hours=F("done_labor_hours") + labor_hours)
