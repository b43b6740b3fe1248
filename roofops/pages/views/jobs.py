"""Jobs: the list, one job, its checklist and inspections."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from crews import queries as crew_queries
from jobs import queries
from jobs.actions.jobs import set_ready
from jobs.actions.loads import book_inspection, set_inspection_state
from jobs.models import ReadyItem
from roofops.access.decorators import require_role
from roofops.access.requests import access_for
from roofops.pages.forms.inspection import InspectionForm
from roofops.pages.frame.office_title import office_title
from roofops.pages.frame.title_block import title_block
from roofops.pages.frame.yard_choice import OFFICE, chosen_yard
from roofops.pages.job.list import job_list_page, wanted_statuses
from roofops.pages.job.page import job_page
from roofops.record import clock
from roofops.record.access import NotFound

Q_LENGTH = 80


@require_safe
@require_role(*OFFICE)
def job_list(request: HttpRequest) -> HttpResponse:
    """The list with search and filter."""
    access, now = access_for(request), clock.now()
    yard = queries.yard(access, chosen_yard(request))
    q, status = request.GET.get("q", "").strip()[:Q_LENGTH], request.GET.get("status", "")
    found = queries.jobs_for(access, yard_id=yard.pk, statuses=wanted_statuses(status), text=q)
    page = job_list_page(
        found, q=q, status=status, page=request.GET.get("page", ""), may_edit=access.may_see(yard.pk, *OFFICE)
    )
    return render(request, "jobs/list.html", {"page": page, "title_block": office_title(yard, now)})


@require_safe
@require_role(*OFFICE)
def job(request: HttpRequest, pk: int) -> HttpResponse:
    """One job."""
    return _job(request, pk)


@require_POST
@require_role(*OFFICE)
def job_ready(request: HttpRequest, pk: int, item: int) -> HttpResponse:
    """Tick or untick one line of the ready-to-build checklist."""
    access = access_for(request)
    row = queries.job(access, pk)
    line = next((line for line in row.ready_items.all() if line.pk == item), None)
    if line is None:
        raise NotFound("There is no such line in this job's checklist.")
    set_ready(access, pk, line.kind, _ready_state(line, request.POST.get("done", "")), clock.now())
    return redirect("job", pk=pk)


def _ready_state(line: ReadyItem, done: str) -> str:
    return "done" if done == "1" else "owed"


@require_POST
@require_role(*OFFICE)
def job_inspection(request: HttpRequest, pk: int, item: int) -> HttpResponse:
    """Book the inspector's window, or note what came of the visit."""
    access, now = access_for(request), clock.now()
    row = queries.inspection(access, item)
    if row.job_id != pk:
        raise NotFound("There is no such inspection in this job.")
    act = request.POST.get("act", "")
    if act in ("passed", "failed"):
        set_inspection_state(access, item, act, now)
        return redirect("job", pk=pk)
    if act == "back":
        # A result noted by a slip: the visit is awaited again, which can only keep more closed.
        set_inspection_state(access, item, "booked" if row.window_start else "to_call", now)
        return redirect("job", pk=pk)
    zone = row.job.time_zone or row.job.yard.time_zone
    form = InspectionForm(request.POST, zone=zone, prefix=f"i{item}")
    if not form.is_valid():
        return _job(request, pk, status=422, inspection=(item, form))
    start, end = form.window()
    book_inspection(
        access, pk, row.kind, start, end, now, section_id=row.section_id, hold_point=row.hold_point,
        call_ahead_hours=row.call_ahead_hours,
    )  # fmt: skip
    messages.success(request, _("The inspector's window is booked."))
    return redirect("job", pk=pk)


def _job(
    request: HttpRequest, pk: int, status: int = 200, inspection: tuple[int, InspectionForm] | None = None
) -> HttpResponse:
    access, now = access_for(request), clock.now()
    row = queries.job(access, pk)
    access.require(row.yard_id, *OFFICE)
    board = crew_queries.job_page(access, pk, now, job=row)
    context = {
        "job": row,
        "board": board,
        "page": job_page(access, row, board, inspection),
        "title_block": title_block(row.yard.name, row.yard.company, row.yard.time_zone, now, board.forecast),
    }
    return render(request, "jobs/job.html", context, status=status)
