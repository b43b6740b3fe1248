"""The opening test: whether a strip of a plane may be opened now, how large, and if not, why and when to ask again."""

from dataclasses import dataclass

from crews.planner.exposure import OPEN, OPEN_BARRIER, OPENING_KINDS, OPENING_WITH_BARRIER, Cause, Sky
from crews.planner.problem import AREA_SLACK, Policy
from crews.planner.slot_rows import NEVER
from crews.planner.strips import Plane, strip_squares
from crews.planner.walk_state import Refusal, Walker
from jobs.phases import OPENING_PHASES

HOUR_MINUTES = 60.0


@dataclass(frozen=True, slots=True)
class Opening:
    """A strip that may be opened now. Times are minutes of the sky; hours are table labor-hours of the strip."""

    plane: int
    squares: float
    tear: float
    deck: float
    ice: float
    underlayment: float
    tie_in: float
    closing_detail: float
    close_not_before: float  # an inspector must have seen the deck
    latest_close: float  # everything bare must be dried in by then
    sky_bound: float
    by_chance: bool
    by_shift: bool
    from_tarp: bool  # deck that lies under a tarp is dried in, nothing new is torn off


@dataclass(frozen=True, slots=True)
class Bounds:
    """How late a strip may be closed: by the sky (rain margin to be taken off) and by the shift."""

    sky: float
    shift: float
    by_chance: bool


@dataclass(frozen=True, slots=True)
class Source:
    """What a strip is taken from: squares there, labor-hours per square to bare them, and the least strip."""

    squares: float
    tear: float
    least: float
    from_tarp: bool


def source_of(walker: Walker, plane_index: int) -> Source:
    """Deck under a tarp first, a whole plane's worth at any size; else the old roof."""
    tarped, plane = walker.roof.tarped[plane_index], walker.roof.planes[plane_index]
    if tarped > AREA_SLACK:
        return Source(tarped, walker.policy.tarp_labor_hours_per_square, 0.0, from_tarp=True)
    old = walker.roof.old[plane_index]
    return Source(old, plane.tear, min(plane.least_squares, walker.policy.bare_at_once_squares, old), from_tarp=False)


def margin_minutes(closing_minutes: float, policy: Policy) -> float:
    """Rain margin for work that takes so long to close [minutes]."""
    return max(policy.rain_margin_min_minutes, policy.rain_margin_closing_share * closing_minutes)


def whole_roof_refusal(walker: Walker) -> Refusal | None:
    """What forbids opening anything on this roof now, whatever the plane."""
    now, policy = walker.now, walker.policy
    if policy.held:
        return Refusal("held", now, NEVER)
    if walker.nothing_more_opens:
        return Refusal("closing_late", now, NEVER)
    if walker.wet_deck and walker.in_first_day:
        return Refusal("wet_deck", now, NEVER)
    if own_limit_left(walker) <= AREA_SLACK:
        return Refusal("own_limit", now, NEVER, opened_today(walker), policy.own_limit_squares)
    for phase in OPENING_PHASES:
        there = walker.material.get(phase, now)
        if there > now:
            return Refusal("load", now, there)
    return None


def opened_today(walker: Walker) -> float:
    """Squares torn off today so far, or bare at the walk's start if that was more."""
    before = max(walker.work.opened_today_squares, sum(s.bare_squares for s in walker.work.sections))
    return before + sum(strip.new_squares for strip in walker.trace.opened)


def own_limit_left(walker: Walker) -> float:
    """Squares that the office's own limit still lets open today."""
    limit = walker.policy.own_limit_squares
    return float(NEVER) if limit is None or not walker.in_first_day else limit - opened_today(walker)


def test_opening(walker: Walker, plane_index: int) -> Opening | Refusal:
    """The largest strip of one plane that may be opened now, or why none may.

    Tear-off, deck, drip edge, ice barrier, underlayment and tie-in must end, with the labor reserve, before the sky or
    the shift forbids it; every one of these and the cover must be allowed in every slot until then and through the
    margin; and the chance of rain in the whole open window plus the margin must stay below the threshold.
    """
    roof, sky, now = walker.roof, walker.sky, walker.now
    plane = roof.planes[plane_index]
    hold = _hold(walker, plane_index)
    if isinstance(hold, Refusal):
        return hold
    name, kinds = (OPEN_BARRIER, OPENING_WITH_BARRIER) if plane.ice > 0 else (OPEN, OPENING_KINDS)
    allowed = sky.allowed_until(name, now)
    if allowed <= now:
        return _refused_by_sky(sky, kinds, now, sky.next_allowed(name, now))
    dry = sky.dry_until(now, walker.policy.rain_threshold)
    bounds = Bounds(sky=min(allowed, dry), shift=walker.shift.close_by, by_chance=dry < allowed)
    source = source_of(walker, plane_index)
    squares = _squares_within(walker, plane_index, source, bounds, hold)
    if squares <= AREA_SLACK:
        return _too_short(walker, kinds, name, bounds, allowed)
    opening = _opening(walker, plane_index, source, squares, bounds, hold)
    early = walker.roof.work.sections[plane_index].deck_hold_from
    if hold and early is not None:
        ready = walker.shift.end_of(
            now, walker.shift.minutes_for(opening.tear + opening.deck, walker.policy.labor_reserve)
        )
        if ready < sky.minute(early) - 1.0:
            return Refusal("inspection", now, now + sky.minute(early) - ready)
    return opening


def _hold(walker: Walker, plane_index: int) -> float | Refusal:
    """Minute before which the strip may not be closed because its deck must be seen (0: no hold), or a refusal."""
    section = walker.work.sections[plane_index]
    if walker.roof.seen[plane_index] or not (section.deck_hold or section.deck_hold_from):
        return 0.0
    if section.deck_hold_from is None or section.deck_hold_until is None:
        return Refusal("inspection", walker.now, NEVER)
    if walker.sky.minute(section.deck_hold_from) <= walker.now:
        return Refusal("inspection", walker.now, NEVER)  # too late to have a deck ready for this visit
    return walker.sky.minute(section.deck_hold_until)


def tie_in_labor_hours(walker: Walker, plane_index: int, squares: float, already_bare: bool = False) -> float:
    """Sealing a strip to what is still old: its far side, and its top where the plane across the ridge is old."""
    roof, plane = walker.roof, walker.roof.planes[plane_index]
    old_left = roof.old[plane_index] - (0.0 if already_bare else squares)
    side = plane.side_tie_in_labor_hours if old_left > AREA_SLACK else 0.0
    return side + _top_per_square(walker, plane) * squares


def _top_per_square(walker: Walker, plane: Plane) -> float:
    """Labor-hours per square for lapping a strip's top over a ridge whose other side is still old."""
    if not any(walker.roof.old[i] > AREA_SLACK for i in plane.across):
        return 0.0
    return walker.policy.tie_in_labor_hours_per_ft / plane.swath_squares_per_ft


def _squares_within(walker: Walker, plane_index: int, source: Source, bounds: Bounds, hold: float) -> float:
    """Squares of the largest strip that ends in time: all there is first (no side to seal), else an even swath."""
    plane, there = walker.roof.planes[plane_index], source.squares
    cap = walker.policy.bare_at_once_squares - walker.roof.uncovered()
    if not source.from_tarp:
        cap = min(cap, own_limit_left(walker))
    if there <= cap and there <= _fitting(walker, plane, source.tear, 0.0, bounds, hold) + 1e-9:
        return there
    fitting = min(cap, _fitting(walker, plane, source.tear, plane.side_tie_in_labor_hours, bounds, hold), there)
    if fitting < source.least - 1e-9 or fitting <= AREA_SLACK:
        return 0.0
    return min(strip_squares(there, source.least, fitting), fitting)


def _fitting(walker: Walker, plane: Plane, tear: float, side: float, bounds: Bounds, hold: float) -> float:
    """Squares for which tear-off to tie-in fit into the time there is, `side` labor-hours of tie-in included."""
    shift, policy, now = walker.shift, walker.policy, walker.now
    closing = plane.closing + plane.ice + _top_per_square(walker, plane)
    per_square = max(tear + closing, 1e-9)
    minutes_per_hour = HOUR_MINUTES / (shift.hands * policy.labor_reserve)
    to_sky = shift.work_between(now, bounds.sky) / minutes_per_hour
    to_shift = shift.work_between(now, bounds.shift) / minutes_per_hour
    least_margin = policy.rain_margin_min_minutes / minutes_per_hour
    share = policy.rain_margin_closing_share
    fits = [
        (to_shift - side) / per_square,
        (to_sky - least_margin - side) / per_square,
        (to_sky - (1 + share) * side) / (per_square + share * closing),
    ]
    if hold:
        from_visit = min(
            shift.work_between(hold, bounds.sky) / minutes_per_hour - least_margin,
            shift.work_between(hold, bounds.shift) / minutes_per_hour,
        )
        after = closing - plane.deck
        fits.append((from_visit - side) / max(after, 1e-9))
        fits.append(
            (shift.work_between(hold, bounds.sky) / minutes_per_hour - side * (1 + share))
            / max(after + share * closing, 1e-9)
        )
    return max(0.0, min(fits))


def _opening(walker: Walker, plane_index: int, source: Source, squares: float, bounds: Bounds, hold: float) -> Opening:
    """The strip with its hours and the latest moment for its closing."""
    plane = walker.roof.planes[plane_index]
    tie_in = tie_in_labor_hours(walker, plane_index, squares, source.from_tarp)
    closing = squares * (plane.closing + plane.ice) + tie_in
    margin = margin_minutes(walker.shift.minutes_for(closing, walker.policy.labor_reserve), walker.policy)
    return Opening(
        plane=plane_index,
        squares=squares,
        tear=squares * source.tear,
        deck=squares * plane.deck,
        ice=squares * plane.ice,
        underlayment=squares * plane.underlayment,
        tie_in=tie_in,
        closing_detail=squares * plane.closing_detail,
        close_not_before=hold,
        latest_close=min(bounds.sky - margin, bounds.shift),
        sky_bound=bounds.sky,
        by_chance=bounds.by_chance,
        by_shift=bounds.shift < bounds.sky - margin,
        from_tarp=source.from_tarp,
    )


def _refused_by_sky(sky: Sky, kinds: tuple[str, ...], at: float, retry: float) -> Refusal:
    """A refusal with the sky's own reason for the hour of a minute."""
    cause = sky.cause(kinds, at) or Cause("unknown")
    return Refusal(cause.code, at, retry, cause.value, cause.limit)


def _too_short(walker: Walker, kinds: tuple[str, ...], name: str, bounds: Bounds, allowed: float) -> Refusal:
    """Why the time is too short: the shift, the chance of rain in the window, or what the sky forbids later."""
    sky, now = walker.sky, walker.now
    if bounds.shift - now < bounds.sky - walker.policy.rain_margin_min_minutes - now:
        return Refusal("shift_end", bounds.shift, NEVER)
    if bounds.sky < allowed:
        at = max(bounds.sky, now)
        hour = int(at // HOUR_MINUTES)
        chance = sky.pop[hour] if hour < len(sky.pop) else None
        next_hour = (now // HOUR_MINUTES + 1) * HOUR_MINUTES
        return Refusal("rain" if chance is not None else "unknown", at, next_hour, chance, walker.policy.rain_threshold)
    return _refused_by_sky(sky, kinds, allowed, sky.next_allowed(name, allowed))


def retry_of(refusals: list[Refusal]) -> float:
    """The earliest minute at which any refused plane is worth asking for again."""
    return min((r.retry for r in refusals), default=float(NEVER))
