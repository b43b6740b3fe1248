"""Importing jobs from a file: first what would happen, then the import."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods

from jobs.actions.imports import ImportRefused, ImportResult, import_jobs
from jobs.importing import ParsedJobs, RefusedRow, parse
from jobs.queries import yard as visible_yard
from roofops.access.decorators import require_role
from roofops.access.requests import access_for
from roofops.pages.forms.job_import import ImportForm
from roofops.pages.frame.office_title import office_title
from roofops.pages.frame.yard_choice import OFFICE, chosen_yard
from roofops.record import clock


@require_http_methods(["GET", "HEAD", "POST"])
@require_role(*OFFICE)
def job_import(request: HttpRequest) -> HttpResponse:
    """Show the form; look at a file without saving; save it when asked to."""
    access, now = access_for(request), clock.now()
    yard = visible_yard(access, chosen_yard(request))
    form = ImportForm(request.POST, request.FILES) if request.method == "POST" else ImportForm()
    context = {"form": form, "yard": yard, "title_block": office_title(yard, now)}
    if request.method != "POST":
        return render(request, "jobs/import.html", context)
    if not form.is_valid():
        return render(request, "jobs/import.html", context, status=422)
    document: bytes = form.cleaned_data["document"]
    parsed = parse(document)
    refused: tuple[RefusedRow, ...] = ()
    result: ImportResult | None = None
    try:
        dry_run = "save" not in request.POST
        result = import_jobs(access, yard, parsed, now, dry_run=dry_run)
    except ImportRefused as error:
        refused = error.rows
    if result is not None and not result.dry_run:
        count = len(result.numbers)
        messages.success(request, ngettext("%(n)s job saved.", "%(n)s jobs saved.", count) % {"n": count})
        return redirect("job_list")
    context |= _preview(parsed, result, refused)
    # What was sent stands in the text field again, so that a line can be mended here and sent once more.
    context["form"] = ImportForm(initial={"text": document.decode("utf-8", errors="replace")})
    return render(request, "jobs/import.html", context, status=200 if result else 422)


def _preview(parsed: ParsedJobs, result: ImportResult | None, refused: tuple[RefusedRow, ...]) -> dict[str, object]:
    rows = [(job.data, sum(section.squares for section in job.data.roof.sections)) for job in parsed.jobs]
    return {"jobs": rows, "result": result, "refused": refused or (parsed.refused if result is None else ())}
