"""Reads the access off a request, with its type."""

from typing import cast

from django.http import HttpRequest

from roofops.record.access import Access


def access_for(request: HttpRequest) -> Access:
    """Return the access that the middleware set."""
    return cast(Access, request.access)  # type: ignore[attr-defined]
