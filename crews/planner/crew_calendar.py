"""A crew's shifts as they run on one job: cut to its allowed hours, the way included, far days slowed."""

from dataclasses import dataclass, replace
from datetime import date, datetime
from zoneinfo import ZoneInfo

from crews.planner.climatology import typical_day, with_typical
from crews.planner.exposure import Sky
from crews.planner.plan_problem import PlanCrew, PlanJob, PlanProblem, road_miles, travel_minutes
from crews.planner.problem import CrewDay

LONGEST_JOB_DAYS = 20  # crew days after which a walk is given up


def middle(day: CrewDay) -> datetime:
    """The middle of a shift."""
    return day.start + (day.end - day.start) / 2


@dataclass(frozen=True)
class Calendar:
    """The shifts of one crew on one job, in order, without the crew's id.

    alike: number shared by all calendars with the same shifts; their walks are the same. make_up: days at overtime.
    """

    days: tuple[CrewDay, ...]
    on: tuple[date, ...]
    middles: tuple[datetime, ...]  # of the crew's own shift, which the half-days go by
    alike: int
    make_up: frozenset[date]
    miles: float

    def first_day(self, index: int, half: int, now: datetime) -> CrewDay | None:
        """The first day of a job that starts with a shift (0) or at its middle (1); None when that has passed."""
        day = self.days[index]
        begin = day.start if half == 0 else max(day.start, self.middles[index])
        if begin < now:
            # A shift that is under way can still be started now, as its first half.
            begin = now
            if half or self.middles[index] <= now:
                return None
        return replace(day, start=begin) if begin < day.end else None

    def from_start(self, index: int, first: CrewDay) -> list[CrewDay]:
        """The crew days of a job that starts on a day."""
        return [first, *self.days[index + 1 : index + LONGEST_JOB_DAYS]]


class Calendars:
    """All calendars of a question, each made once."""

    def __init__(self, problem: PlanProblem) -> None:
        self.problem = problem
        self.zone = ZoneInfo(problem.zone)
        self.skies: dict[int, Sky] = {key: with_typical(sky) for key, sky in problem.skies.items()}
        self._made: dict[tuple[object, ...], Calendar] = {}
        self._alike: dict[tuple[CrewDay, ...], int] = {}

    def of(self, job: PlanJob, crew: PlanCrew, with_make_up: bool) -> Calendar:
        """The calendar of one crew on one job."""
        miles = road_miles(crew.base, job.place)
        key = (crew.crew_id, job.sky_id, miles, job.allowed_hours, with_make_up)
        if key not in self._made:
            self._made[key] = self._make(job, crew, with_make_up, miles)
        return self._made[key]

    def _make(self, job: PlanJob, crew: PlanCrew, with_make_up: bool, miles: float) -> Calendar:
        """Cut, slow and number the shifts that have not ended."""
        sky, minutes = self.skies[job.sky_id], travel_minutes(miles)
        make_up = crew.make_up_days if with_make_up else ()
        found: list[tuple[CrewDay, datetime]] = []
        for day in sorted((*crew.days, *make_up), key=lambda d: d.start):
            cut = self._cut(typical_day(day, sky), job)
            if cut is not None and cut.people > 0 and cut.end > self.problem.now:
                found.append((replace(cut, crew_id=0, travel_minutes=cut.travel_minutes + minutes), middle(day)))
        days = tuple(day for day, _ in found)
        return Calendar(
            days=days,
            on=tuple(self.problem.day_of(day.start) for day in days),
            middles=tuple(mid for _, mid in found),
            alike=self._alike.setdefault(days, len(self._alike)),
            make_up=frozenset(self.problem.day_of(day.start) for day in make_up),
            miles=miles,
        )

    def _cut(self, day: CrewDay, job: PlanJob) -> CrewDay | None:
        """A shift cut to the hours in which noise is allowed at the job, or None when nothing is left."""
        if job.allowed_hours is None:
            return day
        on = day.start.astimezone(self.zone).date()
        begin = max(day.start, datetime.combine(on, job.allowed_hours[0], self.zone))
        end = min(day.end, datetime.combine(on, job.allowed_hours[1], self.zone))
        return replace(day, start=begin, end=end) if end > begin else None
