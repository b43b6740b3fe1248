"""Reports from a roof, by its crew lead or the office; every form works without JavaScript."""

import uuid
from datetime import date, datetime
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from crews.actions.report import report as keep_report
from crews.progress import Receipt
from crews.queries.reports import may_report
from crews.queries.yards import zone_of
from jobs import queries
from jobs.actions.photos import PhotoRefused, store_photo
from jobs.models import Edge, EdgeKind, Job, PhotoKind, Section
from roofops.access.decorators import require_role
from roofops.access.requests import access_for
from roofops.pages.forms.report import ReportForm
from roofops.pages.frame.yard_choice import OFFICE
from roofops.pages.sheet.report_entry import WHATS, before_fields, entry_of
from roofops.pages.wording import formats
from roofops.record import clock
from roofops.record.access import NotFound

PHOTO_KINDS = {"closed": PhotoKind.CLOSED, "dry": PhotoKind.DRY_READING, "problem": PhotoKind.PROBLEM}
RIDGES = (EdgeKind.RIDGE, EdgeKind.HIP)


@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
@require_role()
def report(request: HttpRequest, pk: int) -> HttpResponse:
    """Show one report form, keep what it says, and go back to where it was opened."""
    access, now = access_for(request), clock.now()
    job = queries.job(access, pk)
    may_report(access, job)
    asked = request.POST if request.method == "POST" else request.GET
    what = asked.get("what", "squares")
    if what not in WHATS:
        raise NotFound("There is no such report.")
    sections, edges = list(job.sections.all()), [edge for edge in job.edges.all() if edge.kind in RIDGES]
    form_class = WHATS[what].form
    if request.method != "POST":
        return _form(request, job, what, form_class(sections=sections, edges=edges), sections, edges)
    form = form_class(request.POST, request.FILES, sections=sections, edges=edges)
    if form.is_valid():
        try:
            _keep(request, job, what, form, now)
            return redirect(_back(request, job))
        except PhotoRefused as error:
            form.add_error("photo", str(error))
        except ValueError as error:
            form.add_error(None, str(error))
    return _form(request, job, what, form, sections, edges, status=422)


def _keep(request: HttpRequest, job: Job, what: str, form: ReportForm, now: datetime) -> None:
    access, client_uuid = access_for(request), _uuid(request.POST.get("client_uuid", ""))
    photo_id = None
    place = form.cleaned_data.get("place") or ""
    if form.cleaned_data.get("photo"):
        photo = store_photo(
            access,
            job.pk,
            form.cleaned_data["photo"],
            now,
            client_uuid=uuid.uuid5(client_uuid, "photo"),
            kind=PHOTO_KINDS[what] if what in PHOTO_KINDS else form.cleaned_data["kind"],
            section_id=int(place[1:]) if place.startswith("s") else None,
            note=form.cleaned_data.get("note") or "",
        )
        photo_id = photo.pk
    if what == "photo":
        messages.success(request, _("Photo saved."))
        return
    receipt = keep_report(access, entry_of(what, form, request.POST, job.pk, client_uuid, now, photo_id), now)
    messages.success(request, _saved(job, what, form, receipt, now))


def _saved(job: Job, what: str, form: ReportForm, receipt: Receipt, now: datetime) -> str:
    place = form.cleaned_data.get("place") or ""
    where = form.sections[int(place[1:])].name if place.startswith("s") else ""
    if receipt.more_than_measured:
        words = {
            "where": f"{where[:1].upper()}{where[1:]}" or _("Ridge"),
            "reported": formats.figure(form.cleaned_data.get("amount") or 0.0),
            "measured": formats.figure(receipt.measured or 0.0),
        }
        said = _(
            "Saved. More than measured: check the measurement. %(where)s: %(reported)s reported, %(measured)s measured."
        )
        return said % words
    words = {"clock": formats.clock(now, zone_of(job)), "what": str(WHATS[what].heading), "where": where}
    if where:
        return _("Saved %(clock)s: %(what)s, %(where)s.") % words
    return _("Saved %(clock)s: %(what)s.") % words


def _form(
    request: HttpRequest,
    job: Job,
    what: str,
    form: ReportForm,
    sections: list[Section],
    edges: list[Edge],
    status: int = 200,
) -> HttpResponse:
    asked: Any = request.POST if request.method == "POST" else request.GET
    crew, day = _sheet(asked)
    # A refused form keeps what it showed: the lead judged by those figures.
    kept = [(name, value) for name, value in asked.items() if name.startswith("before_")]
    page = {
        "heading": WHATS[what].heading,
        "button": WHATS[what].button,
        "note": WHATS[what].note,
        "what": what,
        "uuid": asked.get("client_uuid") or str(uuid.uuid4()),
        "before": kept or before_fields(sections, edges),
        "crew": crew,
        "day": day,
        "back": _back(request, job),
        "home": _back(request, job),
        "sub": f"{job.street}, {job.short_name}",
    }
    return render(
        request, "sheet/report.html", {"job": job, "form": form, "page": page, "theme_default": "light"}, status=status
    )


def _sheet(asked: Any) -> tuple[str, str]:
    """Return crew and day of the sheet that the form was opened from; nothing where they are no such thing."""
    crew, day = asked.get("crew", ""), asked.get("day", "")
    try:
        date.fromisoformat(day)
    except ValueError:
        return "", ""
    return (crew, day) if crew.isdecimal() else ("", "")


def _back(request: HttpRequest, job: Job) -> str:
    crew, day = _sheet(request.POST if request.method == "POST" else request.GET)
    if crew:
        return reverse("day_sheet", args=[int(crew), day]) + f"?job={job.pk}"
    return reverse("job", args=[job.pk]) if access_for(request).may_see(job.yard_id, *OFFICE) else "/"


def _uuid(text: str) -> uuid.UUID:
    """Return the form's own id; a form that lost it gets a new one rather than being refused."""
    try:
        return uuid.UUID(text)
    except ValueError:
        return uuid.uuid4()
