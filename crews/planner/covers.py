"""Which tarp goes where, so that everything open is closed soonest."""

from dataclasses import dataclass

from crews.planner.exposure import Sky
from crews.planner.opening import tie_in_labor_hours
from crews.planner.problem import AREA_SLACK
from crews.planner.slot_rows import NEVER
from crews.planner.walk_state import FEET_SLACK, Walker
from weather.work_hours import Kind

UNDERLAYMENT, TARP = Kind.UNDERLAYMENT.value, Kind.TARP.value


@dataclass(frozen=True, slots=True)
class Cover:
    """How one plane's open deck is closed: so many squares under tarps, the rest under underlayment."""

    plane: int
    tarped_squares: float
    laid_squares: float
    tarp_labor_hours: float
    lay_labor_hours: float


def closing_labor_hours(walker: Walker, plane_index: int, squares: float, with_barrier: bool) -> float:
    """Table labor-hours from open deck to dried-in for some squares of one plane, tie-in included."""
    plane = walker.roof.planes[plane_index]
    per_square = plane.closing + (plane.ice if with_barrier else 0.0)
    return (
        squares * per_square + tie_in_labor_hours(walker, plane_index, squares, already_bare=True)
        if squares > AREA_SLACK
        else 0.0
    )


def slot_labor_hours(walker: Walker) -> float:
    """Table labor-hours for putting the cover back over every open ridge slot."""
    pairs = zip(walker.roof.slot_ft, walker.work.ridges, strict=True)
    return sum(feet * ridge.cover_labor_hours_per_ft for feet, ridge in pairs if feet > FEET_SLACK)


def soonest_covers(walker: Walker) -> list[Cover]:
    """The division of the tarps over the planes that closes everything soonest, whatever the clock.

    Every hand can help at any cover, so the end of closing depends only on the labor-hours of each kind and on the
    slots that allow it; every division that could be the soonest is tried. A tarp covers deck of one plane.
    """
    best: list[Cover] = []
    best_end = float("inf")
    slots = slot_labor_hours(walker)
    for covers in _divisions(walker):
        tarp = sum(c.tarp_labor_hours for c in covers)
        lay = sum(c.lay_labor_hours for c in covers)
        end = soonest_end(walker, tarp + slots, lay)
        if end < best_end - 1e-6:
            best, best_end = covers, end
    return best


def _divisions(walker: Walker) -> list[list[Cover]]:
    """The divisions of the tarps worth looking at: none needs more tarp work and more laying than another."""
    n_tarps = walker.shift.tarps if walker.shift.tarp_squares > 0 else 0
    kept: list[_Division] = [_Division(0, 0.0, 0.0, ())]
    for index, bare in enumerate(walker.roof.bare):
        if bare <= AREA_SLACK:
            continue
        choices = _plane_choices(walker, index, bare, n_tarps)
        kept = _undominated(
            [
                _Division(
                    d.tarps + tarps, d.tarp + cover.tarp_labor_hours, d.lay + cover.lay_labor_hours, (*d.covers, cover)
                )
                for d in kept
                for tarps, cover in choices
                if d.tarps + tarps <= n_tarps
            ]
        )
    return [list(division.covers) for division in kept]


@dataclass(frozen=True, slots=True)
class _Division:
    """Some planes' covers with the tarps they use and the labor-hours of each kind."""

    tarps: int
    tarp: float
    lay: float
    covers: tuple[Cover, ...]


def _undominated(divisions: list[_Division]) -> list[_Division]:
    """Those that no other beats in tarps, tarp work and laying together."""
    kept: list[_Division] = []
    for one in sorted(divisions, key=lambda d: (d.tarps, d.tarp, d.lay)):
        if not any(o.tarps <= one.tarps and o.tarp <= one.tarp and o.lay <= one.lay for o in kept):
            kept.append(one)
    return kept


def _plane_choices(walker: Walker, index: int, bare: float, n_tarps: int) -> list[tuple[int, Cover]]:
    """One plane's covers with 0, 1, ... tarps, up to the number that covers all of it."""
    choices: list[tuple[int, Cover]] = []
    for tarps in range(n_tarps + 1):
        tarped = min(bare, tarps * walker.shift.tarp_squares)
        laid = bare - tarped if bare - tarped > AREA_SLACK else 0.0
        tarp_hours = tarped * walker.policy.tarp_labor_hours_per_square
        lay_hours = closing_labor_hours(walker, index, laid, with_barrier=False)
        choices.append((tarps, Cover(index, bare - laid, laid, tarp_hours, lay_hours)))
        if laid <= 0:
            break
    return choices


def soonest_end(walker: Walker, tarp_labor_hours: float, lay_labor_hours: float) -> float:
    """Earliest minute at which so much tarp work and so much laying can be done, each in the slots that allow it.

    Two kinds of divisible work on one crew: it is done by t exactly when each fits into its own allowed time and both
    together into the time that allows either (Hall's condition).
    """
    sky, now, minutes = walker.sky, walker.now, walker.shift.minutes_for
    tarp, lay = minutes(tarp_labor_hours), minutes(lay_labor_hours)
    both = (TARP, UNDERLAYMENT)
    return max(
        _done_by(sky, now, (TARP,), tarp),
        _done_by(sky, now, (UNDERLAYMENT,), lay),
        _done_by(sky, now, both, tarp + lay),
    )


def _done_by(sky: Sky, now: float, kinds: tuple[str, ...], minutes: float) -> float:
    """When so many minutes have passed in which at least one of the kinds is allowed."""
    while minutes > 1e-9:
        start = min(sky.next_allowed(kind, now) for kind in kinds)
        if start >= NEVER:
            return float(NEVER)
        end = max(sky.allowed_until(kind, start) for kind in kinds)
        if end - start >= minutes:
            return start + minutes
        minutes -= end - start
        now = end
    return now


def minutes_alone(sky: Sky, kind: str, other: str, begin: float, end: float) -> float:
    """Minutes between two moments in which one kind is allowed and the other is not."""
    minutes, at = 0.0, begin
    while at < min(end, sky.end_minute):
        stop = min(end, (at // sky.slot_minutes + 1) * sky.slot_minutes)
        if sky.allowed_until(kind, at) > at and sky.allowed_until(other, at) <= at:
            minutes += stop - at
        at = stop
    return minutes
