"""Crews: who is in which crew today, who is away, training and insurance, speed from the crew's own record."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from crews import queries as crew_queries
from crews.queries.yards import local_day
from jobs.queries import yard as visible_yard
from roofops.access.decorators import require_role
from roofops.access.requests import access_for
from roofops.pages.crews.page import crews_page
from roofops.pages.frame.office_title import office_title
from roofops.pages.frame.yard_choice import OFFICE, chosen_yard
from roofops.record import clock
from roofops.record.access import Role


@require_safe
@require_role(*OFFICE)
def crews(request: HttpRequest) -> HttpResponse:
    """The roster of the yard today."""
    access, now = access_for(request), clock.now()
    yard = visible_yard(access, chosen_yard(request))
    today = local_day(now, yard.time_zone)
    board = crew_queries.crews_page(access, yard.pk, today, now)
    context = {
        "page": crews_page(board),
        "may_import": access.may_see(yard.pk, Role.MANAGER),
        "title_block": office_title(yard, now),
    }
    return render(request, "crews/crews.html", context)
