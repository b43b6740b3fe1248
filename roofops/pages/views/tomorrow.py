"""Tomorrow: each job of the next work day, the choice about it, and who has been told."""

from datetime import date

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from crews import actions
from crews.boards.tomorrow import TomorrowRow
from crews.queries.tomorrow import tomorrow_board
from crews.refusals import Refused
from jobs import queries as job_queries
from roofops.access.decorators import require_role
from roofops.access.requests import access_for
from roofops.pages.frame.weather_off import weather_is_off
from roofops.pages.frame.yard_choice import OFFICE, chosen_yard
from roofops.pages.tomorrow.page import Refusal, tomorrow_page
from roofops.record import clock
from roofops.record.access import NotFound

UNPROCESSABLE = 422


@require_safe
@require_role(*OFFICE)
def tomorrow(request: HttpRequest) -> HttpResponse:
    """The whole page."""
    return _answer(request, chosen_yard(request))


@require_POST
@require_role(*OFFICE)
def choose(request: HttpRequest, pk: int) -> HttpResponse:
    """Choose go, decide at 5:30 am, or move to a day."""
    access = access_for(request)
    yard_id = job_queries.job(access, pk).yard_id
    choice, moved = request.POST.get("choice", ""), request.POST.get("move_to", "")
    try:
        move_to = date.fromisoformat(moved) if choice == "move" and moved else None
    except ValueError:
        return _answer(
            request, yard_id, Refusal(pk, _("That is no day. Enter one such as 2026-10-15."), move_open=True)
        )
    try:
        actions.choose(access, pk, _day(request), choice, clock.now(), move_to=move_to)
    except Refused as refusal:
        return _answer(request, yard_id, Refusal(pk, str(refusal), choice == "move", move_to))
    return _done(request, yard_id, pk)


@require_POST
@require_role(*OFFICE)
def backup(request: HttpRequest, pk: int) -> HttpResponse:
    """Name other work for the crew; the choice stays as it is."""
    access = access_for(request)
    yard_id = job_queries.job(access, pk).yard_id
    row = _row(request, yard_id, pk)
    text = request.POST.get("backup", "")
    try:
        actions.choose(access, pk, row.day, row.choice, clock.now(), move_to=row.move_to, backup=text)
    except Refused as refusal:
        return _answer(request, yard_id, Refusal(pk, str(refusal)))
    return _done(request, yard_id, pk)


@require_POST
@require_role(*OFFICE)
def tell(request: HttpRequest, pk: int) -> HttpResponse:
    """Tick who has been asked or told."""
    access = access_for(request)
    yard_id = job_queries.job(access, pk).yard_id
    try:
        actions.tell(
            access, pk, _day(request), request.POST.get("party", ""), request.POST.get("state", ""), clock.now()
        )
    except Refused as refusal:
        return _answer(request, yard_id, Refusal(pk, str(refusal)))
    return _done(request, yard_id, pk)


def _day(request: HttpRequest) -> date:
    try:
        return date.fromisoformat(request.POST.get("day", ""))
    except ValueError:
        raise NotFound("There is no such day here.") from None


def _row(request: HttpRequest, yard_id: int, job_id: int) -> TomorrowRow:
    board = tomorrow_board(access_for(request), yard_id, clock.now())
    row = next((row for row in board.rows if row.job.job_id == job_id), None)
    if row is None:
        raise NotFound("This job is not planned for the next work day.")
    return row


def _done(request: HttpRequest, yard_id: int, job_id: int) -> HttpResponse:
    """Show the row as it is now; without a partial request, the page at that row."""
    if request.htmx:  # type: ignore[attr-defined]
        return _answer(request, yard_id, swap=job_id)
    response = redirect("tomorrow")
    response["Location"] += f"?yard={yard_id}#row-{job_id}"
    return response


def _answer(
    request: HttpRequest, yard_id: int, refusal: Refusal | None = None, swap: int | None = None
) -> HttpResponse:
    board = tomorrow_board(access_for(request), yard_id, clock.now())
    page = tomorrow_page(board, refusal)
    context = {"page": page, "title_block": page.title_block, "weather_off": weather_is_off(board.forecast)}
    status = UNPROCESSABLE if refusal is not None else 200
    if not request.htmx:  # type: ignore[attr-defined]
        return render(request, "tomorrow/page.html", context, status=status)
    wanted = refusal.job_id if refusal is not None else swap
    item = next((item for item in page.rows if item.row.job.job_id == wanted), None)
    if item is None:
        return HttpResponse(status=204, headers={"HX-Refresh": "true"})
    return render(request, "tomorrow/row_swap.html", {**context, "item": item}, status=status)
