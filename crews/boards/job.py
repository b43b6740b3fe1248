"""What the Job page shows beyond the roof itself (drawing, edges and takeoff come from the jobs app)."""

from dataclasses import dataclass
from datetime import date, datetime

from crews.boards.delivery import LoadRow
from crews.boards.forecast_note import ForecastNote
from crews.boards.today import TodayRow


@dataclass(frozen=True)
class PhaseLine:
    """Labor-hours of one phase over all slopes. phase: jobs.phases.Phase, 'details' or 'set_up_clean_up'."""

    phase: str
    done_labor_hours: float
    planned_labor_hours: float


@dataclass(frozen=True)
class SectionLine:
    """One slope with its areas; order: figure of today's opening order, None when not today."""

    section_id: int
    name: str
    pitch_in_12: float
    squares: float
    old_squares: float
    bare_squares: float
    dried_in_squares: float
    shingled_squares: float
    order: int | None
    stop_squares: float | None  # today's work on this slope ends here [squares torn off in all]
    state: str  # old, bare, dried_in, shingled


@dataclass(frozen=True)
class RidgeLine:
    """One ridge with its progress [ft]."""

    edge_id: int
    name: str
    length_ft: float
    open_ft: float
    finished_ft: float
    vented: bool


@dataclass(frozen=True)
class InspectionLine:
    """One visit or hold. window_end: nobody by then: photos, and cover."""

    id: int
    kind: str
    section: str
    state: str
    hold_point: bool
    window_start: datetime | None
    window_end: datetime | None
    call_ahead_hours: int
    note: str


@dataclass(frozen=True)
class LogLine:
    """One line of the job's log: a report, a verdict, a decision of the office."""

    at: datetime
    who: str  # a person's name; empty: roofops itself
    code: str  # verb or entry kind
    section: str = ""
    before: float | None = None
    after: float | None = None
    text: str = ""
    flags: tuple[str, ...] = ()  # more_than_measured, differs, correction


@dataclass(frozen=True)
class ReadyLine:
    """One line of the ready-to-build checklist."""

    id: int
    kind: str
    needed: bool
    done_at: datetime | None
    note: str


@dataclass(frozen=True)
class DelayLine:
    """One day or part of a day lost. value and limit: in `unit`, as in crews.boards.key_line.Cause."""

    day: date
    hours_lost: float
    reason: str
    value: float | None
    limit: float | None
    unit: str = ""


@dataclass(frozen=True)
class CrewSpeed:
    """What the crew's own record says: below 1 = fewer labor-hours than the table."""

    crew_name: str
    factor: float
    jobs_counted: int


@dataclass(frozen=True)
class JobBoard:
    """The whole page. `today` is None where no crew is on this roof today; its strip then shows nothing planned."""

    job_id: int
    yard_id: int
    zone: str
    now: datetime
    day: date
    today: TodayRow | None
    forecast: ForecastNote
    sections: tuple[SectionLine, ...]
    ridges: tuple[RidgeLine, ...]
    phases: tuple[PhaseLine, ...]
    finish_p50: datetime | None
    finish_p90: datetime | None
    crew_speed: CrewSpeed | None
    inspections: tuple[InspectionLine, ...]
    loads: tuple[LoadRow, ...]
    ready: tuple[ReadyLine, ...]
    delays: tuple[DelayLine, ...]
    log: tuple[LogLine, ...]
    own_limits: tuple[tuple[str, float, str], ...]  # (key, value, reason)
    planned_start: datetime | None
    crew_name: str
    may_report: bool
    may_edit: bool

    @property
    def done_labor_hours(self) -> float:
        """All labor-hours reported."""
        return sum(line.done_labor_hours for line in self.phases)

    @property
    def planned_labor_hours(self) -> float:
        """All labor-hours planned."""
        return sum(line.planned_labor_hours for line in self.phases)
