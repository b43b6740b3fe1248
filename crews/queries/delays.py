"""What each roof of a finished shift lost to the weather, read off what was told and reported that day."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from crews.area_history import recorded
from crews.models import Decision
from crews.planner.verdict import Band
from crews.queries.day_inputs import DueRoof, due_roofs
from crews.queries.decisions import day_decisions, verdict_of_row
from crews.queries.due import due_on
from crews.queries.reports import reported
from crews.queries.skies import SkyReader
from crews.queries.yards import midnight
from crews.verdict.lost_hours import Judged, Lost, lost_hours
from jobs.models import Yard
from weather.models import Forecast
from weather.queries import cells_of_points


@dataclass(frozen=True)
class DayLost:
    """One roof's day: what it lost, by cause; empty where nothing was lost."""

    job_id: int
    crew_id: int | None
    lost: tuple[Lost, ...]


def days_lost(yard: Yard, day: date, now: datetime) -> list[DayLost]:
    """What the roofs of a yard's day lost whose shift is over; a roof without crew or verdict that day is left out."""
    reader = SkyReader(yard, now)
    roofs = due_roofs(yard, due_on(yard.pk, day), day, now, reader)
    stored = day_decisions([roof.job.pk for roof in roofs], day)
    found = []
    for roof in roofs:
        row = stored[roof.job.pk].in_force
        if row is None or roof.work is None or roof.crew_day is None or roof.crew_day.end > now:
            continue
        found.append(DayLost(roof.job.pk, roof.due.crew_id, _lost(roof, row, day, now, reader)))
    return found


def _lost(roof: DueRoof, row: Decision, day: date, now: datetime, reader: SkyReader) -> tuple[Lost, ...]:
    assert roof.work is not None
    assert roof.crew_day is not None
    start = midnight(day, roof.job.yard.time_zone)
    end = min(now, midnight(day + timedelta(days=1), roof.job.yard.time_zone))
    reports = [reported(entry) for entry in roof.reports.entries if entry.done_after is not None and entry.at < end]
    areas = recorded(roof.work.roof, reports, start, end)
    bands: Sequence[Band] = verdict_of_row(row).bands
    known = _forecasts(roof, start, end)
    cache: dict[int, Judged] = {}

    def judged_at(moment: datetime) -> Judged | None:
        """The newest forecast that was there when the hour began."""
        seen = [pk for pk, fetched in known.items() if fetched <= moment] or list(known)[:1]
        if not seen:
            return None
        if seen[-1] not in cache:
            hours = reader.hours_by_forecast(roof.job, day, seen[-1])
            if hours is None:
                return None
            cache[seen[-1]] = Judged(hours, seen[-1])
        return cache[seen[-1]]

    return lost_hours(roof.crew_day, bands, areas, judged_at)


def _forecasts(roof: DueRoof, start: datetime, end: datetime) -> Mapping[int, datetime]:
    """The forecasts over a roof that came until the day's end, oldest first, from the last one before it on."""
    if roof.sky.point_id is None:
        return {}
    cells = cells_of_points([roof.sky.point_id])
    rows = Forecast.objects.filter(cell_id__in=cells, fetched_at__lt=end).order_by("fetched_at", "pk")
    before = rows.filter(fetched_at__lt=start).values_list("pk", "fetched_at").last()
    within = list(rows.filter(fetched_at__gte=start).values_list("pk", "fetched_at"))
    return dict(([before] if before else []) + within)
