"""The columns of the Plan page: sky, capacity and visits of each day."""

from collections.abc import Mapping
from datetime import date, datetime, timedelta

from crews.boards.plan import PlanDay
from crews.models import Assignment
from crews.planner.climatology import WORKABLE_SHARE
from crews.queries.plan_problem import roof_drops
from crews.queries.plans_shown import ShownPlans, is_started
from crews.queries.skies import JobSky
from crews.queries.yards import YardDay, local_day, on_day
from crews.verdict.sky_hours import HOUR, bare_hours, sky_hours, whole_hour
from jobs.models import Inspection, InspectionState, Yard


def plan_days(yard: Yard, shown: ShownPlans, sky: JobSky, first: date, n_days: int) -> tuple[PlanDay, ...]:
    """One column for each day of the grid."""
    starts = _starts(shown)
    visits = _visits(yard, shown, first, n_days)
    return tuple(_day(on_day(yard, first + timedelta(days=n)), sky, starts, visits, shown) for n in range(n_days))


def _day(
    day: YardDay,
    sky: JobSky,
    starts: Mapping[date, list[Assignment]],
    visits: Mapping[date, list[tuple[str, datetime | None, str]]],
    shown: ShownPlans,
) -> PlanDay:
    axis = day.axis()
    first = whole_hour(axis[0])
    usable = sky.chosen.hourly if sky.chosen.usable_beyond else None
    known = usable is not None and usable.row_at(axis[0]) is not None
    hours = sky_hours(sky.work_hours, usable, first, max(1, round((axis[1] - first) / HOUR))) if known else ()
    shift = day.hours.span(day.day)
    here = [row for row in starts.get(day.day, []) if not row.pencilled]
    gusts = [hour.gust_mph for hour in hours if hour.gust_mph is not None]
    temps = [hour.temp_f for hour in hours if hour.temp_f is not None]
    workday = day.day.weekday() in day.hours.weekdays
    typical = (shift[1] - shift[0]) / HOUR * WORKABLE_SHARE[day.day.month] if workday else None
    return PlanDay(
        date=day.day,
        workday=workday,
        start=day.start,
        end=day.end,
        hours=hours,
        bare_hours=bare_hours(sky.work_hours, *shift) if known else typical,
        gust_max_mph=max(gusts, default=None),
        high_f=max(temps, default=None),
        typical=not known,
        drops_used=sum(roof_drops(shown.jobs[row.job_id]) for row in here),
        drops_limit=day.yard.roof_drops_per_day,
        dumpsters_used=len(here),
        dumpsters_limit=day.yard.dumpsters_per_day,
        inspections=tuple(visits.get(day.day, ())),
    )


def _starts(shown: ShownPlans) -> dict[date, list[Assignment]]:
    """Jobs by the day on which they begin; a roof that is opened already brings no drop."""
    found: dict[date, list[Assignment]] = {}
    for row in shown.main:
        job = shown.jobs.get(row.job_id)
        if job is not None and not is_started(job):
            found.setdefault(local_day(row.start, shown.zone), []).append(row)
    return found


def _visits(
    yard: Yard, shown: ShownPlans, first: date, n_days: int
) -> dict[date, list[tuple[str, datetime | None, str]]]:
    start, end = on_day(yard, first).start, on_day(yard, first + timedelta(days=n_days)).start
    rows = Inspection.objects.filter(job__yard=yard, window_start__gte=start, window_start__lt=end)
    found: dict[date, list[tuple[str, datetime | None, str]]] = {}
    for row in rows.exclude(state=InspectionState.PASSED).select_related("job").order_by("window_start"):
        if row.window_start is not None:
            day = local_day(row.window_start, shown.zone)
            found.setdefault(day, []).append((row.kind, row.window_start, row.job.short_name))
    return found
