"""Importing a roster from a file: first what would happen, then the import."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods

from crews.actions.roster import RosterRefused, RosterTaken, import_roster
from crews.roster_fields import RowError
from crews.roster_import import COLUMNS, RosterFile, read_roster
from jobs.queries import yard as visible_yard
from roofops.access.decorators import require_role
from roofops.access.requests import access_for
from roofops.pages.forms.roster_import import RosterImportForm
from roofops.pages.frame.office_title import office_title
from roofops.pages.frame.yard_choice import chosen_yard
from roofops.record import clock
from roofops.record.access import Role


@require_http_methods(["GET", "HEAD", "POST"])
@require_role(Role.MANAGER)
def roster_import(request: HttpRequest) -> HttpResponse:
    """Show the form; look at a file without saving; save it when asked to."""
    access, now = access_for(request), clock.now()
    yard = visible_yard(access, chosen_yard(request))
    form = RosterImportForm(request.POST, request.FILES) if request.method == "POST" else RosterImportForm()
    context = {"form": form, "yard": yard, "columns": COLUMNS, "title_block": office_title(yard, now)}
    if request.method != "POST":
        access.require(yard.pk, Role.MANAGER)
        return render(request, "crews/import.html", context)
    if not form.is_valid():
        return render(request, "crews/import.html", context, status=422)
    document: bytes = form.cleaned_data["document"]
    parsed = read_roster(document)
    refused: tuple[RowError, ...] = ()
    result: RosterTaken | None = None
    try:
        result = import_roster(access, yard.pk, parsed, now, dry_run="save" not in request.POST)
    except RosterRefused as error:
        refused = error.errors
    if result is not None and not result.dry_run:
        count = result.workers_new + result.workers_changed
        messages.success(request, ngettext("%(n)s person saved.", "%(n)s people saved.", count) % {"n": count})
        return redirect("crews")
    context |= {"result": result, "refused": refused, "people": _people(parsed)}
    # What was sent stands in the text field again, so that a line can be mended here and sent once more.
    context["form"] = RosterImportForm(initial={"text": document.decode("utf-8-sig", errors="replace")})
    return render(request, "crews/import.html", context, status=200 if result else 422)


def _people(parsed: RosterFile) -> list[dict[str, object]]:
    return [
        {
            "name": row.name,
            "crew": row.crew,
            "lead": row.lead,
            "absences": len(row.absences),
            "trainings": len(row.trainings),
        }
        for row in parsed.workers
    ]
