"""Entering and editing a job; what was typed stays whatever is refused."""

from django.contrib import messages
from django.forms.widgets import Input
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from jobs import queries
from jobs.actions.jobs import create_job, edit_job
from jobs.forms import JobEntry
from jobs.models import Job
from roofops.access.decorators import require_role
from roofops.access.requests import access_for
from roofops.pages.frame.office_title import office_title
from roofops.pages.frame.yard_choice import OFFICE, chosen_yard
from roofops.record import clock

HOUSE = ("number", "short_name", "kind", "street", "city", "state", "lat", "lon", "time_zone")
ROOF = (
    "storeys",
    "layers",
    "cut_up",
    "underlayment",
    "code_edition",
    "wall_thickness_in",
    "eave_overhang_in",
    "deck_sheets_allowance",
    "ice_barrier_required",
    "debris_carry",
    "roof_drop_allowed",
)
PRODUCT = ("product_line", "shingle_color", "metal_color", "permit_number")
DATES = (
    "promised_from",
    "promised_by",
    "blocked_dates",
    "allowed_start",
    "allowed_end",
    "priority",
    "contract_value_usd",
)
PEOPLE = ("contact_name", "contact_phone", "contact_email", "hazards", "wishes")
PICKERS = {"promised_from": "date", "promised_by": "date", "allowed_start": "time", "allowed_end": "time"}


@require_http_methods(["GET", "HEAD", "POST"])
@require_role(*OFFICE)
def job_new(request: HttpRequest) -> HttpResponse:
    """Enter a job."""
    access, now = access_for(request), clock.now()
    entry = JobEntry(access, request.POST if request.method == "POST" else None)
    if request.method != "POST":
        return _form(request, entry)
    if entry.is_valid() and entry.job_data is not None:
        try:
            job = create_job(access, entry.job.cleaned_data["yard"], entry.job_data, now)
        except ValueError as error:
            entry.refuse(error)
        else:
            messages.success(request, _("Job %(number)s saved.") % {"number": job.number})
            return redirect("job", pk=job.pk)
    return _form(request, entry, status=422)


@require_http_methods(["GET", "HEAD", "POST"])
@require_role(*OFFICE)
def job_edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Change a job."""
    access, now = access_for(request), clock.now()
    job = queries.job(access, pk)
    access.require(job.yard_id, *OFFICE)
    entry = JobEntry(access, request.POST if request.method == "POST" else None, saved=job)
    if request.method != "POST":
        return _form(request, entry, job)
    if entry.is_valid() and entry.job_data is not None:
        try:
            edit_job(access, pk, entry.job_data, now, revision=entry.job.cleaned_data["revision"])
        except ValueError as error:
            entry.refuse(error)
        else:
            messages.success(request, _("Job %(number)s saved.") % {"number": entry.job_data.number})
            return redirect("job", pk=pk)
    return _form(request, entry, job, status=422)


def _form(request: HttpRequest, entry: JobEntry, job: Job | None = None, status: int = 200) -> HttpResponse:
    yard = job.yard if job else queries.yard(access_for(request), chosen_yard(request))
    form = entry.job
    for name, kind in PICKERS.items():
        widget = form.fields[name].widget
        if isinstance(widget, Input):
            widget.input_type = kind
    groups = [
        (heading, [form[name] for name in names])
        for heading, names in (
            (_("House"), (("yard", *HOUSE) if "yard" in form.fields else HOUSE)),
            (_("Old roof and code"), ROOF),
            (_("Product and permit"), PRODUCT),
            (_("Dates and value"), DATES),
            (_("Homeowner and site"), PEOPLE),
        )
    ]
    context = {
        "entry": entry,
        "job": job,
        "groups": groups,
        "title_block": office_title(yard, clock.now()),
    }
    return render(request, "jobs/form.html", context, status=status)
