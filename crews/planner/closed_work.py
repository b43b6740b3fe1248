"""Work that opens nothing for longer than it takes: shingles on dried-in planes, and ridges foot by foot."""

from crews.planner.exposure import RIDGE_SLOT
from crews.planner.opening import margin_minutes
from crews.planner.problem import AREA_SLACK, StepKind
from crews.planner.slot_rows import NEVER
from crews.planner.walk_state import FEET_SLACK, Walker
from jobs.phases import Phase
from weather.work_hours import Kind

LEAST_RIDGE_FT = 4.0  # one rigid vent section [common practice, no source]
LEAST_MINUTES = 1.0


def lay_shingles(walker: Walker, until: float) -> bool:
    """Shingle the first dried-in plane until it is done, its hours end, or `until`; whether anything was done."""
    roof, now = walker.roof, walker.now
    if walker.material.get(Phase.FIELD, now) > now:
        walker.trace.reason(now, "load")
        return False
    end = min(until, walker.sky.allowed_until(Kind.FIELD.value, now), walker.shift.stop_work)
    if end - now < LEAST_MINUTES:
        return False
    for index, dried in enumerate(roof.dried):
        if dried > AREA_SLACK:
            plane = roof.planes[index]
            minutes = walker.shift.minutes_for(dried * plane.field)
            there = walker.shift.work_between(now, end)
            if there < LEAST_MINUTES < minutes:
                return False
            done = dried if minutes <= there else dried * there / minutes
            if walker.trace.areas[-1][0] < now:
                walker.here()
            walker.do(StepKind.FIELD, done * plane.field, plane.section.section_id, squares=done)
            roof.dried[index] = dried - done if dried - done > AREA_SLACK else 0.0
            roof.shingled[index] += done
            walker.here()
            return True
    return False


def work_ridges(walker: Walker, until: float) -> bool:
    """Vent and cap as many feet of the first ready ridge as fit, slot closed again in time; whether any were done."""
    now = walker.now
    for index, feet in enumerate(walker.roof.ridge_left_ft):
        if feet <= FEET_SLACK or not _is_ready(walker, index):
            continue
        if walker.material.get(Phase.RIDGE, now) > now:
            walker.trace.reason(now, "load")
            return False
        fitting = min(feet, _feet_that_fit(walker, index, until))
        if fitting >= min(LEAST_RIDGE_FT, feet) - FEET_SLACK:
            _do_ridge(walker, index, fitting)
            return True
    return False


def _is_ready(walker: Walker, ridge: int) -> bool:
    """Whether the planes at both sides of a ridge are shingled."""
    roof = walker.roof
    return all(
        roof.old[i] + roof.bare[i] + roof.tarped[i] + roof.dried[i] <= AREA_SLACK for i in roof.ridge_sides[ridge]
    )


def _feet_that_fit(walker: Walker, index: int, until: float) -> float:
    """Feet of one ridge that get vent and caps before anything forbids the open slot, reserve and margin kept."""
    ridge, shift, policy, sky, now = walker.work.ridges[index], walker.shift, walker.policy, walker.sky, walker.now
    hours_per_ft = ridge.labor_hours_per_ft
    if not ridge.vented:
        end = min(until, sky.allowed_until(Kind.RIDGE.value, now), shift.stop_work)
        return _feet(shift.work_between(now, end), shift.minutes_for(hours_per_ft))
    if policy.held:
        return 0.0
    by_sky = min(sky.allowed_until(RIDGE_SLOT, now), sky.dry_until(now, policy.rain_threshold))
    per_ft = shift.minutes_for(hours_per_ft, policy.labor_reserve)
    cover_per_ft = shift.minutes_for(ridge.cover_labor_hours_per_ft, policy.labor_reserve)
    least = margin_minutes(0.0, policy)
    there = shift.work_between(now, by_sky)
    fits = [
        _feet(there - least, per_ft),
        _feet(there, per_ft + policy.rain_margin_closing_share * cover_per_ft),
        _feet(shift.work_between(now, shift.close_by), per_ft),
        _feet(policy.ridge_slot_minutes, per_ft),
    ]
    return min(fits)


def _feet(minutes: float, minutes_per_ft: float) -> float:
    """Feet done in some minutes; work that takes no time is never the bound."""
    if minutes <= 0:
        return 0.0
    return minutes / minutes_per_ft if minutes_per_ft > 0 else float(NEVER)


def _do_ridge(walker: Walker, index: int, feet: float) -> None:
    """Open (where vented), vent and cap some feet of a ridge."""
    roof, ridge = walker.roof, walker.work.ridges[index]
    walker.here()
    left = roof.ridge_left_ft[index] - feet
    if ridge.vented:
        roof.slot_ft[index] = feet
        walker.here()
    walker.do(StepKind.RIDGE, feet * ridge.labor_hours_per_ft, edge=ridge.edge_id, feet=feet)
    roof.slot_ft[index] = 0.0
    roof.ridge_left_ft[index] = left if left > FEET_SLACK else 0.0
    walker.here()


def next_closed_work(walker: Walker) -> float:
    """The next minute at which shingles or a ridge may become possible; NEVER when nothing closed is left to do."""
    sky, now, soon = walker.sky, walker.now, float(NEVER)
    if sum(walker.roof.dried) > AREA_SLACK:
        there = max(now, walker.material.get(Phase.FIELD, now))
        soon = min(soon, _after(sky.next_allowed(Kind.FIELD.value, there), now))
    ready = [i for i, ft in enumerate(walker.roof.ridge_left_ft) if ft > FEET_SLACK and _is_ready(walker, i)]
    for index in ready:
        name = RIDGE_SLOT if walker.work.ridges[index].vented else Kind.RIDGE.value
        there = max(now, walker.material.get(Phase.RIDGE, now))
        # A slot that does not fit now is asked for again at the next hour, when the chance of rain may be lower.
        next_hour = (now // 60 + 1) * 60.0
        soon = min(soon, max(_after(sky.next_allowed(name, there), now), next_hour if there <= now else there))
    return soon


def _after(minute: float, now: float) -> float:
    """A moment that lies ahead: the next quarter hour where it would be now."""
    return minute if minute > now else (now // 15 + 1) * 15.0
