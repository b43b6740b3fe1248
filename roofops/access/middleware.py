"""Sets `request.access`, and turns the two refusals of `Access` into pages."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.functional import SimpleLazyObject

from roofops.access.queries import access_of
from roofops.record.access import Forbidden, NotFound


class AccessMiddleware:
    """Gives each request the roles of its person; read from the database only if a view looks at them."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        request.access = SimpleLazyObject(lambda: access_of(request.user))  # type: ignore[attr-defined]
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, exception: Exception) -> HttpResponse | None:
        """Answer 403 for a missing role and 404 for a row that does not exist for this person."""
        if isinstance(exception, Forbidden):
            return render(request, "403.html", {"exception": str(exception)}, status=403)
        if isinstance(exception, NotFound):
            return render(request, "404.html", {"exception": str(exception)}, status=404)
        return None
