"""What Tomorrow shows: each job of the next work day, the choice, the backup, and who has been told."""

from dataclasses import dataclass
from datetime import date, datetime

from crews.boards.forecast_note import ForecastNote
from crews.boards.job_line import JobLine
from crews.boards.key_line import Cause, KeyLine
from crews.boards.sky_strip import SkyHour, Strip

PARTIES = ("crew", "homeowner", "supplier", "dumpster", "inspector")
CHOICES = ("go", "at_530", "move")
# Less than this is rounding.
LEFT_SQUARES, LEFT_FEET = 0.05, 0.5


@dataclass(frozen=True)
class ToldTick:
    """One box: state to_tell, asked, told or not_needed."""

    party: str
    state: str
    at: datetime | None = None
    note: str = ""  # code for not needed: no_load, same, none


@dataclass(frozen=True)
class ProposedChoice:
    """What the verdict suggests: go, at_530 or move. from_time: work can begin; move_to: the next dry day."""

    choice: str
    from_time: datetime | None = None
    move_to: date | None = None
    cause: Cause | None = None
    promise_holds: bool | None = None  # None: no promise


@dataclass(frozen=True)
class BackupWork:
    """Other work for the crew. code: own_text, closed_work (squares at a street), yard; text: someone's words."""

    code: str
    text: str = ""
    squares: float = 0.0
    street: str = ""


@dataclass(frozen=True)
class TomorrowRow:
    """One job of the next work day."""

    job: JobLine
    day: date
    line: KeyLine
    strip: Strip
    forecast: ForecastNote
    proposed: ProposedChoice
    choice: str  # empty: undecided
    chosen_at: datetime | None
    chosen_by: str
    move_to: date | None
    backup: BackupWork
    ticks: tuple[ToldTick, ...]
    not_ready: tuple[str, ...] = ()
    dry_in_at_risk: bool = False  # before days off: what stays dried-in would see a forecast over its limits
    left_tarped_squares: float = 0.0  # what today's run leaves under tarps; bare and open ridge stand in the line

    @property
    def left_open(self) -> bool:
        """True where today's run does not close everything: the day starts with deck bare, tarped or a ridge open."""
        bare, tarped, feet = self.line.bare_now_squares, self.left_tarped_squares, self.line.open_ridge_now_ft
        return bare >= LEFT_SQUARES or tarped >= LEFT_SQUARES or feet >= LEFT_FEET

    @property
    def to_tell(self) -> int:
        """Ticks still open."""
        return sum(1 for tick in self.ticks if tick.state in ("to_tell", "asked"))


@dataclass(frozen=True)
class TomorrowBoard:
    """The whole page; undecided rows first."""

    yard_id: int
    yard_name: str
    company: str
    zone: str
    day: date  # the next work day
    now: datetime
    decide_by: datetime
    cutoff: datetime | None  # the earliest supplier cut-off still ahead today
    rows: tuple[TomorrowRow, ...]
    forecast: ForecastNote
    yard_hours: tuple[SkyHour, ...]  # the day's sky over the yard, for the sub-line
    rain_until: datetime | None
    wet_until: datetime | None
    bare_hours: float | None  # hours of the shift in which a deck may be torn off, lie bare and be covered, at the yard
    crews_without_job: tuple[str, ...]
    axis_start: datetime
    axis_end: datetime
    may_decide: bool

    def count(self, choice: str) -> int:
        """Rows with this choice; '' counts the undecided."""
        return sum(1 for row in self.rows if row.choice == choice)

    @property
    def to_tell(self) -> int:
        """People still to be told on all rows."""
        return sum(row.to_tell for row in self.rows)

    @property
    def ticks_needed(self) -> int:
        """Boxes that are needed at all."""
        return sum(1 for row in self.rows for tick in row.ticks if tick.state != "not_needed")
