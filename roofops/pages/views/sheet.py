"""The crew's day sheet: on the phone and on paper."""

from datetime import date

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from crews import actions
from crews import queries as crew_queries
from crews.day_sheet import DaySheet
from crews.queries.rosters import crew_seen, led_crews
from crews.queries.yards import local_day, yard_seen
from jobs import queries as job_queries
from roofops.access.decorators import require_role
from roofops.access.requests import access_for
from roofops.pages.job.photo_words import PhotoLine, photo_lines
from roofops.pages.sheet.page import chosen_job, sheet_page
from roofops.pages.sheet.paper import paper_sheet
from roofops.record import clock
from roofops.record.access import NotFound

PHOTOS = 24


@never_cache
@require_safe
@require_role()
def my_sheet(request: HttpRequest) -> HttpResponse:
    """Send a crew lead to today's sheet of the own crew."""
    access = access_for(request)
    led = led_crews(access)
    if not led:
        return render(request, "sheet/no_crew.html", status=404)
    yard_id, crew_id = led[0]
    today = local_day(clock.now(), yard_seen(access, yard_id).time_zone)
    return redirect("day_sheet", crew_id=crew_id, day=today.isoformat())


@never_cache
@require_safe
@require_role()
def day_sheet(request: HttpRequest, crew_id: int, day: str) -> HttpResponse:
    """The sheet; `?tab=` and `?job=` choose what is shown."""
    sheet = _sheet(request, crew_id, day)
    named = request.GET.get("job", "")
    job_id = int(named) if named.isdecimal() else None
    tab = request.GET.get("tab", "today")
    item = chosen_job(sheet, job_id)
    photos: tuple[PhotoLine, ...] = ()
    if tab == "photos" and item is not None:
        rows = job_queries.photos_for(access_for(request), [item.job.job_id])[:PHOTOS]
        photos = photo_lines(rows, sheet.zone)
    # A roof at noon is bright: the sheet starts light whatever the phone prefers.
    context = {"sheet": sheet, "page": sheet_page(sheet, tab, job_id, photos), "theme_default": "light"}
    return render(request, "sheet/sheet.html", context)


@never_cache
@require_safe
@require_role()
def day_sheet_print(request: HttpRequest, crew_id: int, day: str) -> HttpResponse:
    """The sheet for letter paper, one page for each roof."""
    sheet = _sheet(request, crew_id, day)
    access = access_for(request)
    roofs = {item.job.job_id: job_queries.job(access, item.job.job_id) for item in sheet.jobs}
    return render(request, "sheet/print.html", {"sheet": sheet, "page": paper_sheet(sheet, roofs)})


@require_POST
@require_role()
def sheet_confirm(request: HttpRequest, crew_id: int, day: str) -> HttpResponse:
    """The lead says that the crew saw this version."""
    access = access_for(request)
    crew_seen(access, crew_id)
    decision = request.POST.get("decision", "")
    if not decision.isdecimal():
        raise NotFound("There is no such verdict.")
    actions.confirm_seen(access, int(decision), clock.now())
    messages.success(request, _("The office sees that you saw it."))
    return redirect("day_sheet", crew_id=crew_id, day=day)


def _sheet(request: HttpRequest, crew_id: int, day: str) -> DaySheet:
    access = access_for(request)
    try:
        wanted = date.fromisoformat(day)
    except ValueError as error:
        raise NotFound("There is no such day.") from error
    return crew_queries.day_sheet(access, crew_id, wanted, clock.now())
