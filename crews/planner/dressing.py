"""A finished walk as a Run: moments instead of minutes, both limits, the stop line, and by when all is dried in."""

from datetime import datetime

from crews.planner.exposure import OPENING_WITH_BARRIER, Cause, Sky
from crews.planner.problem import Exposure, RoofAreas, Run, Step
from crews.planner.walk_state import Opened, RawAreas, RawStep, Walker

QUARTER, HOUR = 15.0, 60
LOOK_AHEAD_HOURS = 4
NO_EXPOSURE = 0.0
CERTAIN = 1.0  # an exposure under an unknown sky

Reason = tuple[datetime, str, float | None, float | None]


def dressed(walker: Walker, start: datetime) -> Run:
    """The Run of one walk."""
    trace, sky, roof = walker.trace, walker.sky, walker.roof
    dry_in_by, cause = dry_in_minute(walker)
    window = first_window(walker)
    exposures = tuple(
        Exposure(sky.moment(a), sky.moment(b), peak, feet, sky.chance(a, b)) for a, b, peak, feet in trace.exposures
    )
    stop = window[-1] if window else None
    return Run(
        steps=_steps(trace.steps, sky),
        areas=_areas(trace.areas, sky),
        exposures=exposures,
        bare_at_once_squares=bare_at_once(walker),
        in_all_today_squares=in_all_today(walker),
        stop_section_id=None if stop is None else roof.planes[stop.plane].section.section_id,
        stop_squares_into_section=0.0 if stop is None else _into_section(walker, stop.plane),
        opened_section_ids=tuple(
            dict.fromkeys(roof.planes[i].section.section_id for i in (strip.plane for strip in window))
        ),
        dry_in_by=None if dry_in_by is None else sky.moment(dry_in_by),
        p_wet=p_wet(walker),
        finish=None if trace.finish is None else sky.moment(trace.finish),
        labor_hours=trace.worked_minutes_people / 60.0,
        idle_labor_hours=trace.idle_minutes_people / 60.0,
        nights_open=trace.nights_open,
        remaining_open_squares=roof.uncovered(),
        reasons=tuple(
            (sky.moment(m), code, value, limit) for m, code, value, limit in sorted(trace.reasons, key=_when)
        ),
        dry_in_cause=cause,
        closes_in_time=not walker.late,
    )


def _when(reason: tuple[float, str, float | None, float | None]) -> float:
    """Sort key of a reason."""
    return reason[0]


def first_window(walker: Walker) -> list[Opened]:
    """The strips of the first day that lie open before the first dry-in moment; what opens after it is another window.

    Both limits speak of this window alone: squares that may be opened after the next rain would mislead a crew now.
    """
    first_day = [strip for strip in walker.trace.opened if strip.torn_from < walker.first_day_end]
    window: list[Opened] = []
    limit = (
        walker.first_close.latest_close
        if walker.first_close and walker.first_close.torn_from < walker.first_day_end
        else None
    )
    for strip in first_day:
        if limit is not None and strip.torn_from >= limit:
            break
        window.append(strip)
        limit = strip.latest_close if limit is None else max(limit, strip.latest_close)
    return window


def bare_at_once(walker: Walker) -> float:
    """First limit: the most squares that lie uncovered at one time in the first window (what lies so now included)."""
    start = walker.trace.areas[0][2]
    return max([start, *(_strip_squares(walker, strip) for strip in first_window(walker))])


def _strip_squares(walker: Walker, strip: Opened) -> float:
    """Most deck that lay uncovered between a strip's tear-off and its last tie-in."""
    return max((a[2] for a in walker.trace.areas if strip.torn_from <= a[0] <= strip.closed), default=0.0)


def in_all_today(walker: Walker) -> float:
    """Second limit: squares torn off today by the end of the first window, what was open at the start included."""
    before = max(walker.work.opened_today_squares, sum(s.bare_squares for s in walker.work.sections))
    return before + sum(strip.new_squares for strip in first_window(walker))


def _into_section(walker: Walker, plane: int) -> float:
    """Squares of one plane that are no longer old at the end of the first window."""
    section = walker.roof.planes[plane].section
    torn = sum(strip.new_squares for strip in first_window(walker) if strip.plane == plane)
    return section.squares - section.old_squares + torn


def dry_in_minute(walker: Walker) -> tuple[float | None, Reason | None]:
    """Latest minute by which everything bare must be dried in today, and what it waits for.

    It is the bound of the last strip of the first window (or of what lay open at the start): the flagged hour less the
    margin, or the shift's end less its margin. Rounded down to a quarter of an hour unless the walk needs the minutes.
    """
    window = first_window(walker)
    bounds = [b for b in (walker.first_close, *window) if b is not None and b.torn_from < walker.first_day_end]
    if not bounds:
        return None, None
    last = max(bounds, key=lambda b: b.latest_close)
    needed = max((b.closed for b in bounds if b is not walker.first_close or not walker.late), default=0.0)
    quarter = last.latest_close // QUARTER * QUARTER
    minute = quarter if quarter >= max(needed, bounds[0].torn_from) else last.latest_close
    return minute, _cause_of(walker, last)


def _cause_of(walker: Walker, bound: Opened) -> Reason:
    """What comes after the dry-in moment: the shift's end, a flagged hour, or the chance of rain in the window."""
    sky, policy = walker.sky, walker.policy
    if bound.by_shift:
        return sky.moment(walker.first_day_end), "shift_end", None, None
    if bound.by_chance:
        return _rain_ahead(sky, bound, policy.rain_threshold)
    cause = sky.cause(OPENING_WITH_BARRIER, bound.sky_bound) or Cause("unknown")
    return sky.moment(bound.sky_bound), cause.code, cause.value, cause.limit


def _rain_ahead(sky: Sky, bound: Opened, threshold: float) -> Reason:
    """The flagged hour that the chance of rain climbs to, or the chance in the window itself where none is near."""
    first = int(bound.sky_bound // HOUR)
    for hour in range(first, min(first + LOOK_AHEAD_HOURS, len(sky.pop))):
        if sky.flag(sky.wet, hour * HOUR, outside=True):
            return sky.moment(hour * HOUR), "rain", sky.pop[hour], threshold
    chance = sky.chance(bound.torn_from, (first + 1) * HOUR)
    return sky.moment(bound.sky_bound), "rain" if chance is not None else "unknown", chance, threshold


def p_wet(walker: Walker) -> float:
    """Chance that rain falls on anything open in the whole walk; an exposure under an unknown sky counts as certain."""
    sky = walker.sky
    chances = [sky.chance(begin, end) for begin, end, _, _ in walker.trace.exposures]
    known = [CERTAIN if p is None else p for p in chances]
    if not known:
        return NO_EXPOSURE
    highest, dry = max(known), 1.0
    for p in known:
        dry *= 1.0 - p
    return highest + sky.theta * (1.0 - dry - highest)


def _steps(raw: list[RawStep], sky: Sky) -> tuple[Step, ...]:
    """Steps with moments instead of minutes."""
    return tuple(Step(k, sky.moment(a), sky.moment(b), h, s, e, q, f, r) for k, a, b, h, s, e, q, f, r in raw)


def _areas(raw: list[RawAreas], sky: Sky) -> tuple[RoofAreas, ...]:
    """Areas with moments instead of minutes."""
    return tuple(RoofAreas(sky.moment(t), *rest) for t, *rest in raw)
