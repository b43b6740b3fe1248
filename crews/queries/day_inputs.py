"""Everything that the verdicts of one yard's day depend on, read in a bounded number of queries."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from structlog import get_logger

from crews.models import Crew, Decision
from crews.planner.problem import CrewDay
from crews.queries.due import Due
from crews.queries.reports import JobReports
from crews.queries.roof_work import JobWork, job_work
from crews.queries.rosters import roster_of, shift_hours
from crews.queries.rows_read import RowsRead
from crews.queries.skies import JobSky, SkyReader
from crews.queries.yards import local_day, midnight, on_day, zone_of
from crews.roster import CrewRoster, crew_day
from crews.verdict.day_verdict import DayInputs, DayResult, judge_day, policy_of, valid_until
from jobs.models import Job, Yard

logger = get_logger(__name__)


@dataclass(frozen=True)
class OfficeOrder:
    """What the office set for one roof and day; it only ever tightens."""

    held: bool = False
    own_limit_squares: float | None = None
    own_at_once_squares: float | None = None
    reason: str = ""

    @classmethod
    def of(cls, row: Decision | None) -> "OfficeOrder":
        """The order that a decision carries."""
        if row is None:
            return cls()
        return cls(row.held, row.own_limit_squares, row.own_at_once_squares, row.office_reason)


@dataclass(frozen=True)
class DueRoof:
    """One roof of the day with all that is known of it.

    inputs None: the roof has not been measured, or (failed) its data cannot be read, so nothing is opened on it.
    """

    due: Due
    day: date
    job: Job
    roster: CrewRoster | None
    crew_day: CrewDay | None
    reports: JobReports
    sky: JobSky
    work: JobWork | None
    inputs: DayInputs | None
    failed: bool = False
    lead: tuple[str, str] | None = None  # name and phone of the crew's lead

    def inputs_with(self, order: OfficeOrder) -> DayInputs | None:
        """The inputs under what the office set."""
        if self.inputs is None:
            return None
        policy = policy_of(
            self.sky.limits,
            held=order.held,
            own_limit=order.own_limit_squares,
            own_at_once=order.own_at_once_squares,
        )
        return replace(self.inputs, policy=policy)


def due_roofs(
    yard: Yard, found: Sequence[Due], day: date, now: datetime, reader: SkyReader, read: RowsRead | None = None
) -> list[DueRoof]:
    """The roofs of a yard's day. For a day ahead the walk starts with its shift. read: rows that are there already."""
    read = RowsRead() if read is None else read
    ids = [due.job_id for due in found]
    rows = read.jobs(ids)
    reader.load(rows.values())
    reports = read.reports(ids, midnight(day, yard.time_zone))
    people = read.crews({due.crew_id for due in found if due.crew_id is not None})
    leads = {pk: (crew.lead.name, crew.lead.phone) for pk, crew in people.items() if crew.lead is not None}
    crews = _rosters(people)
    return [
        replace(
            _readable(rows[due.job_id], due, day, now, reader, reports, crews),
            lead=None if due.crew_id is None else leads.get(due.crew_id),
        )
        for due in found
        if due.job_id in rows
    ]


def _readable(
    job: Job,
    due: Due,
    day: date,
    now: datetime,
    reader: SkyReader,
    reports: dict[int, JobReports],
    crews: dict[int, CrewRoster],
) -> DueRoof:
    """One roof; one whose data cannot be read stands there without inputs and hides no other."""
    try:
        return _due_roof(job, due, day, now, reader, reports, crews)
    except Exception:
        logger.exception("roof_unreadable", job=job.pk, day=day.isoformat())
        roster = crews.get(due.crew_id) if due.crew_id is not None else None
        seen = reports.get(job.pk, JobReports())
        return DueRoof(due, day, job, roster, None, seen, reader.nothing_known(day, 2), None, None, failed=True)


def judged_or_none(roof: DueRoof) -> DayResult | None:
    """A roof's verdict that is not stored; None where it has no inputs or they cannot be judged: it is unknown then."""
    if roof.inputs is None:
        return None
    try:
        return judge_day(roof.inputs)
    except Exception:
        logger.exception("roof_not_judged", job=roof.job.pk, day=roof.day.isoformat())
        return None


def _rosters(crews: Mapping[int, Crew]) -> dict[int, CrewRoster]:
    return {pk: roster_of(crew) for pk, crew in crews.items()}


def _due_roof(
    job: Job,
    due: Due,
    day: date,
    now: datetime,
    reader: SkyReader,
    reports: dict[int, JobReports],
    crews: dict[int, CrewRoster],
) -> DueRoof:
    roster = crews.get(due.crew_id) if due.crew_id is not None else None
    seen = reports.get(job.pk, JobReports())
    shift = _crew_day(job, due, roster, day, seen)
    sky = reader.over_job(job, day, 2)
    work = job_work(job, seen) if job.sections.all() else None
    axis = on_day(job.yard, day).axis()
    inputs = None
    if work is not None:
        start = now if local_day(now, job.yard.time_zone) >= day or shift is None else shift.start
        inputs = DayInputs(
            work=work.work,
            crew_day=shift,
            sky=sky.sky,
            policy=policy_of(sky.limits),
            now=start,
            axis_start=axis[0],
            axis_end=axis[1],
            valid_until=valid_until(sky.chosen.checked_at, sky.chosen.issued_at, sky.limits),
        )
    return DueRoof(due, day, job, roster, shift, seen, sky, work, inputs)


def _crew_day(job: Job, due: Due, roster: CrewRoster | None, day: date, reports: JobReports) -> CrewDay | None:
    """The crew's time on this roof, narrowed by the job's allowed hours and by the crew's other roofs of the day."""
    if roster is None:
        return None
    hours = replace(shift_hours(job.yard), zone=zone_of(job))
    try:
        shift = crew_day(
            roster, hours, day, people_here=reports.people_here, earliest=job.allowed_start, latest=job.allowed_end
        )
    except ValueError:  # the allowed hours leave nothing of the shift
        return None
    if shift is None:
        return None
    start, end = max(shift.start, due.start or shift.start), min(shift.end, due.end or shift.end)
    return replace(shift, start=start, end=end) if start < end else None
