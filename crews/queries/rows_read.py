"""Rows of roofs, crews and reports that one page reads once, although it looks at several days or parts of them."""

from collections.abc import Iterable
from datetime import date, datetime

from crews.models import Assignment, Crew, PlanState, ProgressEntry
from crews.queries.decisions import DayDecisions, day_decisions
from crews.queries.reports import JobReports, entries_of, reports_from
from crews.queries.roof_work import fetch_work, with_work
from crews.queries.rosters import with_people
from jobs.models import Job


class RowsRead:
    """What one page has read of its roofs; made anew for each page, and never kept beyond a change."""

    def __init__(self, jobs: Iterable[Job] = ()) -> None:
        """Start from jobs that the caller read; what `job_work` needs beyond them is fetched along."""
        self._jobs: dict[int, Job] = {job.pk: job for job in jobs}
        fetch_work(list(self._jobs.values()))
        self._crews: dict[int, Crew] = {}
        self._entries: dict[int, list[ProgressEntry]] = {}
        self._decisions: dict[tuple[int, date], DayDecisions] = {}
        self._planned: dict[int, Assignment | None] = {}

    def jobs(self, job_ids: Iterable[int]) -> dict[int, Job]:
        """The jobs that exist, with all that `job_work` reads, by id."""
        wanted = list(job_ids)
        missing = [pk for pk in wanted if pk not in self._jobs]
        if missing:
            rows = with_work(Job.objects.filter(pk__in=missing)).select_related("yard", "contact")
            self._jobs.update({job.pk: job for job in rows})
        return {pk: self._jobs[pk] for pk in wanted if pk in self._jobs}

    def crews(self, crew_ids: Iterable[int]) -> dict[int, Crew]:
        """The crews that exist, with lead, people and rates, by id."""
        wanted = set(crew_ids)
        missing = wanted - set(self._crews)
        if missing:
            self._crews.update({crew.pk: crew for crew in with_people(missing)})
        return {pk: self._crews[pk] for pk in wanted if pk in self._crews}

    def reports(self, job_ids: Iterable[int], day_start: datetime) -> dict[int, JobReports]:
        """The reports of several jobs; people and closing count from the day's start only."""
        wanted = list(job_ids)
        missing = [pk for pk in wanted if pk not in self._entries]
        if missing:
            self._entries.update(entries_of(missing))
        return {pk: reports_from(self._entries[pk], day_start) for pk in wanted}

    def decisions(self, job_ids: Iterable[int], day: date) -> dict[int, DayDecisions]:
        """The verdicts of several roofs on one day, by job."""
        wanted = list(job_ids)
        missing = [pk for pk in wanted if (pk, day) not in self._decisions]
        if missing:
            self._decisions.update({(pk, day): found for pk, found in day_decisions(missing, day).items()})
        return {pk: self._decisions[pk, day] for pk in wanted}

    def planned(self, job_ids: Iterable[int]) -> dict[int, Assignment]:
        """Where several jobs stand in the published plan, with the crew, by job."""
        wanted = list(job_ids)
        missing = [pk for pk in wanted if pk not in self._planned]
        if missing:
            self._planned.update(dict.fromkeys(missing))
            rows = Assignment.objects.filter(job_id__in=missing, plan__state=PlanState.PUBLISHED)
            self._planned.update({row.job_id: row for row in rows.select_related("crew")})
        return {pk: row for pk in wanted if (row := self._planned[pk]) is not None}
