"""The front door: office people come to Today, crew leads to their day sheet."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_safe

from roofops.access.decorators import require_role
from roofops.access.requests import access_for
from roofops.pages.frame.yard_choice import OFFICE


@require_safe
@require_role()
def home(request: HttpRequest) -> HttpResponse:
    """Send each person to the page of their role."""
    if access_for(request).yards(*OFFICE):
        return redirect("today")
    return redirect("my_sheet")
