"""A chosen column walked out in full: what each day does, and when it is likely and safely finished."""

from dataclasses import replace
from datetime import date, datetime, timedelta

from crews.planner.climatology import is_typical
from crews.planner.columns import Column
from crews.planner.cost import late_days
from crews.planner.crew_calendar import Calendar, Calendars
from crews.planner.exposure import Sky
from crews.planner.finish_range import finish_p90
from crews.planner.plan_problem import Planned, PlannedDay, Said
from crews.planner.problem import CrewDay, StepKind
from crews.planner.roofday import walked
from crews.planner.walk_state import DARK, RawStep

UNFINISHED_DAYS = 1  # added where the slow walk does not end within the crew's days


def days_from(calendar: Calendar, start: datetime) -> list[CrewDay]:
    """The crew days of an assignment: from its start on, as its column had them."""
    index = next((i for i, day in enumerate(calendar.days) if day.end > start), len(calendar.days))
    if index == len(calendar.days):
        return []
    first = calendar.days[index]
    return calendar.from_start(index, replace(first, start=max(first.start, start)))


def planned(calendars: Calendars, column: Column, reasons: tuple[Said, ...]) -> Planned:
    """The assignment of one column.

    Raises ValueError when the column does not walk out as it was priced (the question changed in between).
    """
    problem = calendars.problem
    job = next(j for j in problem.jobs if j.job_id == column.job_id)
    crew = next(c for c in problem.crews if c.crew_id == column.crew_id)
    sky, policy = calendars.skies[job.sky_id], problem.policy_of(job)
    days = days_from(calendars.of(job, crew, column.make_up), column.start)
    walker = walked(job.work, days, sky, column.start, policy)
    if walker.trace.finish is None or sky.moment(walker.trace.finish) != column.finish:
        raise ValueError("A column does not walk out as it was priced.")
    late = finish_p90(job.work, days, sky, column.start, policy, column.finish)
    extra = timedelta(days=UNFINISHED_DAYS)
    overtime = {problem.day_of(day.start) for day in crew.make_up_days} if column.make_up else set()
    used = [day for day in days if day.start < column.finish]
    groups = _by_shift(walker.trace.steps, [sky.minute(day.start) for day in used])
    outcome = tuple(
        _day(problem.day_of(day.start), day, steps, sky, overtime) for day, steps in zip(used, groups, strict=True)
    )
    return Planned(
        job_id=job.job_id,
        crew_id=crew.crew_id,
        start=column.start,
        finish_p50=column.finish,
        finish_p90=late if late is not None else days[-1].end + extra,
        days=outcome,
        cost={term: float(usd) for term, usd in column.cost.items()},
        value_usd=float(column.value_usd),
        pinned=any(pin.job_id == job.job_id for pin in problem.pins),
        pencilled=job.pencilled,
        p_wet=column.p_wet,
        late_days=late_days(job, column.last_day),
        travel_miles=column.miles,
        idle_labor_hours=column.idle_labor_hours,
        typical=column.typical,
        half_days=tuple((day, half) for _, day, half in column.half_days),
        reasons=reasons,
    )


def _by_shift(steps: list[RawStep], begins: list[float]) -> list[list[RawStep]]:
    """The steps of each shift: those that begin before the next one does (closing may run on past a shift's end)."""
    groups: list[list[RawStep]] = [[] for _ in begins]
    for step in steps:
        groups[max(0, sum(1 for begin in begins if begin <= step[1]) - 1)].append(step)
    return groups


def _day(on: date, day: CrewDay, steps: list[RawStep], sky: Sky, overtime: set[date]) -> PlannedDay:
    """Sums of one day's steps."""
    squares: dict[StepKind, float] = {}
    hours: dict[StepKind, float] = {}
    for kind, _, _, labor, _, _, done, _, _ in steps:
        squares[kind] = squares.get(kind, 0.0) + done
        hours[kind] = hours.get(kind, 0.0) + labor
    waits = sum(step[2] - step[1] for step in steps if step[0] is StepKind.WAIT and step[8] != DARK)
    return PlannedDay(
        day=on,
        start=day.start,
        end=sky.moment(steps[-1][2]) if steps else day.end,
        torn_off_squares=squares.get(StepKind.TEAR_OFF, 0.0),
        dried_in_squares=squares.get(StepKind.UNDERLAYMENT, 0.0),
        shingled_squares=squares.get(StepKind.FIELD, 0.0),
        ridge_ft=sum(step[7] for step in steps if step[0] is StepKind.RIDGE),
        labor_hours=sum(hours.values()),
        idle_labor_hours=waits * day.people / 60.0,
        phases=tuple((kind.value, worked) for kind, worked in hours.items() if worked > 0),
        overtime=on in overtime,
        typical=is_typical(day.start, sky),
    )
