"""The walk: one crew on one roof through one or more days, hour by hour under the sky."""

from collections.abc import Sequence
from datetime import datetime

from crews.planner.closed_work import lay_shingles, next_closed_work, work_ridges
from crews.planner.closing import close_in_time, close_soonest, closing_bound
from crews.planner.dressing import dressed
from crews.planner.exposure import Sky
from crews.planner.opening import Opening, retry_of, test_opening, whole_roof_refusal
from crews.planner.problem import AREA_SLACK, CrewDay, Policy, RoofWork, Run, StepKind
from crews.planner.slot_rows import NEVER
from crews.planner.strips import Plane
from crews.planner.walk_state import NOT_ASKED, Opened, Refusal, Shift, Walker, shift_of
from weather.work_hours import Kind

NOTHING_OLD = "nothing_to_open"
MOMENT = 1e-6  # minutes: two moments nearer than this are one


def walk(work: RoofWork, crew_days: Sequence[CrewDay], sky: Sky, start: datetime, policy: Policy) -> Run:
    """The Run of one crew on one roof from `start` through its crew days.

    What is open is closed first. A strip is opened only if all of it is closed again, with the labor reserve and the
    margins, before anything forbids it; else closed work is done; else the crew waits, and the Run says why.

    Parameters
    ----------
    work : RoofWork
        What lies on the roof now and what each square still needs. [squares, labor-hours]
    crew_days : sequence of CrewDay
        One shift each; those that end before `start` are left out.
    sky : Sky
        What the hours allow; beyond its end nothing is allowed, and everything is unknown.
    start : datetime
        Aware moment from which the walk runs. [UTC]
    policy : Policy
        Margins, caps and the chance of rain that may be taken.

    Raises
    ------
    ValueError
        When no crew day is left at `start`, or `start` has no zone.
    """
    walker = walked(work, crew_days, sky, start, policy)
    return dressed(walker, start)


def walked(
    work: RoofWork,
    crew_days: Sequence[CrewDay],
    sky: Sky,
    start: datetime,
    policy: Policy,
    planes: tuple[Plane, ...] | None = None,
) -> Walker:
    """The same walk as its bare record in minutes of the sky: what the columns are made from."""
    if start.utcoffset() is None:
        raise ValueError("A walk needs a start with a zone.")
    days = sorted((day for day in crew_days if day.end > start), key=lambda day: day.start)
    if not days:
        raise ValueError("A walk needs a crew day that has not ended.")
    walker = Walker(work, sky, policy, planes)
    walker.now = sky.minute(start)
    walker.here()
    for number, day in enumerate(days):
        walker.in_first_day = number == 0
        walker.wet_deck = walker.wet_deck and walker.in_first_day  # dry or read by then: a plan's assumption
        if walker.in_first_day:
            walker.first_day_end = sky.minute(day.end)
        upto = sky.minute(days[number + 1].start) if number + 1 < len(days) else float(sky.end_minute)
        if day.people > 0:
            _walk_day(walker, shift_of(day, work, sky, policy), max(upto, sky.minute(day.end)))
        if walker.trace.finish is not None:
            break
        if walker.roof.is_open() or sum(walker.roof.tarped) > AREA_SLACK:
            walker.trace.nights_open += 1
    last = min(float(sky.end_minute), sky.minute(days[-1].end))
    walker.trace.end(max(walker.now, last) if walker.roof.is_open() else walker.now)
    return walker


def _walk_day(walker: Walker, shift: Shift, next_day: float) -> None:
    """One crew day: travel, closing, set-up, work, clean-up."""
    walker.shift = shift
    walker.nothing_more_opens = False
    walker.last_refusal = NOT_ASKED
    _arrive(walker)
    if walker.roof.is_open():
        _close_what_is_open(walker, next_day)
    if walker.now >= shift.end - MOMENT:
        return
    _set_up(walker)
    while walker.now < shift.stop_work - MOMENT and not walker.roof.is_finished():
        _next_work(walker)
    if walker.roof.is_finished():
        end = shift.end_of(walker.now, walker.work.clean_up_minutes)
        walker.step(StepKind.CLEAN_UP, end)
        walker.trace.finish = end
    elif walker.now < shift.end - MOMENT:
        walker.step(StepKind.CLEAN_UP, max(shift.end, walker.now))
    walker.here()


def _arrive(walker: Walker) -> None:
    """Travel to the roof; a walk that starts within the shift finds the crew there."""
    shift = walker.shift
    if walker.now < shift.start:
        walker.now = shift.start
    if walker.now < shift.arrive:
        walker.step(StepKind.TRAVEL, shift.arrive, through_breaks=True)
    walker.there_since = max(0.0, walker.now - shift.arrive)


def _set_up(walker: Walker) -> None:
    """Set-up, or what is left of it where the walk starts later in the shift. It never delays closing."""
    work, shift = walker.work, walker.shift
    minutes = work.later_set_up_minutes if walker.started else work.first_day_set_up_minutes
    walker.started = True
    left = minutes - walker.there_since
    if left <= MOMENT:
        return
    ground = walker.sky.next_allowed(Kind.GROUND.value, walker.now)
    if walker.now < ground < shift.stop_work:
        walker.step(StepKind.WAIT, ground, reason=_code(walker, Kind.GROUND.value))
    walker.step(StepKind.SET_UP, min(shift.end_of(walker.now, left), max(shift.stop_work, walker.now)))


def _close_what_is_open(walker: Walker, next_day: float) -> None:
    """Close first: in the usual way if that ends in time, else as soon as can be, and nothing more opens that day."""
    walker.here()
    fits, bound = closing_bound(walker)
    if walker.first_close is None:
        walker.first_close = bound
        walker.late = not fits
    if fits:
        close_in_time(walker)
    else:
        walker.nothing_more_opens = True
        walker.trace.reason(walker.now, "closing_late")
        close_soonest(walker, next_day)
    walker.here()


def _next_work(walker: Walker) -> None:
    """Open a strip, else closed work, else wait until something may change."""
    found = _try_opening(walker)
    if isinstance(found, Opening):
        _open_strip(walker, found)
        return
    until = min(found.retry, walker.shift.stop_work)
    if work_ridges(walker, until) or lay_shingles(walker, until):
        return
    again = max(min(until, next_closed_work(walker)), walker.now + 1.0)
    code = found.code if found.code != NOTHING_OLD else _code(walker, Kind.FIELD.value)
    walker.step(StepKind.WAIT, min(again, walker.shift.stop_work), reason=code)


def _code(walker: Walker, kind: str) -> str:
    """The sky's reason against a kind of work now, or '' when it has none."""
    cause = walker.sky.cause((kind,), walker.now)
    return cause.code if cause else ""


def _try_opening(walker: Walker) -> Opening | Refusal:
    """The first plane in the foreman's order that may be opened, or why none may and when to ask again."""
    roof = walker.roof
    if walker.now < walker.last_refusal.retry:
        return walker.last_refusal  # nothing that the answer hangs on has changed
    if sum(roof.old) + sum(roof.tarped) <= AREA_SLACK:
        return Refusal(NOTHING_OLD, walker.now, float(NEVER))
    refusal = whole_roof_refusal(walker)
    refusals = [refusal] if refusal else []
    if not refusals:
        for index in range(len(roof.planes)):
            if roof.old[index] > AREA_SLACK or roof.tarped[index] > AREA_SLACK:
                found = test_opening(walker, index)
                if isinstance(found, Opening):
                    return found
                refusals.append(found)
    for each in refusals:
        walker.trace.reason(each.at, each.code, each.value, each.limit)
    first, retry = refusals[0], max(retry_of(refusals), walker.now + 1.0)
    walker.last_refusal = Refusal(first.code, first.at, retry, first.value, first.limit)
    return walker.last_refusal


def _open_strip(walker: Walker, strip: Opening) -> None:
    """Tear off one strip and close it again; the whole crew at each step."""
    roof, index, torn_from = walker.roof, strip.plane, walker.now
    section = roof.planes[index].section.section_id
    walker.here()
    walker.trace.opens(walker.now)
    if strip.from_tarp:
        roof.tarped[index] = max(0.0, roof.tarped[index] - strip.squares)
        walker.do(StepKind.TARP, strip.tear, section)
    else:
        left = roof.old[index] - strip.squares
        roof.old[index] = left if left > AREA_SLACK else 0.0
        walker.do(StepKind.TEAR_OFF, strip.tear, section, squares=strip.squares)
    roof.bare[index] += strip.squares
    walker.here()
    walker.do(StepKind.DECK, strip.deck, section, squares=strip.squares)
    if strip.close_not_before > walker.now:
        walker.step(StepKind.WAIT, strip.close_not_before, reason="inspection")
    roof.seen[index] = roof.seen[index] or strip.close_not_before > 0
    walker.do(StepKind.ICE_BARRIER, strip.ice, section, squares=strip.squares)
    walker.here()
    walker.do(StepKind.UNDERLAYMENT, strip.underlayment, section, squares=strip.squares)
    walker.do(StepKind.TIE_IN, strip.tie_in, section)
    walker.do(StepKind.DETAIL, strip.closing_detail, section)
    roof.bare[index] = 0.0
    roof.dried[index] += strip.squares
    walker.here()
    new = 0.0 if strip.from_tarp else strip.squares
    bound = (strip.latest_close, strip.sky_bound, strip.by_chance, strip.by_shift)
    walker.trace.opened.append(Opened(index, new, torn_from, walker.now, *bound))
