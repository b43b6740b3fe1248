"""Fetching the forecasts of every place in use: which places those are is known here, how to fetch is the sky's own."""

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from crews.models import JobPoint
from jobs.models import Job, JobStatus
from roofops.record import actions as record
from roofops.record.access import Access, Role
from roofops.record.models import Work
from weather.actions import Outcome, point_for, refresh_cell, resolve_point
from weather.models import Cell, Point
from weather.queries import cells_of_points, points_without_cell

FORECAST_KIND = "refresh_forecasts"
IN_USE = (JobStatus.SIGNED, JobStatus.AT_WORK)
SOUND = (Outcome.STORED, Outcome.SAME, Outcome.BUSY, Outcome.MOVED)


@dataclass(frozen=True)
class CellOutcome:
    """What a refresh of one cell came to; failure: in words, empty where it went well."""

    cell: str
    source: str
    outcome: str
    failure: str = ""

    @property
    def ok(self) -> bool:
        """True where the cell's forecast is the source's newest."""
        return self.outcome in SOUND


def job_point_for(job: Job, now: datetime) -> JobPoint:
    """The place in the sky of a job, made where it is missing or the job was moved on the map.

    A demo yard's job gets the invented weather that most of the yard's jobs have; any other gets the real sky.
    """
    row = JobPoint.objects.filter(job=job).select_related("point").first()
    if row is not None and (round(job.lat, 4), round(job.lon, 4)) == (row.point.lat, row.point.lon):
        return row
    pattern = row.point.recorded_pattern if row is not None else _pattern_of_yard(job)
    point = point_for(job.lat, job.lon, pattern, now, job.time_zone or job.yard.time_zone)
    return JobPoint.objects.update_or_create(job=job, defaults={"point": point})[0]


def _pattern_of_yard(job: Job) -> str:
    if not job.yard.is_demo:
        return ""
    patterns = Point.objects.filter(pk__in=JobPoint.objects.filter(job__yard_id=job.yard_id).values("point_id"))
    found = Counter(patterns.exclude(recorded_pattern="").values_list("recorded_pattern", flat=True))
    return found.most_common(1)[0][0] if found else ""


def ask_for_forecasts(access: Access, yard_id: int, now: datetime) -> Work:
    """Have a yard's forecasts fetched in the background; one such work runs per yard."""
    access.require(yard_id, Role.MANAGER, Role.DISPATCHER)
    return record.start_work(FORECAST_KIND, {"yard": yard_id}, now, access, yard_id, dedupe_key=f"forecasts-{yard_id}")


def refresh_forecasts(
    access: Access,
    clock: Callable[[], datetime],
    *,
    yard_id: int | None = None,
    progress: Callable[[float], bool] | None = None,
) -> list[CellOutcome]:
    """Fetch every cell in use, each once, whatever number of roofs lies in it.

    clock: asked before each fetch, as fetching takes time. progress: told the share done; False stops.
    """
    jobs = Job.objects.filter(status__in=IN_USE).select_related("yard")
    jobs = access.scope(jobs) if yard_id is None else access.scope(jobs).filter(yard_id=yard_id)
    points = {job_point_for(job, clock()).point_id for job in jobs}
    outcomes: list[CellOutcome] = []
    for point_id in points_without_cell(points):
        point = resolve_point(point_id, clock())
        if point.cell_id is None:
            outcomes.append(CellOutcome(str(point), "", "unresolved", point.failure))
    cells = cells_of_points(points)
    for number, cell_id in enumerate(cells):
        if progress is not None and not progress(number / len(cells)):
            break
        outcome = refresh_cell(cell_id, clock())
        cell = Cell.objects.get(pk=cell_id)
        outcomes.append(CellOutcome(cell.key, cell.source, outcome.value, cell.failure))
    return outcomes


def yards_in_use() -> list[int]:
    """The yards that have open jobs."""
    return list(Job.objects.filter(status__in=IN_USE).order_by("yard_id").values_list("yard_id", flat=True).distinct())
