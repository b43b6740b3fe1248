"""What Today shows: one row per roof at work or due today, the most urgent first."""

from dataclasses import dataclass
from datetime import date, datetime

from crews.boards.forecast_note import ForecastNote
from crews.boards.job_line import JobLine
from crews.boards.key_line import Cause, KeyLine
from crews.boards.sky_strip import Strip


@dataclass(frozen=True)
class ChangeNote:
    """What is different from the last verdict that a person accepted (or the first of the day)."""

    since: datetime
    old_verdict: str
    new_verdict: str
    old_at_once_squares: float
    new_at_once_squares: float
    old_in_all_squares: float
    new_in_all_squares: float
    old_dry_in_by: datetime | None
    new_dry_in_by: datetime | None
    old_p_wet: float | None
    new_p_wet: float | None
    cause: Cause | None
    tighter: bool

    @property
    def any(self) -> bool:
        """True where a figure, the time or the word differs."""
        return (
            self.old_verdict != self.new_verdict
            or round(self.old_at_once_squares, 1) != round(self.new_at_once_squares, 1)
            or round(self.old_in_all_squares, 1) != round(self.new_in_all_squares, 1)
            or self.old_dry_in_by != self.new_dry_in_by
        )


@dataclass(frozen=True)
class Told:
    """When the crew was told the version in force, and who confirmed it."""

    at: datetime | None = None
    state: str = ""  # new, claimed, sent, uncertain, failed; empty: no notice needed or made
    confirmed_at: datetime | None = None
    confirmed_by: str = ""
    overdue: bool = False  # told more than 5 minutes ago and nobody confirmed: offer the call


@dataclass(frozen=True)
class ClosedNote:
    """The evening's 'closed for the night' of one roof."""

    at: datetime
    by: str
    photo_id: int | None


@dataclass(frozen=True)
class TodayRow:
    """One roof today. `line` is in force: what the crew sees and what counts.

    waiting is the looser verdict that a person may accept, with its decision id; None where nothing waits.
    """

    job: JobLine
    decision_id: int | None
    version: int
    line: KeyLine
    strip: Strip
    forecast: ForecastNote
    change: ChangeNote | None
    told: Told
    accepted_at: datetime | None
    accepted_by: str
    waiting_decision_id: int | None = None
    waiting: KeyLine | None = None
    closed: ClosedNote | None = None
    rain_here_at: datetime | None = None
    due_at: datetime | None = None  # when the next limit bites; the rows are sorted by it
    reasons: tuple[Cause, ...] = ()
    not_ready: tuple[str, ...] = ()  # jobs.ReadyKind values still missing

    @property
    def accept_id(self) -> int | None:
        """The decision that Accept names: the looser one that waits, else the one in force if nobody accepted it."""
        if self.waiting_decision_id is not None:
            return self.waiting_decision_id
        return self.decision_id if self.accepted_at is None else None


@dataclass(frozen=True)
class TodayBoard:
    """The whole page. Counts are by the verdict in force; `open_roofs` are those with bare deck or open ridge now."""

    yard_id: int
    yard_name: str
    company: str
    zone: str
    day: date
    now: datetime
    rows: tuple[TodayRow, ...]
    forecast: ForecastNote
    counts: dict[str, int]  # verdict -> roofs
    open_roofs: int
    axis_start: datetime
    axis_end: datetime
    next_limit: tuple[str, datetime] | None  # (street, dry in by) of the first limit ahead
    since: datetime | None  # moment that changes are counted from
    changed: int
    changed_worse: int
    may_decide: bool  # accept and release
    may_tighten: bool = False  # limit further and hold
    next_work: tuple[date, str] | None = None  # for the empty page: next day with work, and the first street

    @property
    def unchanged_to_accept(self) -> int:
        """Rows that 'Accept all unchanged' would accept."""
        return sum(
            1
            for row in self.rows
            if row.accepted_at is None and row.waiting_decision_id is None and not (row.change and row.change.any)
        )
