"""Whether a plan can be carried out: checked anew from its data, without the solver and without the columns.

It is run after planning and again before publishing, then on the progress, absences, limits, forecast and capacities
of that moment.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

from crews.planner.climatology import typical_day, with_typical
from crews.planner.exposure import Sky
from crews.planner.plan_problem import PlanCrew, PlanJob, Planned, PlanProblem, road_miles, travel_minutes
from crews.planner.problem import CrewDay
from crews.planner.roofday import walked

LATER_SLACK = timedelta(minutes=5)  # a re-walk that ends later than this does not fit the plan any more


@dataclass(frozen=True)
class BrokenRule:
    """One rule that a plan breaks. text: plain English with figures; params: the figures for other words."""

    rule: str
    text: str
    job_id: int | None = None
    crew_id: int | None = None
    day: date | None = None
    used: float | None = None
    limit: float | None = None
    params: dict[str, str | float | None] = field(default_factory=dict)


@dataclass(frozen=True)
class _Case:
    """One assignment with the job, crew and sky that it speaks of."""

    planned: Planned
    job: PlanJob
    crew: PlanCrew
    sky: Sky
    problem: PlanProblem

    def broken(self, rule: str, text: str, day: date | None = None, **figures: float | None) -> BrokenRule:
        """A broken rule of this assignment."""
        used, limit = figures.get("used"), figures.get("limit")
        params: dict[str, str | float | None] = {"job": self.job.name, "crew": self.crew.name, **figures}
        return BrokenRule(rule, text, self.job.job_id, self.crew.crew_id, day, used, limit, params)

    def shift_on(self, day: date) -> CrewDay | None:
        """The crew's shift of a day, make-up days included."""
        shifts = (*self.crew.days, *self.crew.make_up_days)
        return next((s for s in shifts if self.problem.day_of(s.start) == day), None)


def check(problem: PlanProblem, assignments: Sequence[Planned], *, publishing: bool = False) -> list[BrokenRule]:
    """Every rule that the assignments break; an empty list means that the plan can be carried out.

    publishing: jobs that are only pencilled in count as broken, too.
    """
    cases, broken = _cases(problem, assignments)
    for case in cases:
        for rule in (*JOB_RULES, *((_not_ready,) if publishing else ())):
            broken.extend(rule(case))
    broken.extend(_job_twice(cases))
    broken.extend(_crew_overlap(cases))
    broken.extend(_capacities(problem, cases))
    broken.extend(_pins(problem, cases))
    return broken


def _cases(problem: PlanProblem, assignments: Sequence[Planned]) -> tuple[list[_Case], list[BrokenRule]]:
    """Assignments joined with what they name; those that name something unknown are broken at once."""
    jobs = {job.job_id: job for job in problem.jobs}
    crews = {crew.crew_id: crew for crew in problem.crews}
    skies = {key: with_typical(sky) for key, sky in problem.skies.items()}
    cases: list[_Case] = []
    broken: list[BrokenRule] = []
    for planned in assignments:
        job, crew = jobs.get(planned.job_id), crews.get(planned.crew_id)
        if job is None:
            broken.append(BrokenRule("unknown_job", "The plan names a job that is not there.", planned.job_id))
        elif crew is None:
            broken.append(BrokenRule("unknown_crew", f"{job.name} has no crew any more.", job.job_id, planned.crew_id))
        else:
            cases.append(_Case(planned, job, crew, skies[job.sky_id], problem))
    return cases, broken


def _working_days(case: _Case) -> list[BrokenRule]:
    """The crew works on every day that the assignment uses, within its shift."""
    out = []
    for day in case.planned.days:
        shift = case.shift_on(day.day)
        name = case.crew.name
        if shift is None or shift.people <= 0:
            out.append(case.broken("crew_away", f"{name} does not work on {day.day.isoformat()}.", day.day))
        elif day.start < shift.start - LATER_SLACK or day.start >= shift.end:
            out.append(case.broken("outside_shift", f"{name} is not on shift at the planned start.", day.day))
    return out


def _dates(case: _Case) -> list[BrokenRule]:
    """Blocked dates are kept free, and nothing starts before the promised first day."""
    job = case.job
    out = [
        case.broken("blocked_date", f"{job.name}: nobody may come on {day.day.isoformat()}.", day.day)
        for day in case.planned.days
        if day.day in job.blocked_dates
    ]
    first = case.planned.days[0].day if case.planned.days else None
    if first and job.promised_from and first < job.promised_from and not job.work.started:
        text = f"{job.name} starts before {job.promised_from.isoformat()}, its promised first day."
        out.append(case.broken("before_promised", text, first))
    return out


def _fitness(case: _Case) -> list[BrokenRule]:
    """The crew may work this pitch and has every skill that the job needs."""
    job, crew, out = case.job, case.crew, []
    steepest = max(section.pitch_in_12 for section in job.work.sections)
    if steepest > crew.steep_limit_in_12:
        text = f"{crew.name} may work up to {crew.steep_limit_in_12:g}/12; {job.name} is {steepest:g}/12."
        out.append(case.broken("too_steep", text, used=steepest, limit=crew.steep_limit_in_12))
    lacking = sorted(job.skills_needed - crew.skills)
    if lacking:
        out.append(case.broken("skills", f"{crew.name} lacks {', '.join(lacking)} for {job.name}."))
    return out


def _insurance(case: _Case) -> list[BrokenRule]:
    """A subcontract crew is insured on every day it works."""
    crew = case.crew
    if not crew.needs_insurance or not case.planned.days:
        return []
    last = case.planned.days[-1].day
    if crew.insurance_until is None or crew.insurance_until < last:
        until = "has no valid insurance" if crew.insurance_until is None else f"is insured until {crew.insurance_until}"
        return [case.broken("insurance", f"{crew.name} {until}; the work lasts to {last.isoformat()}.", last)]
    return []


def _walk_again(case: _Case) -> list[BrokenRule]:
    """Walked again under this sky, the job ends by its planned finish and never lies open where it must not."""
    planned, job = case.planned, case.job
    days = _days_again(case)
    if not days:
        return [case.broken("crew_away", f"{case.crew.name} has no day left for {job.name}.")]
    policy = case.problem.policy_of(job)
    trace = walked(job.work, days, case.sky, planned.start, policy).trace
    out = []
    if trace.finish is None or case.sky.moment(trace.finish) > planned.finish_p50 + LATER_SLACK:
        out.append(case.broken("takes_longer", f"{job.name} does not end by its planned finish any more."))
    opened_at_start = any(s.bare_squares - s.tarped_squares > 0 for s in job.work.sections) or any(
        ridge.open_ft > 0 for ridge in job.work.ridges
    )
    for number, (begin, end, _, _) in enumerate(trace.exposures):
        if not (number == 0 and opened_at_start) and _forbidden_between(case.sky, begin, end):
            day = case.problem.day_of(case.sky.moment(begin))
            out.append(case.broken("lies_open", f"{job.name} would lie open in a wet or dark hour.", day))
    return out


def _days_again(case: _Case) -> list[CrewDay]:
    """The shifts that the assignment names, as the crew has them now."""
    minutes = travel_minutes(road_miles(case.crew.base, case.job.place))
    found = []
    for day in case.planned.days:
        shift = case.shift_on(day.day)
        if shift is None or shift.people <= 0:
            continue
        shift = _clipped(shift, case)
        if shift.end <= max(day.start, case.planned.start):
            continue
        slowed = typical_day(shift, case.sky)
        start = max(slowed.start, case.planned.start)
        found.append(replace(slowed, start=start, travel_minutes=slowed.travel_minutes + minutes))
    return found


def _clipped(shift: CrewDay, case: _Case) -> CrewDay:
    """A shift within the hours in which noise is allowed at the job."""
    hours = case.job.allowed_hours
    if hours is None:
        return shift
    zone = ZoneInfo(case.problem.zone)
    local = shift.start.astimezone(zone)
    begin = max(local, local.replace(hour=hours[0].hour, minute=hours[0].minute, second=0, microsecond=0))
    end = min(shift.end.astimezone(zone), local.replace(hour=hours[1].hour, minute=hours[1].minute, second=0))
    return replace(shift, start=begin, end=max(end, begin + timedelta(minutes=1)))


def _forbidden_between(sky: Sky, begin: float, end: float) -> bool:
    """Whether any slot of a span is flagged wet or dark, or lies beyond the sky."""
    minute = begin
    while minute < end - 1e-6:
        if sky.flag(sky.wet, minute, outside=True) or sky.flag(sky.dark, minute, outside=True):
            return True
        minute = (minute // sky.slot_minutes + 1) * sky.slot_minutes
    return False


def _not_ready(case: _Case) -> list[BrokenRule]:
    """A job whose checklist is open can be pencilled in, not published."""
    if not case.job.missing:
        return []
    return [case.broken("not_ready", f"{case.job.name} is not ready: {', '.join(case.job.missing)}.")]


JOB_RULES: tuple[Callable[[_Case], list[BrokenRule]], ...] = (
    _working_days,
    _dates,
    _fitness,
    _insurance,
    _walk_again,
)


def _job_twice(cases: Sequence[_Case]) -> list[BrokenRule]:
    """A job stands in a plan once."""
    seen: set[int] = set()
    out = []
    for case in cases:
        if case.job.job_id in seen:
            out.append(case.broken("job_twice", f"{case.job.name} stands in the plan twice."))
        seen.add(case.job.job_id)
    return out


def _crew_overlap(cases: Sequence[_Case]) -> list[BrokenRule]:
    """A crew is on one roof at a time, from one job's start to its finish on each of its days."""
    out = []
    spans = sorted(
        ((day.start, day.end, case.crew.crew_id, case) for case in cases for day in case.planned.days),
        key=lambda span: (span[2], span[0], span[1]),
    )
    for (_, end, crew, before), (start, _, next_crew, case) in pairwise(spans):
        if crew == next_crew and start < end:
            day = case.problem.day_of(start)
            text = f"{case.crew.name} is on {before.job.name} and {case.job.name} at once on {day.isoformat()}."
            out.append(case.broken("crew_overlap", text, day))
    return out


def _capacities(problem: PlanProblem, cases: Sequence[_Case]) -> list[BrokenRule]:
    """Drops and dumpsters of each day stay within what the yard gets."""
    out = []
    starting = [c for c in cases if c.planned.days and not c.job.work.started]
    for day in sorted({c.planned.days[0].day for c in starting}):
        here = [c.job for c in starting if c.planned.days[0].day == day]
        kinds = (
            ("drops", sum(job.roof_drops for job in here), problem.capacity.drops(day)),
            ("dumpsters", sum(job.dumpsters for job in here), problem.capacity.dumpsters(day)),
        )
        for what, used, limit in kinds:
            if used > limit:
                text = f"{used} of {limit} {what} on {day.isoformat()}."
                names = ", ".join(job.name for job in here)
                out.append(
                    BrokenRule(f"{what}_over", text, None, None, day, float(used), float(limit), {"jobs": names})
                )
    return out


def _pins(problem: PlanProblem, cases: Sequence[_Case]) -> list[BrokenRule]:
    """A pinned job that stands in the plan keeps its crew and its first day."""
    out = []
    for pin in problem.pins:
        for case in cases:
            if case.job.job_id != pin.job_id or not case.planned.days:
                continue
            day = case.planned.days[0].day
            if case.crew.crew_id != pin.crew_id or day != pin.day:
                out.append(case.broken("pin_moved", f"{case.job.name} left the crew or day it is pinned to.", day))
    return out
