"""One roof's verdict for the rest of a day: walk it, then read the verdict off the walk."""

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from crews.planner.exposure import Sky
from crews.planner.problem import CrewDay, Policy, RoofAreas, RoofWork, Run
from crews.planner.roofday import walk
from crews.planner.verdict import Band, Because, DayVerdict, Word, verdict_of
from crews.verdict.ruling import capped, closed_from, rounded
from weather.limits import Limits

NOBODY = "people"
NOT_DECIDED = "not_decided"
UNKNOWN = "unknown"
DANGERS = ("thunder", "gust", "wind")  # what takes people off a roof even while it lies open


@dataclass(frozen=True)
class DayInputs:
    """What one roof's day depends on. crew_day None: nobody works on it (any more) today."""

    work: RoofWork
    crew_day: CrewDay | None
    sky: Sky
    policy: Policy
    now: datetime
    axis_start: datetime
    axis_end: datetime
    valid_until: datetime | None


@dataclass(frozen=True)
class Moments:
    """When a verdict is computed, and the hours that its bands cover."""

    now: datetime
    axis_start: datetime
    axis_end: datetime


@dataclass(frozen=True)
class DayResult:
    """A verdict with the run it was read off."""

    verdict: DayVerdict
    run: Run


def policy_of(
    limits: Limits, *, held: bool = False, own_limit: float | None = None, own_at_once: float | None = None
) -> Policy:
    """What the limits in force allow, tightened by what the office set for this roof and day [squares]."""
    at_once = limits.bare_at_once_squares if own_at_once is None else min(own_at_once, limits.bare_at_once_squares)
    return Policy(
        rain_open_chance=limits.rain_open_chance,
        rain_manager_cap=limits.rain_manager_cap,
        rain_margin_min_minutes=limits.rain_margin_min_minutes,
        rain_margin_closing_share=limits.rain_margin_closing_share,
        labor_reserve=limits.labor_reserve,
        bare_at_once_squares=at_once,
        strip_min_ft=limits.strip_min_ft,
        tie_in_labor_hours_per_ft=limits.tie_in_labor_hours_per_ft,
        shift_end_margin_minutes=limits.shift_end_margin_minutes,
        tarp_labor_hours_per_square=limits.tarp_labor_hours_per_square,
        own_limit_squares=own_limit,
        held=held,
    )


def judge_day(inputs: DayInputs) -> DayResult:
    """The verdict of one roof from `now` to the end of its working day."""
    run = _run(inputs)
    verdict = verdict_of(
        run,
        inputs.sky,
        inputs.work,
        inputs.now,
        crew_day=_hours_left(inputs),
        valid_until=inputs.valid_until,
        bands_from=inputs.axis_start,
        bands_until=inputs.axis_end,
    )
    return DayResult(rounded(verdict), run)


def judge_within(inputs: DayInputs, limits_in_force: DayVerdict) -> Run:
    """The run that stays within limits that hold already: what the crew is to do until somebody accepts more."""
    sky = closed_from(inputs.sky, limits_in_force.dry_in_by)
    return _run(replace(inputs, sky=sky, policy=capped(inputs.policy, limits_in_force)))


def keep_closed(result: DayResult, code: str) -> DayVerdict:
    """The verdict of a roof that somebody must decide on before anything is opened."""
    verdict = result.verdict
    if verdict.verdict is not Word.TEAR_OFF:
        return verdict
    bands = tuple(
        replace(band, kind=Word.NO_TEAR_OFF, code=code) if band.kind is Word.TEAR_OFF else band
        for band in verdict.bands
    )
    return replace(
        verdict,
        verdict=Word.NO_TEAR_OFF,
        bare_at_once_squares=verdict.bare_now_squares,
        in_all_today_squares=verdict.bare_now_squares,
        stop_line=None,
        because=Because(code),
        bands=bands,
    )


def expired(verdict: DayVerdict, now: datetime) -> bool:
    """Whether a verdict that opens has outlived its forecast: nobody confirmed the sky since."""
    return verdict.verdict is Word.TEAR_OFF and (verdict.valid_until is None or verdict.valid_until <= now)


def as_unknown(verdict: DayVerdict, now: datetime) -> DayVerdict:
    """The verdict with nothing to open any more; its dry-in moment stands, and the hours that are over stay as told."""
    bands = tuple(piece for band in verdict.bands for piece in _unknown_from(band, now))
    return replace(_not_opening(verdict, Word.UNKNOWN, Because(UNKNOWN)), bands=bands)


def as_of_hour(verdict: DayVerdict, now: datetime) -> DayVerdict:
    """The verdict as its hour reads, by the bands it was told with; nobody need compute anything for that.

    Through hours off the roof it says 'stay off', whatever comes later; where deck lies bare, only danger to people
    says so, because rain or a wet roof sends nobody away from covering it. Once the last hour for tear-off is over it
    says so, even if no report came and no watch ran. The stored limits are shown again when their hours come.
    """
    off = next((b for b in verdict.bands if b.kind is Word.STAY_OFF and b.start <= now < b.end), None)
    lies_open = verdict.bare_now_squares > 0 or verdict.must_close
    if off is not None and off.code != "dark" and (off.code in DANGERS or not lies_open):
        if verdict.verdict is Word.STAY_OFF:
            return verdict
        told = [reason for reason in verdict.reasons if reason[1] == off.code and off.start <= reason[0] < off.end]
        hour, code, value, limit = told[0] if told else (off.start, off.code, None, None)
        return _not_opening(verdict, Word.STAY_OFF, Because(code, value, limit, hour))
    tear_off_ends = [band.end for band in verdict.bands if band.kind is Word.TEAR_OFF]
    if verdict.verdict is Word.TEAR_OFF and tear_off_ends and now >= max(tear_off_ends):
        return _not_opening(verdict, Word.NO_TEAR_OFF, verdict.because)
    return verdict


def _not_opening(verdict: DayVerdict, word: Word, because: Because) -> DayVerdict:
    """The verdict with nothing more to open; its dry-in moment stands."""
    return replace(
        verdict,
        verdict=word,
        bare_at_once_squares=verdict.bare_now_squares,
        in_all_today_squares=min(verdict.in_all_today_squares, verdict.bare_now_squares),
        stop_line=None,
        because=because,
    )


def _unknown_from(band: Band, now: datetime) -> tuple[Band, ...]:
    """A band up to the present hour as it was; from it on unknown where it would have let anything be opened."""
    cut = min(max(band.start, now.replace(minute=0, second=0, microsecond=0)), band.end)
    if band.kind not in (Word.TEAR_OFF, Word.NO_TEAR_OFF) or cut >= band.end:
        return (band,)
    later = replace(band, start=cut, kind=Word.UNKNOWN, code=UNKNOWN)
    return (replace(band, end=cut), later) if cut > band.start else (later,)


def unreadable(dry_in_by: datetime | None, bare_squares: float, open_ridge_ft: float, moments: Moments) -> DayResult:
    """The verdict of a roof whose data cannot be read: unknown, keep it closed.

    dry_in_by: of what was in force; it stands. bare_squares, open_ridge_ft: what is stored as lying open, tarps not
    counted off.
    """
    now, first, last = moments.now, moments.axis_start, moments.axis_end
    areas = RoofAreas(now, 0.0, bare_squares, 0.0, 0.0, 0.0, open_ridge_ft)
    lies_open = bare_squares > 0 or open_ridge_ft > 0
    run = Run(
        steps=(),
        areas=(areas, replace(areas, at=max(last, now + timedelta(minutes=1)))),
        exposures=(),
        bare_at_once_squares=bare_squares,
        in_all_today_squares=bare_squares,
        stop_section_id=None,
        stop_squares_into_section=0.0,
        opened_section_ids=(),
        dry_in_by=None,
        p_wet=1.0 if lies_open else 0.0,
        finish=None,
        labor_hours=0.0,
        idle_labor_hours=0.0,
        nights_open=0,
        remaining_open_squares=bare_squares,
        closes_in_time=not lies_open,
    )
    verdict = DayVerdict(
        verdict=Word.UNKNOWN,
        bare_at_once_squares=bare_squares,
        in_all_today_squares=bare_squares,
        stop_line=None,
        dry_in_by=dry_in_by,
        valid_until=None,
        p_wet=run.p_wet,
        because=Because(UNKNOWN),
        bands=(Band(first, last, Word.UNKNOWN, UNKNOWN),),
        bare_now_squares=bare_squares,
        must_close=lies_open,
    )
    return DayResult(verdict, run)


def _hours_left(inputs: DayInputs) -> CrewDay | None:
    day = inputs.crew_day
    return day if day is not None and day.end > inputs.now else None


def _run(inputs: DayInputs) -> Run:
    day = _hours_left(inputs)
    if day is None:
        return _idle(inputs)
    return walk(inputs.work, (day,), inputs.sky, inputs.now, inputs.policy)


def _idle(inputs: DayInputs) -> Run:
    """The run of a roof on which nobody works: everything stays as it is, and what is bare stays exposed."""
    sections = inputs.work.sections
    tarped = sum(s.tarped_squares for s in sections)
    bare = sum(s.bare_squares for s in sections) - tarped
    slot_ft = sum(ridge.open_ft for ridge in inputs.work.ridges)
    areas = RoofAreas(
        inputs.now,
        sum(s.old_squares for s in sections),
        bare,
        tarped,
        sum(s.dried_in_squares for s in sections),
        sum(s.shingled_squares for s in sections),
        slot_ft,
    )
    opened = max(inputs.work.opened_today_squares, bare + tarped)
    return Run(
        steps=(),
        areas=(areas, replace(areas, at=max(inputs.axis_end, inputs.now + timedelta(minutes=1)))),
        exposures=(),
        bare_at_once_squares=bare,
        in_all_today_squares=opened,
        stop_section_id=None,
        stop_squares_into_section=0.0,
        opened_section_ids=(),
        dry_in_by=None,
        p_wet=1.0 if bare > 0 or slot_ft > 0 else 0.0,
        finish=None,
        labor_hours=0.0,
        idle_labor_hours=0.0,
        nights_open=0,
        remaining_open_squares=bare,
        reasons=((inputs.now, NOBODY, 0.0, None),),
        closes_in_time=not (bare > 0 or slot_ft > 0),
    )


def valid_until(checked_at: datetime | None, issued_at: datetime | None, limits: Limits) -> datetime | None:
    """Until when a verdict may open a roof: until its forecast counts as unknown; None where there is none."""
    if checked_at is None or issued_at is None:
        return None
    return min(
        checked_at + timedelta(hours=limits.forecast_checked_today_h),
        issued_at + timedelta(hours=limits.forecast_issued_h),
    )
