"""Where the load of a roof drop may lie while its truck is there: the roof's rows, today's walk and the plan read."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from crews.models import Assignment, EntryKind
from crews.plan_data import day_from_data
from crews.planner.plan_problem import PlannedDay
from crews.planner.problem import Run
from crews.progress import total
from crews.queries.reports import JobReports, reported
from crews.queries.rows_read import RowsRead
from crews.queries.yards import YardDay, local_day
from crews.roof_at_slot import Slot, by_plan, by_run
from jobs.delivery_window import PlaceVerdict, RoofThen, place_for
from jobs.models import Job
from jobs.queries import roof_then


@dataclass(frozen=True)
class RoofDays:
    """One roof as it lies now, slopes in the order of section_ids, and what is to happen to it."""

    roof: RoofThen
    section_ids: tuple[int, ...]
    today: YardDay
    run: Run | None = None  # today's walk
    days: tuple[PlannedDay, ...] = ()

    def at(self, start: datetime, minutes: int) -> PlaceVerdict:
        """Where a load may lie whose truck is there for so many minutes."""
        slot = Slot(start, start + timedelta(minutes=minutes))
        on = local_day(start, self.today.zone)
        roof = self.roof
        if on <= self.today.day:
            if self.run is not None:
                return place_for(by_run(roof, self.section_ids, self.run, slot))
            return place_for(by_plan(roof, [day for day in self.days if day.day == on == self.today.day], slot))
        first = self.today.day
        if self.run is not None:
            roof = by_run(roof, self.section_ids, self.run, Slot(self.today.end, self.today.end))
            first += timedelta(days=1)
        slopes = tuple(replace(slope, shingled_today_squares=0.0) for slope in roof.slopes)
        later = [day for day in self.days if first <= day.day <= on]
        return place_for(by_plan(replace(roof, slopes=slopes), later, slot))


def roofs_of(
    jobs: Mapping[int, Job],
    assigned: Mapping[int, Assignment],
    runs: Mapping[int, Run],
    today: YardDay,
    read: RowsRead | None = None,
) -> dict[int, RoofDays]:
    """The roofs of some jobs that were fetched with their sections; one query however many, none for no job."""
    reports = (read or RowsRead()).reports(jobs, today.start)
    found = {}
    for pk, job in jobs.items():
        row = assigned.get(pk)
        days = () if row is None or row.pencilled else tuple(day_from_data(day) for day in row.days)
        found[pk] = roof_days(job, reports.get(pk, JobReports()), runs.get(pk), today, days)
    return found


def roof_days(
    job: Job, reports: JobReports, run: Run | None, today: YardDay, days: tuple[PlannedDay, ...] = ()
) -> RoofDays:
    """One roof that was fetched with its sections, and the reports, walk and planned days that concern it."""
    return RoofDays(
        roof=roof_then(job, _laid_today(job, reports, today.start)),
        section_ids=tuple(section.pk for section in job.sections.all()),
        today=today,
        run=run if run is not None and run.areas else None,
        days=days,
    )


def _laid_today(job: Job, reports: JobReports, day_start: datetime) -> dict[int, float]:
    """Squares of shingles laid today by section id, as reported."""
    rows = [row for row in reports.entries if row.kind == EntryKind.SHINGLED and row.section_id is not None]
    today = {row.section_id for row in rows if row.at >= day_start}
    found: dict[int, float] = {}
    for section in job.sections.all():
        if section.pk in today:
            older = [reported(row) for row in rows if row.section_id == section.pk and row.at < day_start]
            found[section.pk] = max(0.0, section.shingled_squares - total(older))
    return found
