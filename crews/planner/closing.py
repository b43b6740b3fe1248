"""Closing what lies open: in time by underlayment where the sky leaves it, else in the order that ends soonest."""

from crews.planner.covers import (
    TARP,
    UNDERLAYMENT,
    Cover,
    closing_labor_hours,
    minutes_alone,
    slot_labor_hours,
    soonest_covers,
    soonest_end,
)
from crews.planner.exposure import LYING_OPEN
from crews.planner.opening import margin_minutes, tie_in_labor_hours
from crews.planner.problem import AREA_SLACK, StepKind
from crews.planner.slot_rows import NEVER
from crews.planner.walk_state import FEET_SLACK, Opened, Walker
from weather.work_hours import Kind


def closing_bound(walker: Walker) -> tuple[bool, Opened]:
    """Whether everything open is closed by underlayment in time, by the opening test, and what bounds its closing."""
    roof, shift, sky, now = walker.roof, walker.shift, walker.sky, walker.now
    hours = sum(closing_labor_hours(walker, i, bare, with_barrier=True) for i, bare in enumerate(roof.bare))
    hours += slot_labor_hours(walker)
    minutes = shift.minutes_for(hours, walker.policy.labor_reserve)
    margin = margin_minutes(minutes, walker.policy)
    end = shift.end_of(now, minutes)
    allowed = sky.allowed_until(LYING_OPEN, now)
    dry = sky.dry_until(now, walker.policy.rain_threshold)
    by_sky = min(allowed, dry)
    latest = min(by_sky - margin, shift.close_by)
    fits = not walker.wet_deck and end <= latest
    bound = Opened(-1, 0.0, now, end, max(now, latest), by_sky, dry < allowed, shift.close_by < by_sky - margin)
    return fits, bound


def close_in_time(walker: Walker) -> None:
    """Close everything open in the usual way: slots first (minutes), then deck by deck with barrier where allowed."""
    _cover_slots(walker)
    for index, bare in enumerate(walker.roof.bare):
        if bare <= AREA_SLACK:
            continue
        plane = walker.roof.planes[index]
        section = plane.section.section_id
        walker.do(StepKind.DECK, bare * plane.deck, section)
        _ice_barrier(walker, index, bare)
        walker.here()
        _lay(walker, index, bare)


def _ice_barrier(walker: Walker, index: int, squares: float) -> None:
    """Lay the ice barrier if its own limits allow all of it now; else it is owed and underlayment closes alone."""
    plane = walker.roof.planes[index]
    if plane.ice <= 0:
        return
    hours = squares * plane.ice
    end = walker.shift.end_of(walker.now, walker.shift.minutes_for(hours))
    if walker.sky.allowed_until(Kind.ICE_BARRIER.value, walker.now) >= end:
        walker.do(StepKind.ICE_BARRIER, hours, plane.section.section_id)
    else:
        walker.trace.reason(walker.now, "ice_barrier_owed")


def _lay(walker: Walker, index: int, squares: float) -> None:
    """Underlayment, tie-in and valley work on some open squares of a plane, which then count as dried-in."""
    roof, plane = walker.roof, walker.roof.planes[index]
    section = plane.section.section_id
    walker.do(StepKind.UNDERLAYMENT, squares * plane.underlayment, section, squares=squares)
    walker.do(StepKind.TIE_IN, tie_in_labor_hours(walker, index, squares, already_bare=True), section)
    walker.do(StepKind.DETAIL, squares * plane.closing_detail, section)
    roof.bare[index] = max(0.0, roof.bare[index] - squares)
    roof.dried[index] += squares
    walker.here()


def _cover_slots(walker: Walker) -> None:
    """Put the cover back over every open slot."""
    for index, (feet, ridge) in enumerate(zip(walker.roof.slot_ft, walker.work.ridges, strict=True)):
        if feet > FEET_SLACK:
            walker.do(StepKind.COVER_RIDGE, feet * ridge.cover_labor_hours_per_ft, edge=ridge.edge_id, feet=feet)
            walker.roof.slot_ft[index] = 0.0
            walker.roof.ridge_left_ft[index] += feet
            walker.here()


def close_soonest(walker: Walker, until: float) -> None:
    """Close everything open as soon as people may do it: no shift's end, break, hold or moisture stops it.

    Slots first and tarps before underlayment wherever both are allowed, so that most is covered early; a kind that
    would miss its own slots goes first instead. `until`: the next crew day's beginning, where the walk goes on.
    """
    covers = soonest_covers(walker)
    tarp_left = [(c, c.tarped_squares) for c in covers if c.tarped_squares > AREA_SLACK]
    lay_left = [(c, c.laid_squares) for c in covers if c.laid_squares > AREA_SLACK]
    while walker.roof.is_open() and walker.now < until:
        kind, most = _next_kind(walker, tarp_left, lay_left)
        start = walker.sky.next_allowed(kind, walker.now)
        if start >= until:
            _wait(walker, min(until, walker.sky.end_minute), kind)
            return
        if start > walker.now:
            _wait(walker, start, kind)
            continue
        if kind == TARP and walker.roof.open_slot_ft() > FEET_SLACK:
            _cover_one_slot(walker)
        elif kind == TARP:
            tarp_left = _put(walker, tarp_left, kind, most)
        else:
            lay_left = _put(walker, lay_left, kind, most)


def _next_kind(
    walker: Walker, tarp_left: list[tuple[Cover, float]], lay_left: list[tuple[Cover, float]]
) -> tuple[str, float]:
    """The kind to do next and the most minutes of it at a stretch.

    The kind allowed first; where both are, tarps, unless the underlayment left is more than its own later slots take.
    """
    tarp = sum(c.tarp_labor_hours * left / c.tarped_squares for c, left in tarp_left)
    tarp += slot_labor_hours(walker)
    lay = sum(c.lay_labor_hours * left / c.laid_squares for c, left in lay_left)
    sky, now = walker.sky, walker.now
    if tarp <= 0 or lay <= 0:
        return (TARP if tarp > 0 or not lay_left else UNDERLAYMENT), float(NEVER)
    tarp_at, lay_at = sky.next_allowed(TARP, now), sky.next_allowed(UNDERLAYMENT, now)
    if tarp_at != lay_at:
        # At the other kind's first slot the choice is made anew.
        return (TARP, max(lay_at - now, 1.0)) if tarp_at < lay_at else (UNDERLAYMENT, max(tarp_at - now, 1.0))
    end = soonest_end(walker, tarp, lay)
    lay_short = walker.shift.minutes_for(lay) - minutes_alone(sky, UNDERLAYMENT, TARP, now, end)
    tarp_short = walker.shift.minutes_for(tarp) - minutes_alone(sky, TARP, UNDERLAYMENT, now, end)
    if lay_short <= 1e-6:
        return TARP, float(NEVER)
    return (TARP, tarp_short) if tarp_short > 1e-6 else (UNDERLAYMENT, lay_short)


def _wait(walker: Walker, until: float, kind: str) -> None:
    """Wait for permission to cover, with the reason."""
    cause = walker.sky.cause((kind,), walker.now)
    code = cause.code if cause else "unknown"
    if until > walker.now:
        walker.trace.reason(walker.now, code, cause.value if cause else None, cause.limit if cause else None)
        walker.step(StepKind.WAIT, until, reason=code, through_breaks=True)
        walker.here()


def _cover_one_slot(walker: Walker) -> None:
    """Cover as many feet of the first open slot as the allowed stretch permits."""
    index = next(i for i, ft in enumerate(walker.roof.slot_ft) if ft > FEET_SLACK)
    ridge, feet = walker.work.ridges[index], walker.roof.slot_ft[index]
    share = _share_now(walker, TARP, feet * ridge.cover_labor_hours_per_ft)
    _work_through(
        walker,
        StepKind.COVER_RIDGE,
        share * feet * ridge.cover_labor_hours_per_ft,
        edge=ridge.edge_id,
        feet=share * feet,
    )
    walker.roof.slot_ft[index] = feet * (1 - share) if share < 1 else 0.0
    walker.roof.ridge_left_ft[index] += share * feet
    walker.here()


def _put(walker: Walker, left: list[tuple[Cover, float]], kind: str, most: float) -> list[tuple[Cover, float]]:
    """Do as much of the first cover of one kind as the allowed stretch permits; what is left comes back."""
    cover, squares = left[0]
    roof, section = walker.roof, walker.roof.planes[cover.plane].section.section_id
    total = cover.tarped_squares if kind == TARP else cover.laid_squares
    hours = (cover.tarp_labor_hours if kind == TARP else cover.lay_labor_hours) * squares / total
    share = _share_now(walker, kind, hours, most)
    done = squares * share
    step = StepKind.TARP if kind == TARP else StepKind.UNDERLAYMENT
    _work_through(walker, step, hours * share, section=section, squares=done)
    roof.bare[cover.plane] = max(0.0, roof.bare[cover.plane] - done)
    if kind == TARP:
        roof.tarped[cover.plane] += done
    else:
        roof.dried[cover.plane] += done
        if roof.planes[cover.plane].ice > 0:
            walker.trace.reason(walker.now, "ice_barrier_owed")
    if roof.bare[cover.plane] <= AREA_SLACK:
        roof.bare[cover.plane] = 0.0
    walker.here()
    return left[1:] if share >= 1 else [(cover, squares - done), *left[1:]]


def _share_now(walker: Walker, kind: str, labor_hours: float, most: float = float(NEVER)) -> float:
    """Share of some work that the allowed stretch from now on, and `most` minutes, permit (1: all of it)."""
    minutes = walker.shift.minutes_for(labor_hours)
    there = min(walker.sky.allowed_until(kind, walker.now) - walker.now, most)
    return 1.0 if minutes <= there + 1e-9 else there / minutes


def _work_through(
    walker: Walker,
    kind: StepKind,
    labor_hours: float,
    section: int | None = None,
    edge: int | None = None,
    squares: float = 0.0,
    feet: float = 0.0,
) -> None:
    """A closing step that no break interrupts."""
    walker.step(
        kind, walker.now + walker.shift.minutes_for(labor_hours), section, edge, squares, feet, through_breaks=True
    )
