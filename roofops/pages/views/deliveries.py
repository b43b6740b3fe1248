"""Deliveries: the loads of a day, what was agreed about each, and the drivers' lists."""

from datetime import date, datetime

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from crews import queries as crew_queries
from crews.boards.delivery import DeliveryBoard
from crews.queries.yards import local_day
from jobs import queries as job_queries
from jobs.actions.loads import set_load_placement, set_load_state
from jobs.models import Load, LoadState, Placement
from roofops.access.decorators import require_role
from roofops.access.requests import access_for
from roofops.pages.deliveries.page import deliveries_page
from roofops.pages.forms.load import LoadForm
from roofops.pages.frame.title_block import title_block
from roofops.pages.frame.yard_choice import OFFICE, chosen_yard
from roofops.pages.wording import formats
from roofops.record import clock

STATES = {
    "ask": LoadState.ASKED,
    "ask_time": LoadState.ASKED,
    "confirm": LoadState.CONFIRMED,
    "moved": LoadState.MOVED,
    "short": LoadState.SHORT,
    "refused": LoadState.REFUSED,
    "came": LoadState.CAME,
}
WITH_FORM = ("ask_time", "moved", "short", "refused")


@require_safe
@require_role(*OFFICE)
def deliveries(request: HttpRequest) -> HttpResponse:
    """The day; `?day=` another one, `?load=` the load at the side."""
    named = request.GET.get("load", "")
    return _page(request, _day(request.GET.get("day", "")), int(named) if named.isdecimal() else None)


@require_safe
@require_role(*OFFICE)
def drivers(request: HttpRequest) -> HttpResponse:
    """One list for each driver, to print."""
    return _page(request, _day(request.GET.get("day", "")), None, template="deliveries/print.html")


@require_POST
@require_role(*OFFICE)
def change(request: HttpRequest, pk: int) -> HttpResponse:
    """Keep what was agreed about one load."""
    access, now = access_for(request), clock.now()
    row = job_queries.load(access, pk)
    access.require(row.job.yard_id, *OFFICE)
    act = request.POST.get("act", "")
    day = _day(request.POST.get("day", "")) or local_day(now, row.job.yard.time_zone)
    if act != "ground" and act not in STATES:
        return _page(request, day, pk, refused=_("Choose what was agreed about this load."), status=422)
    form = LoadForm(request.POST if act in WITH_FORM else {}, act=act)
    if not form.is_valid():
        return _page(request, day, pk, form=form, status=422)
    try:
        _change(request, row, act, form, day, now)
    except ValueError as error:
        return _page(request, day, pk, refused=str(error), status=422)
    messages.success(request, _("Kept: %(street)s.") % {"street": row.job.street})
    return redirect(f"{reverse('deliveries')}?day={day.isoformat()}&load={pk}#load-{pk}")


def _change(request: HttpRequest, row: Load, act: str, form: LoadForm, day: date, now: datetime) -> None:
    access, typed = access_for(request), request.POST.get("revision", "")
    revision = int(typed) if typed.isdecimal() else None
    if act == "ground":
        set_load_placement(access, row.pk, Placement.GROUND, now, revision=revision)
        return
    slot = form.moment(day, row.job.yard.time_zone) if act in WITH_FORM else None
    if act == "ask":
        slot = _moment(request.POST.get("slot", ""))
    note = form.cleaned_data.get("note") or None
    set_load_state(access, row.pk, STATES[act], now, revision=revision, slot_start=slot, note=note)


def _moment(text: str) -> datetime:
    """Return the slot that a button carries.

    Raises ValueError where it carries none.
    """
    moment = datetime.fromisoformat(text)
    if moment.utcoffset() is None:
        raise ValueError(_("The slot needs a time zone."))
    return moment


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None


def _page(
    request: HttpRequest,
    day: date | None,
    chosen: int | None,
    *,
    form: LoadForm | None = None,
    refused: str = "",
    status: int = 200,
    template: str = "deliveries/deliveries.html",
) -> HttpResponse:
    access, now = access_for(request), clock.now()
    yard = job_queries.yard(access, chosen_yard(request))
    board: DeliveryBoard = crew_queries.deliveries(access, yard.pk, day or local_day(now, yard.time_zone), now)
    capacity = [
        (
            supplier.name,
            supplier.phone,
            supplier.loads_per_day,
            _("orders until %(clock)s")
            % {"clock": formats.clock(datetime.combine(board.day, supplier.order_cutoff, now.tzinfo), "UTC")},
        )
        for supplier in job_queries.suppliers_for(access, yard.pk)
    ]
    context = {
        "board": board,
        "page": deliveries_page(board, capacity, chosen, form or LoadForm(), refused),
        "title_block": title_block(board.yard_name, board.company, board.zone, now, board.forecast),
    }
    return render(request, template, context, status=status)
