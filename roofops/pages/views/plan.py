"""Plan: the grid, proposing in the background, pins, publishing."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from crews import actions
from crews import queries as crew_queries
from crews.boards.plan import PlanBoard
from crews.queries.yards import local_day, yard_seen
from crews.refusals import Refused
from roofops.access.decorators import require_role
from roofops.access.requests import access_for
from roofops.pages.frame.title_block import title_block
from roofops.pages.frame.yard_choice import OFFICE, chosen_yard
from roofops.pages.plan.page import OPEN_STATES, plan_page
from roofops.pages.plan.words import published_words
from roofops.record import clock
from roofops.record.access import NotFound, Role

DAYS, SEED = 14, 1


@never_cache
@require_safe
@require_role(*OFFICE)
def plan(request: HttpRequest) -> HttpResponse:
    """The grid; `?job=` names the job whose lines stand at the side."""
    named = request.GET.get("job", "")
    return render(request, "plan/plan.html", _context(request, int(named) if named.isdecimal() else None))


@never_cache
@require_safe
@require_role(*OFFICE)
def progress(request: HttpRequest) -> HttpResponse:
    """How far the proposal is; reloads the whole page once it is over."""
    context = _context(request)
    board = context["board"]
    if not isinstance(board, PlanBoard) or board.work is None or board.work.state not in OPEN_STATES:
        response = HttpResponse(status=204)
        response["HX-Redirect"] = reverse("plan")
        return response
    return render(request, "plan/progress.html", context)


@require_POST
@require_role(*OFFICE)
def propose(request: HttpRequest) -> HttpResponse:
    """Ask for a proposal over the next two weeks."""
    access, now = access_for(request), clock.now()
    yard_id = chosen_yard(request)
    today = local_day(now, yard_seen(access, yard_id).time_zone)
    try:
        actions.propose(access, yard_id, today, DAYS, SEED, now)
    except Refused as refusal:
        messages.error(request, str(refusal))
    return redirect("plan")


@require_POST
@require_role(Role.MANAGER)
def stop(request: HttpRequest, work_id: int) -> HttpResponse:
    """Stop planning; the best plan so far is used."""
    actions.stop_planning(access_for(request), work_id, clock.now())
    messages.info(request, _("Planning stops and uses the best plan so far."))
    return redirect("plan")


@require_POST
@require_role(*OFFICE)
def pin(request: HttpRequest) -> HttpResponse:
    """Pin a job to its crew and day, or take the pin out."""
    plan_id, job_id = request.POST.get("plan", ""), request.POST.get("job", "")
    if not plan_id.isdecimal() or not job_id.isdecimal():
        raise NotFound("There is no such job in a plan.")
    pinned = request.POST.get("pinned") == "1"
    try:
        actions.pin(access_for(request), int(plan_id), int(job_id), pinned, clock.now())
    except Refused as refusal:
        messages.error(request, str(refusal))
    else:
        messages.info(request, _("Pinned. The next proposal keeps it.") if pinned else _("The pin is out. Plan again."))
    return redirect(f"{reverse('plan')}?job={job_id}#chosen")


@require_POST
@require_role(*OFFICE)
def drop(request: HttpRequest, pk: int) -> HttpResponse:
    """Put the proposal away; the published plan stays."""
    try:
        actions.drop_plan(access_for(request), pk, clock.now())
    except Refused as refusal:
        messages.error(request, str(refusal))
    else:
        messages.info(request, _("The proposal is put away. The published plan stays."))
    return redirect("plan")


@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
@require_role(Role.MANAGER)
def publish(request: HttpRequest, pk: int) -> HttpResponse:
    """Show the differences and who gets told; publish when confirmed."""
    if request.method == "POST":
        made_from = request.POST.get("made_from", "")
        seen = int(made_from) if made_from.isdecimal() else None
        try:
            done = actions.publish(access_for(request), pk, seen, clock.now())
        except Refused as refusal:
            return _confirm(request, pk, str(refusal))
        messages.success(request, published_words(done.plan.number, done.told_crews, len(done.pencilled_jobs)))
        return redirect("plan")
    return _confirm(request, pk)


def _confirm(request: HttpRequest, pk: int, refused: str = "") -> HttpResponse:
    context = _context(request)
    board = context["board"]
    if not isinstance(board, PlanBoard) or board.proposal is None or board.proposal.id != pk:
        messages.error(request, refused or _("This proposal is not on the table any more."))
        return redirect("plan")
    return render(request, "plan/publish.html", {**context, "refused": refused}, status=422 if refused else 200)


def _context(request: HttpRequest, chosen_job: int | None = None) -> dict[str, object]:
    access, now = access_for(request), clock.now()
    board = crew_queries.plan_board(access, chosen_yard(request), now)
    return {
        "board": board,
        "page": plan_page(board, chosen_job),
        "title_block": title_block(board.yard_name, board.company, board.zone, now, board.forecast),
    }
