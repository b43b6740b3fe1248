"""What Plan shows: crews by days, the sky of each day, the proposal beside the published plan."""

from dataclasses import dataclass
from datetime import date, datetime

from crews.boards.forecast_note import ForecastNote
from crews.boards.key_line import Cause
from crews.boards.sky_strip import SkyHour


@dataclass(frozen=True)
class PlanDay:
    """One column of the grid. typical: beyond the forecast, figures are of the month, not of this day."""

    date: date
    workday: bool
    start: datetime
    end: datetime
    hours: tuple[SkyHour, ...]  # 6 am to 8 pm; empty when beyond the forecast
    bare_hours: float | None  # hours in which a deck may lie bare
    gust_max_mph: float | None
    high_f: float | None
    typical: bool
    drops_used: int
    drops_limit: int
    dumpsters_used: int
    dumpsters_limit: int
    inspections: tuple[tuple[str, datetime | None, str], ...] = ()  # (kind, window start, job short name)

    @property
    def drops_over(self) -> int:
        """Drops above the limit."""
        return max(0, self.drops_used - self.drops_limit)


@dataclass(frozen=True)
class Segment:
    """One phase segment of a bar, drawn in the pattern of what it leaves behind."""

    start: datetime
    end: datetime
    phase: str  # tear_off, deck, ice_barrier, underlayment, field, ridge, set_up, clean_up
    leaves: str  # bare, dried_in, shingled, ridge, none


@dataclass(frozen=True)
class BarChange:
    """How a bar differs from the published plan. code: same, days_later, days_earlier, from_crew, new, hours."""

    code: str
    days: int = 0
    crew_name: str = ""


@dataclass(frozen=True)
class Blocker:
    """One broken rule. code as in crews.planner.feasibility; figures for the sentence."""

    code: str
    day: date | None = None
    job_id: int | None = None
    job_name: str = ""
    crew_name: str = ""
    used: float | None = None
    limit: float | None = None
    text: str = ""


@dataclass(frozen=True)
class PlanBar:
    """One job of one crew."""

    assignment_id: int
    job_id: int
    number: str
    name: str
    squares: float
    start: datetime
    end: datetime  # likely finish
    finish_p90: datetime
    segments: tuple[Segment, ...]
    pinned: bool
    pencilled: bool  # not ready to build: cannot be published
    change: BarChange
    broken: tuple[Blocker, ...]
    reasons: tuple[str, ...]
    not_ready: tuple[str, ...] = ()
    late_days: int = 0
    started: bool = False


@dataclass(frozen=True)
class SnapLine:
    """The published place of a job that moves. to_crew: set when it left this crew."""

    job_id: int
    name: str
    start: datetime
    end: datetime
    to_crew: str = ""


@dataclass(frozen=True)
class PlanCrewRow:
    """One row of the grid."""

    crew_id: int
    name: str
    subcontract: bool
    people: float
    squares_a_day: float | None  # on a full dry day, by the table hours of its jobs and its learned speed; None: no job
    bars: tuple[PlanBar, ...]
    snap_lines: tuple[SnapLine, ...]
    as_published: bool


@dataclass(frozen=True)
class CostLine:
    """One cost of both plans. code: late_days, idle_labor_hours, water_loss_usd, travel_miles."""

    code: str
    published: float | None
    proposed: float | None


@dataclass(frozen=True)
class Move:
    """One job that moves, and why."""

    job_id: int
    name: str
    from_start: datetime | None
    to_start: datetime | None
    from_crew: str
    to_crew: str
    reason: str
    cause: Cause | None = None


@dataclass(frozen=True)
class PlanHead:
    """Figures of one plan."""

    id: int
    number: int
    state: str
    made_at: datetime
    made_by: str
    seed: int
    objective: float
    bound: float
    gap: float
    seconds: float
    stopped: bool
    first_day: date
    days: int
    jobs: int
    made_from_id: int | None
    published_at: datetime | None


@dataclass(frozen=True)
class RunningWork:
    """A proposal that is being computed, or just failed."""

    id: int
    state: str
    progress: float
    note: str
    gap: float | None
    error: str
    started_at: datetime
    stopping: bool = False  # somebody asked it to stop; the best plan so far comes next


@dataclass(frozen=True)
class Unscheduled:
    """A job that got no place, and why."""

    job_id: int
    name: str
    reason: str


@dataclass(frozen=True)
class PlanBoard:
    """The whole page. The bars are the proposal's where there is one, else the published plan's."""

    yard_id: int
    yard_name: str
    company: str
    zone: str
    now: datetime
    days: tuple[PlanDay, ...]
    crews: tuple[PlanCrewRow, ...]
    proposal: PlanHead | None
    published: PlanHead | None
    costs: tuple[CostLine, ...]
    moves: tuple[Move, ...]
    blockers: tuple[Blocker, ...]
    unscheduled: tuple[Unscheduled, ...]
    work: RunningWork | None
    forecast: ForecastNote
    jobs_planned: int
    may_plan: bool
    stale: bool = False  # the published plan changed after this proposal was made
    told: tuple[str, ...] = ()  # who gets told when the proposal is published (crew names, 'homeowner Holt', ...)

    @property
    def may_publish(self) -> bool:
        """Publishing is offered only where it would not be refused by what is seen here."""
        return self.may_plan and self.proposal is not None and not self.blockers and not self.stale
