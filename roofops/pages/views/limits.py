"""The company's limits: seen by the office, changed by the manager, with a reason where a safety limit is loosened."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from jobs.queries import yard as visible_yard
from roofops.access.decorators import require_role
from roofops.access.requests import access_for
from roofops.pages.frame.office_title import office_title
from roofops.pages.frame.yard_choice import OFFICE, chosen_yard
from roofops.pages.limits.page import LimitForm, limits_page
from roofops.record import clock
from roofops.record.access import NotFound, Role
from weather.actions.limits import set_limit
from weather.limits import DEFAULTS
from weather.models import WorkLimit
from weather.queries import company_limits


@require_safe
@require_role(*OFFICE)
def limits(request: HttpRequest) -> HttpResponse:
    """All limits with their source notes."""
    return _page(request)


@require_POST
@require_role(Role.MANAGER)
def limit(request: HttpRequest, key: str) -> HttpResponse:
    """Set one limit of the yard."""
    if key not in DEFAULTS:
        raise NotFound("There is no such limit.")
    yard_id = chosen_yard(request, Role.MANAGER)
    form = LimitForm(request.POST, key=key)
    if form.is_valid():
        data = form.cleaned_data
        try:
            set_limit(
                access_for(request), key, data["value"], clock.now(), reason=data["reason"] or "", yard_id=yard_id
            )
        except ValueError as error:
            form.add_error("reason" if "reason" in str(error) else "value", str(error))
        else:
            messages.success(request, _("Saved. The next verdicts use it; a tighter limit acts at once."))
            return redirect("limits")
    return _page(request, (key, form), status=422)


def _page(request: HttpRequest, refused: tuple[str, LimitForm] | None = None, status: int = 200) -> HttpResponse:
    access, now = access_for(request), clock.now()
    yard = visible_yard(access, chosen_yard(request))
    rows = WorkLimit.objects.filter(yard_id_number__in=(yard.pk,)) | WorkLimit.objects.filter(yard_id_number=None)
    rows = rows.select_related("set_by").order_by("-set_at", "-pk")
    context = {
        "page": limits_page(company_limits(yard.pk), rows, yard.time_zone, refused),
        "may_change": access.may_see(yard.pk, Role.MANAGER),
        "yard": yard,
        "title_block": office_title(yard, now),
    }
    return render(request, "limits/limits.html", context, status=status)
