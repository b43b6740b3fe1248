"""Today: the morning verdict of each roof, and what the office decides about it."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST, require_safe

from crews import actions
from crews.boards.today import TodayBoard, TodayRow
from crews.queries.decisions import decision_seen
from crews.queries.today import today_board
from crews.refusals import Refused
from jobs import queries as job_queries
from roofops.access.decorators import require_role
from roofops.access.requests import access_for
from roofops.pages.forms.decision import HoldForm, LimitForm, ReleaseForm
from roofops.pages.frame.weather_off import weather_is_off
from roofops.pages.frame.yard_choice import OFFICE, chosen_yard
from roofops.pages.today.page import Shown, TodayPage, today_page
from roofops.record import clock
from roofops.record.access import NotFound, Role

UNPROCESSABLE = 422


@require_safe
@require_role(*OFFICE)
def today(request: HttpRequest) -> HttpResponse:
    """The whole page; `?open=` names the row that a phone shows unfolded."""
    opened = request.GET.get("open", "")
    shown = Shown(open_job=int(opened) if opened.isdecimal() else None)
    return _answer(request, _board(request, chosen_yard(request)), shown)


@require_POST
@require_role(Role.MANAGER)
def accept(request: HttpRequest, pk: int) -> HttpResponse:
    """Accept one verdict."""
    access, now = access_for(request), clock.now()
    job = decision_seen(access, pk).job
    try:
        actions.accept(access, pk, now)
    except Refused as refusal:
        return _refused(request, job.yard_id, job.pk, refusal)
    return _done(request, job.yard_id, job.pk)


@require_POST
@require_role(Role.MANAGER)
def accept_unchanged(request: HttpRequest) -> HttpResponse:
    """Accept every verdict that changed nothing and waits for nothing."""
    yard_id = chosen_yard(request, Role.MANAGER)
    count = actions.accept_all_unchanged(access_for(request), yard_id, clock.now())
    words = ngettext("%(n)s unchanged verdict accepted.", "%(n)s unchanged verdicts accepted.", count)
    messages.info(request, words % {"n": count})
    return redirect("today")


@require_POST
@require_role(*OFFICE)
def limit(request: HttpRequest, pk: int) -> HttpResponse:
    """Set a tighter limit for one roof's day."""
    board, row = _row(request, pk)
    form = LimitForm(request.POST, line=row.line, job_id=pk)
    if not form.is_valid():
        return _answer(request, board, Shown(open_job=pk, form=form), UNPROCESSABLE)
    typed = form.cleaned_data
    try:
        actions.limit_further(
            access_for(request), pk, board.day, typed["squares"], typed["reason"], clock.now(), at_once=typed["at_once"]
        )
    except Refused as refusal:
        return _refused(request, board.yard_id, pk, refusal, form)
    return _done(request, board.yard_id, pk)


@require_POST
@require_role(*OFFICE)
def hold(request: HttpRequest, pk: int) -> HttpResponse:
    """Stop opening on one roof until it is released; covering goes on."""
    board, _row_here = _row(request, pk)
    form = HoldForm(request.POST, job_id=pk)
    if not form.is_valid():
        return _answer(request, board, Shown(open_job=pk, form=form), UNPROCESSABLE)
    try:
        actions.hold(access_for(request), pk, board.day, form.cleaned_data["reason"], clock.now())
    except Refused as refusal:
        return _refused(request, board.yard_id, pk, refusal, form)
    return _done(request, board.yard_id, pk)


@require_POST
@require_role(Role.MANAGER)
def release(request: HttpRequest, pk: int) -> HttpResponse:
    """Lift the office's own hold and limits of one roof."""
    board, _row_here = _row(request, pk)
    form = ReleaseForm(request.POST, job_id=pk)
    if not form.is_valid():
        return _answer(request, board, Shown(open_job=pk, form=form), UNPROCESSABLE)
    try:
        actions.release(access_for(request), pk, board.day, form.cleaned_data["reason"], clock.now())
    except Refused as refusal:
        return _refused(request, board.yard_id, pk, refusal, form)
    return _done(request, board.yard_id, pk)


@require_POST
@require_role(*OFFICE)
def fetch(request: HttpRequest) -> HttpResponse:
    """Ask for the forecasts of the yard's roofs now; a worker fetches them."""
    yard_id = chosen_yard(request)
    actions.ask_for_forecasts(access_for(request), yard_id, clock.now())
    messages.info(request, _("The forecasts are being fetched. Load the page again in a minute."))
    return redirect("today")


def _board(request: HttpRequest, yard_id: int) -> TodayBoard:
    return today_board(access_for(request), yard_id, clock.now())


def _row(request: HttpRequest, job_id: int) -> tuple[TodayBoard, TodayRow]:
    """Return the board of a job's yard and its row; a job that is not due today is not there."""
    board = _board(request, job_queries.job(access_for(request), job_id).yard_id)
    row = next((row for row in board.rows if row.job.job_id == job_id), None)
    if row is None:
        raise NotFound("This roof is not due today.")
    return board, row


def _done(request: HttpRequest, yard_id: int, job_id: int) -> HttpResponse:
    """Show the row as it is now; without a partial request, the page at that row."""
    if request.htmx:  # type: ignore[attr-defined]
        return _answer(request, _board(request, yard_id), Shown(open_job=job_id))
    response = redirect("today")
    response["Location"] += f"?yard={yard_id}&open={job_id}#row-{job_id}"
    return response


def _refused(
    request: HttpRequest,
    yard_id: int,
    job_id: int,
    refusal: Refused,
    form: LimitForm | HoldForm | ReleaseForm | None = None,
) -> HttpResponse:
    shown = Shown(open_job=job_id, form=form, notice=str(refusal))
    return _answer(request, _board(request, yard_id), shown, UNPROCESSABLE)


def _answer(request: HttpRequest, board: TodayBoard, shown: Shown, status: int = 200) -> HttpResponse:
    page = today_page(board, shown)
    context = {"page": page, "title_block": page.title_block, "weather_off": weather_is_off(board.forecast)}
    if request.htmx:  # type: ignore[attr-defined]
        return _partial(request, page, shown, context, status)
    return render(request, "today/page.html", context, status=status)


def _partial(
    request: HttpRequest, page: TodayPage, shown: Shown, context: dict[str, object], status: int
) -> HttpResponse:
    """Answer with the one row and the headline; where the row is gone, let the page load again."""
    item = next((item for item in page.rows if item.row.job.job_id == shown.open_job), None)
    if item is None:
        return HttpResponse(status=204, headers={"HX-Refresh": "true"})
    return render(request, "today/row_swap.html", {**context, "item": item}, status=status)
