"""Photos, shown only to people who may see the job."""

from django.http import FileResponse, HttpRequest
from django.http.response import HttpResponseBase
from django.views.decorators.http import require_safe

from crews.queries.reports import may_report
from jobs import queries
from roofops.access.decorators import require_role
from roofops.access.requests import access_for


@require_safe
@require_role()
def photo(request: HttpRequest, pk: int) -> HttpResponseBase:
    """The picture itself; a crew lead sees only pictures of roofs that the crew works or worked on."""
    access = access_for(request)
    row = queries.photo(access, pk)
    may_report(access, row.job)
    response = FileResponse(queries.photo_file(row).open("rb"), content_type="image/jpeg")
    response["X-Content-Type-Options"] = "nosniff"
    response["Cache-Control"] = "private, max-age=86400, immutable"
    response["Content-Disposition"] = f'inline; filename="photo-{row.pk}.jpg"'
    response["Content-Security-Policy"] = "default-src 'none'"
    return response
