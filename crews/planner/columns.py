"""The columns: each job x crew that may do it x start (half-days), walked once and priced."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime

from crews.planner.cost import Walked, cost_terms, left_out_usd
from crews.planner.crew_calendar import Calendar, Calendars
from crews.planner.plan_problem import PlanCrew, PlanJob, PlanProblem, road_miles
from crews.planner.problem import CrewDay
from crews.planner.roofday import walked
from crews.planner.strips import Plane, planes_of
from crews.planner.walk_summary import WalkResult, summary

HalfDay = tuple[int, date, int]  # crew id, day, 0 (first half of the shift) or 1


@dataclass(frozen=True, slots=True)
class Column:
    """One way to do one job: crew, start and finish, what it occupies, what it brings.

    value_usd: the job's own value, and what leaving it out of the plan would not save (crews.planner.cost).
    """

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
        self.calendars = Calendars(problem)
        self.found = ColumnSet()
        self._walks: dict[tuple[int, int, int, int], WalkResult] = {}
        self._planes: dict[int, tuple[Plane, ...]] = {}
        self._values: dict[int, int] = {}

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

    def _of_crew(self, job: PlanJob, crew: PlanCrew, with_make_up: bool, pinned_day: date | None) -> None:
        """One column per start that leads to a finished roof."""
        calendar = self.calendars.of(job, crew, with_make_up)
        for index, on in enumerate(calendar.on):
            if on > self.problem.last_start_day:
                break
            if on < self.problem.first_day or (pinned_day is not None and on != pinned_day):
                continue
            for half in (0, 1):
                first = calendar.first_day(index, half, self.problem.now)
                if first is None or (job.work.started and half):
                    continue
                column = self._column(job, crew, calendar, index, half, first)
                if column is not None:
                    self.found.columns.append(column)

    def _column(
        self, job: PlanJob, crew: PlanCrew, calendar: Calendar, index: int, half: int, first: CrewDay
    ) -> Column | None:
        """The column of one start, or None with the reason counted."""
        if job.promised_from and calendar.on[index] < job.promised_from and not job.work.started:
            self.found.rule_out(job.job_id, "before_promised")
            return None
        walk = self._walk(job, calendar, index, half, first)
        if walk.finish is None:
            self.found.rule_out(job.job_id, "not_finished")
            return None
        on = calendar.on[index : index + walk.days_used]
        if calendar.make_up and calendar.make_up.isdisjoint(on):
            return None  # the same column stands without make-up days
        code = _dates_forbid(job, crew, on)
        if code:
            self.found.rule_out(job.job_id, code)
            return None
        used = calendar.from_start(index, first)[: walk.days_used]
        return self._priced(job, crew, calendar, walk, used, on, index)

    def _priced(
        self,
        job: PlanJob,
        crew: PlanCrew,
        calendar: Calendar,
        walk: WalkResult,
        used: Sequence[CrewDay],
        on: Sequence[date],
        index: int,
    ) -> Column:
        """The column with its half-days and costs."""
        finish = used[-1].end if walk.finish is None else walk.finish
        middles = calendar.middles[index : index + walk.days_used]
        overtime = [day for day, o in zip(used, on, strict=True) if o in calendar.make_up]
        found = Walked(
            start=used[0].start,
            finish=finish,
            wet_squares=walk.wet_squares,
            typical_open_squares=walk.typical_open_squares,
            worked_labor_hours=walk.worked_labor_hours,
            idle_labor_hours=walk.idle_labor_hours + walk.lost_labor_hours,
            overtime_labor_hours=sum((d.end - d.start).total_seconds() / 3600 * d.people for d in overtime),
            work_days=len(used),
        )
        sky = self.calendars.skies[job.sky_id]
        return Column(
            job_id=job.job_id,
            crew_id=crew.crew_id,
            start=found.start,
            finish=finish,
            half_days=_half_days(crew.crew_id, used, on, middles, finish),
            value_usd=self._value(job),
            cost=cost_terms(self.problem, job, crew, found, calendar.miles),
            p_wet=walk.p_wet,
            typical=sky.minute(finish) >= sky.typical_from,
            first_day=on[0],
            last_day=on[-1],
            drops=0 if job.work.started else job.roof_drops,
            dumpsters=0 if job.work.started else job.dumpsters,
            idle_labor_hours=walk.idle_labor_hours,
            miles=2 * calendar.miles * len(used),
            make_up=bool(overtime),
        )

    def _value(self, job: PlanJob) -> int:
        """What planning the job brings: its own value, and what leaving it out would cost as well [whole USD]."""
        if job.job_id not in self._values:
            self._values[job.job_id] = round(job.value_usd + left_out_usd(self.problem, job))
        return self._values[job.job_id]

    def _walk(self, job: PlanJob, calendar: Calendar, index: int, half: int, first: CrewDay) -> WalkResult:
        """The walk of a job from one start, one for all crews that would walk alike."""
        key = (job.job_id, calendar.alike, index, half)
        if key not in self._walks:
            sky, policy = self.calendars.skies[job.sky_id], self.problem.policy_of(job)
            if job.job_id not in self._planes:
                self._planes[job.job_id] = planes_of(job.work, policy)
            days = calendar.from_start(index, first)
            walker = walked(job.work, days, sky, first.start, policy, self._planes[job.job_id])
            self._walks[key] = summary(walker, sky, days)
            self.found.n_walks += 1
        return self._walks[key]


def _half_days(
    crew_id: int, used: Sequence[CrewDay], on: Sequence[date], middles: Sequence[datetime], finish: datetime
) -> tuple[HalfDay, ...]:
    """Half-days that a column occupies, from its first day's start to its finish."""
    halves: list[HalfDay] = []
    for number, (day, date_, mid) in enumerate(zip(used, on, middles, strict=True)):
        if day.start < mid:
            halves.append((crew_id, date_, 0))
        if number + 1 < len(used) or finish > mid:
            halves.append((crew_id, date_, 1))
    return tuple(halves)


def unfit(job: PlanJob, crew: PlanCrew) -> str:
    """Why a crew may not do a job at all, or ''."""
    if job.steepest_in_12 > crew.steep_limit_in_12:
        return "too_steep"
    if not job.skills_needed <= crew.skills:
        return "skills"
    if crew.needs_insurance and crew.insurance_until is None:
        return "insurance"
    return ""


def _dates_forbid(job: PlanJob, crew: PlanCrew, days: Sequence[date]) -> str:
    """Why the days of a column are not possible, or ''."""
    if job.blocked_dates & set(days):
        return "blocked_date"
    if crew.needs_insurance and crew.insurance_until is not None and days[-1] > crew.insurance_until:
        return "insurance"
    return ""
