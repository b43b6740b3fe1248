"""The strip of one roof and day: sky, bands, recorded and planned areas, dry-in line."""

from dataclasses import replace
from datetime import date, datetime, timedelta

from crews.area_history import planned, recorded, ridge_span
from crews.boards.sky_strip import AreaPoint, Band, Strip
from crews.models import Decision
from crews.planner.problem import Run
from crews.planner.verdict import DayVerdict
from crews.queries.day_inputs import DueRoof
from crews.queries.lines import no_forecast_code
from crews.queries.reports import reported
from crews.queries.yards import midnight, on_day
from crews.verdict.sky_hours import HOUR, bands_of, sky_hours, whole_hour


def axis_of(roofs: list[DueRoof], day: date, yard_axis: tuple[datetime, datetime]) -> tuple[datetime, datetime]:
    """The hours that all strips of a page show: 6 am to 8 pm, wider by whole hours where work needs it."""
    starts = [whole_hour(roof.crew_day.start) for roof in roofs if roof.crew_day is not None]
    ends = [-(-(roof.crew_day.end.timestamp()) // 3600) for roof in roofs if roof.crew_day is not None]
    first = min([yard_axis[0], *starts])
    last = max([yard_axis[1].timestamp(), *(end * 3600 for end in ends)])
    return first, datetime.fromtimestamp(last, tz=first.tzinfo)


def strip_of(
    roof: DueRoof,
    day: date,
    axis: tuple[datetime, datetime],
    now: datetime,
    row: Decision | None,
    verdict: DayVerdict | None,
    run: Run | None,
    dry_in_was: datetime | None = None,
) -> Strip:
    """Everything that one strip draws."""
    sky = roof.sky
    zone = on_day(roof.job.yard, day).zone
    first = whole_hour(axis[0])
    n_hours = max(1, round((axis[1] - first) / HOUR))
    is_today = midnight(day, zone) <= now < midnight(day + timedelta(days=1), zone)
    if verdict is not None and verdict.bands:
        bands = tuple(Band(b.start, b.end, b.kind.value, b.code) for b in verdict.bands)
    else:
        bands = bands_of(sky.work_hours, first, n_hours)
    points = _areas(roof, day, axis, now, run, is_today=is_today)
    limits, chosen = sky.limits, sky.chosen
    code = no_forecast_code(sky.note, today=is_today)
    return Strip(
        day=day,
        zone=zone,
        start=axis[0],
        end=axis[1],
        now=now if is_today and axis[0] <= now <= axis[1] else None,
        sunrise=sky.suns[0].sunrise,
        sunset=sky.suns[0].sunset,
        hours=sky_hours(sky.work_hours, None if code else chosen.hourly, first, n_hours),
        bands=bands,
        areas=points,
        squares=roof.work.roof.squares if roof.work else 0.0,
        dry_in_by=row.dry_in_by if row is not None else (verdict.dry_in_by if verdict else None),
        dry_in_was=dry_in_was,
        gust_limit_mph=_gust_limit(roof, run),
        rain_limit=limits.wet_hour_chance,
        no_forecast=code,
        no_forecast_hours=sky.note.age_hours if code == "issued_long_ago" else sky.note.checked_hours,
        no_forecast_limit_hours=sky.note.limit_hours if code else None,
        ridge_span=ridge_span(points),
    )


def _areas(
    roof: DueRoof, day: date, axis: tuple[datetime, datetime], now: datetime, run: Run | None, *, is_today: bool
) -> tuple[AreaPoint, ...]:
    if roof.work is None:
        return ()
    past: tuple[AreaPoint, ...] = ()
    if is_today:
        reports = [reported(entry) for entry in roof.reports.entries if entry.done_after is not None]
        past = recorded(roof.work.roof, reports, max(axis[0], midnight(day, roof.job.yard.time_zone)), now)
    ahead = planned(run, now if is_today else axis[0], axis[1]) if run is not None else ()
    if not ahead and past and past[-1].at < axis[1]:
        ahead = (replace(past[-1], at=axis[1], recorded=False),)
    return (*(p for p in past if p.at <= axis[1]), *ahead)


def _gust_limit(roof: DueRoof, run: Run | None) -> float:
    """The gust limit that bites: of an open ridge where one is planned, of closing where deck lies bare, else all."""
    limits = roof.sky.limits
    if run is not None and any(a.open_ridge_ft > 0 for a in run.areas):
        return limits.open_ridge_gust_mph
    if run is not None and any(a.bare > 0 for a in run.areas):
        return limits.closing_gust_mph
    return limits.off_roof_gust_mph
