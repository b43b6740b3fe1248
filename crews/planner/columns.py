"""The columns: each job x crew that may do it x start (half-days), walked once and priced."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from zoneinfo import ZoneInfo

from crews.planner.climatology import typical_day, with_typical
from crews.planner.cost import Walked, cost_terms
from crews.planner.exposure import Sky
from crews.planner.plan_problem import PlanCrew, PlanJob, PlanProblem, road_miles, travel_minutes
from crews.planner.problem import CrewDay
from crews.planner.roofday import walked
from crews.planner.strips import Plane, planes_of
from crews.planner.walk_summary import WalkResult, summary

LONGEST_JOB_DAYS = 20  # crew days after which a walk is given up
HalfDay = tuple[int, date, int]  # crew id, day, 0 (first half of the shift) or 1


@dataclass(frozen=True, slots=True)
class Column:
    """One way to do one job: crew, start and finish, what it occupies, what it brings."""

    job_id: int
    crew_id: int
    start: datetime
    finish: datetime
    half_days: tuple[HalfDay, ...]
    value_usd: int
    cost: dict[str, int]
    p_wet: float
    typical: bool
    first_day: date
    last_day: date
    drops: int
    dumpsters: int
    idle_labor_hours: float
    miles: float
    make_up: bool  # works on days at overtime

    @property
    def net_usd(self) -> int:
        """Value less all cost terms [whole USD]."""
        return self.value_usd - sum(self.cost.values())


@dataclass
class ColumnSet:
    """All columns of a question, and why jobs have none."""

    columns: list[Column] = field(default_factory=list)
    n_walks: int = 0
    # Per job: how often a crew or a start was ruled out, by reason code.
    ruled_out: dict[int, dict[str, int]] = field(default_factory=dict)

    def rule_out(self, job_id: int, code: str) -> None:
        """Count one crew or start that cannot be."""
        codes = self.ruled_out.setdefault(job_id, {})
        codes[code] = codes.get(code, 0) + 1


class ColumnMaker:
    """Makes the columns of one question. Crews of the same effectiveness (shifts, people, speed) share their walks."""

    def __init__(self, problem: PlanProblem) -> None:
        self.problem = problem
        self.skies: dict[int, Sky] = {key: with_typical(sky) for key, sky in problem.skies.items()}
        self.zone = ZoneInfo(problem.zone)
        self.found = ColumnSet()
        self._walks: dict[tuple[int, int], WalkResult] = {}
        self._classes: dict[tuple[CrewDay, ...], int] = {}
        self._planes: dict[int, tuple[Plane, ...]] = {}

    def make(
        self, progress: Callable[[float], None] = lambda share: None, stop: Callable[[], bool] = lambda: False
    ) -> ColumnSet:
        """All columns; stops between jobs when asked to, with what was made so far."""
        for number, job in enumerate(self.problem.jobs):
            if stop():
                break
            self._of_job(number, job)
            progress((number + 1) / len(self.problem.jobs))
        return self.found

    def _of_job(self, number: int, job: PlanJob) -> None:
        """The columns of one job; a pinned job has only those of its pin."""
        pin = next((p for p in self.problem.pins if p.job_id == job.job_id), None)
        for crew in self.crews_for(number, job):
            if pin is not None and pin.crew_id != crew.crew_id:
                continue
            for with_make_up in (False, True) if crew.make_up_days else (False,):
                self._of_crew(job, crew, with_make_up, None if pin is None else pin.day)

    def crews_for(self, number: int, job: PlanJob) -> list[PlanCrew]:
        """The crews that may do a job: pinned and published one first, then the nearest (spread where equally near)."""
        fit = []
        for crew in self.problem.crews:
            code = unfit(job, crew)
            if code:
                self.found.rule_out(job.job_id, code)
            else:
                fit.append(crew)
        first = {pin.crew_id for pin in self.problem.pins if pin.job_id == job.job_id}
        if job.job_id in self.problem.published:
            first.add(self.problem.published[job.job_id].crew_id)
        order = {crew.crew_id: index for index, crew in enumerate(self.problem.crews)}

        def nearness(crew: PlanCrew) -> tuple[bool, float, int]:
            turn = (order[crew.crew_id] - number) % len(order)
            return crew.crew_id not in first, round(road_miles(crew.base, job.place), 1), turn

        return sorted(fit, key=nearness)[: max(self.problem.crews_per_job, len(first))]

    def days_of(self, job: PlanJob, crew: PlanCrew, with_make_up: bool) -> list[CrewDay]:
        """The crew's shifts as they run on this job: cut to its allowed hours, the way included, far days slowed."""
        minutes = travel_minutes(road_miles(crew.base, job.place))
        days = [*crew.days, *(crew.make_up_days if with_make_up else ())]
        sky, found = self.skies[job.sky_id], []
        for day in sorted(days, key=lambda d: d.start):
            clipped = self._clipped(day, job)
            if clipped is not None and clipped.people > 0 and clipped.end > self.problem.now:
                slowed = typical_day(clipped, sky)
                found.append(replace(slowed, travel_minutes=slowed.travel_minutes + minutes))
        return found

    def _clipped(self, day: CrewDay, job: PlanJob) -> CrewDay | None:
        """A shift cut to the hours in which noise is allowed at the job, or None when nothing is left."""
        if job.allowed_hours is None:
            return day
        local = day.start.astimezone(self.zone)
        begin = max(day.start, datetime.combine(local.date(), job.allowed_hours[0], self.zone))
        end = min(day.end, datetime.combine(local.date(), job.allowed_hours[1], self.zone))
        return replace(day, start=begin, end=end) if end > begin else None

    def _of_crew(self, job: PlanJob, crew: PlanCrew, with_make_up: bool, pinned_day: date | None) -> None:
        """One column per start that leads to a finished roof."""
        days = self.days_of(job, crew, with_make_up)
        make_up = {day.start.astimezone(self.zone).date() for day in crew.make_up_days} if with_make_up else set()
        miles = road_miles(crew.base, job.place)
        for index, day in enumerate(days):
            on = self.problem.day_of(day.start)
            if on > self.problem.last_start_day:
                break
            if on < self.problem.first_day or (pinned_day is not None and on != pinned_day):
                continue
            for half in (0, 1):
                first = self._started(day, half)
                if first is None or (job.work.started and half):
                    continue
                column = self._column(job, crew, [first, *days[index + 1 : index + LONGEST_JOB_DAYS]], make_up, miles)
                if column is not None:
                    self.found.columns.append(column)

    def _started(self, day: CrewDay, half: int) -> CrewDay | None:
        """The first day of a column that starts with the shift (0) or at its middle (1); None when that has passed."""
        begin = day.start if half == 0 else middle(day)
        if begin >= self.problem.now:
            return replace(day, start=begin)
        # A shift that is under way can still be started now, as its first half.
        return replace(day, start=self.problem.now) if half == 0 and middle(day) > self.problem.now else None

    def _column(
        self, job: PlanJob, crew: PlanCrew, days: list[CrewDay], make_up: set[date], miles: float
    ) -> Column | None:
        """The column of one start, or None with the reason counted."""
        start_day = self.problem.day_of(days[0].start)
        if job.promised_from and start_day < job.promised_from and not job.work.started:
            self.found.rule_out(job.job_id, "before_promised")
            return None
        walk = self._walk(job, days)
        if walk.finish is None:
            self.found.rule_out(job.job_id, "not_finished")
            return None
        used = days[: walk.days_used]
        on = [self.problem.day_of(day.start) for day in used]
        code = _dates_forbid(job, crew, on)
        if make_up and not make_up & set(on):
            return None  # the same column stands without make-up days
        if code:
            self.found.rule_out(job.job_id, code)
            return None
        overtime = sum(
            (d.end - d.start).total_seconds() / 3600 * d.people for d, o in zip(used, on, strict=True) if o in make_up
        )
        found = Walked(
            start=days[0].start,
            finish=walk.finish,
            p_wet=walk.p_wet,
            peak_squares=walk.peak_squares,
            typical_open_days=walk.typical_open_days,
            worked_labor_hours=walk.worked_labor_hours,
            idle_labor_hours=walk.idle_labor_hours,
            overtime_labor_hours=overtime,
            work_days=len(used),
        )
        return Column(
            job_id=job.job_id,
            crew_id=crew.crew_id,
            start=days[0].start,
            finish=walk.finish,
            half_days=self._half_days(crew, used, walk.finish),
            value_usd=round(job.value_usd),
            cost=cost_terms(self.problem, job, crew, found, miles),
            p_wet=walk.p_wet,
            typical=walk.finish >= self._typical_from(job),
            first_day=on[0],
            last_day=on[-1],
            drops=0 if job.work.started else job.roof_drops,
            dumpsters=0 if job.work.started else job.dumpsters,
            idle_labor_hours=walk.idle_labor_hours,
            miles=2 * miles * len(used),
            make_up=bool(make_up & set(on)),
        )

    def _typical_from(self, job: PlanJob) -> datetime:
        """First moment beyond the forecast of a job's sky."""
        sky = self.skies[job.sky_id]
        return sky.moment(min(sky.typical_from, sky.end_minute))

    def _half_days(self, crew: PlanCrew, used: list[CrewDay], finish: datetime) -> tuple[HalfDay, ...]:
        """Half-days that a column occupies: from its first day's start to its finish, by the crew's own shifts."""
        middles = {self.problem.day_of(d.start): middle(d) for d in (*crew.days, *crew.make_up_days)}
        halves: list[HalfDay] = []
        for index, day in enumerate(used):
            on = self.problem.day_of(day.start)
            if day.start < middles[on]:
                halves.append((crew.crew_id, on, 0))
            if index + 1 < len(used) or finish > middles[on]:
                halves.append((crew.crew_id, on, 1))
        return tuple(halves)

    def _walk(self, job: PlanJob, days: list[CrewDay]) -> WalkResult:
        """The walk of a job over some days, one for all crews that would walk alike."""
        alike = tuple(replace(day, crew_id=0) for day in days)
        key = (job.job_id, self._classes.setdefault(alike, len(self._classes)))
        if key not in self._walks:
            self.found.n_walks += 1
            self._walks[key] = self._walk_anew(job, days)
        return self._walks[key]

    def _walk_anew(self, job: PlanJob, days: list[CrewDay]) -> WalkResult:
        """Walk and keep what the columns need."""
        sky, policy = self.skies[job.sky_id], self.problem.policy_of(job)
        if job.job_id not in self._planes:
            self._planes[job.job_id] = planes_of(job.work, policy)
        walker = walked(job.work, days, sky, days[0].start, policy, self._planes[job.job_id])
        return summary(walker, sky, days)


def middle(day: CrewDay) -> datetime:
    """The middle of a shift."""
    return day.start + (day.end - day.start) / 2


def unfit(job: PlanJob, crew: PlanCrew) -> str:
    """Why a crew may not do a job at all, or ''."""
    if job.steepest_in_12 > crew.steep_limit_in_12:
        return "too_steep"
    if not job.skills_needed <= crew.skills:
        return "skills"
    if crew.needs_insurance and crew.insurance_until is None:
        return "insurance"
    return ""


def _dates_forbid(job: PlanJob, crew: PlanCrew, days: list[date]) -> str:
    """Why the days of a column are not possible, or ''."""
    if job.blocked_dates & set(days):
        return "blocked_date"
    if crew.needs_insurance and crew.insurance_until is not None and days[-1] > crew.insurance_until:
        return "insurance"
    return ""
