"""The crew's sheet of one day: verdict, slopes in order, steps and checks, nails, cautions, who to call."""

from dataclasses import dataclass
from datetime import date, datetime

from crews.boards.forecast_note import ForecastNote
from crews.boards.job_line import JobLine
from crews.boards.key_line import KeyLine
from crews.boards.sheet_content import Caution, Fastener, PhaseSteps, SourceNote
from crews.boards.sky_strip import Strip


@dataclass(frozen=True)
class SheetSlope:
    """One slope of today's list. order: opening order, None for a slope that only gets closed work.

    phases: codes of what is done on it today; target_labor_hours for them; after: order of the slope that must be
    dried-in first.
    """

    section_id: int
    name: str
    order: int | None
    squares: float
    old_squares: float
    bare_squares: float
    dried_in_squares: float
    shingled_squares: float
    state: str
    pitch_in_12: float
    today_squares: float
    phases: tuple[str, ...]
    target_labor_hours: float
    starts_at: datetime | None
    stop_squares: float | None  # torn off in all on this slope when the stop line is reached
    after: int | None


@dataclass(frozen=True)
class SheetRidge:
    """A ridge line on the sheet [ft]."""

    edge_id: int
    name: str
    length_ft: float
    open_ft: float
    finished_ft: float
    vented: bool
    today_ft: float


@dataclass(frozen=True)
class SheetLoad:
    """Material or container on site or due."""

    kind: str
    placement: str
    items: tuple[tuple[str, float, str], ...]
    state: str
    slot_start: datetime | None
    on_site: bool
    container_yd3: int | None
    no_place_why: str = ""  # why it may not lie on the roof then, though it was meant to: as in crews.boards.delivery


@dataclass(frozen=True)
class SheetHold:
    """An inspection that concerns today; nobody by `until`: photos, and cover."""

    kind: str
    section: str
    start: datetime | None
    until: datetime | None
    state: str


@dataclass(frozen=True)
class SheetJob:
    """One job of the crew's day."""

    job: JobLine
    decision_id: int | None
    version: int
    line: KeyLine
    strip: Strip
    lat: float
    lon: float
    starts_at: datetime | None
    leaves_at: datetime | None
    people: tuple[str, ...]
    slopes: tuple[SheetSlope, ...]
    ridges: tuple[SheetRidge, ...]
    stop_line: str
    steps: tuple[PhaseSteps, ...]
    fasteners: tuple[Fastener, ...]
    cautions: tuple[Caution, ...]
    loads: tuple[SheetLoad, ...]
    next_load: SheetLoad | None
    holds: tuple[SheetHold, ...]
    permit_number: str = ""
    product_line: str = ""
    shingle_color: str = ""
    metal_color: str = ""
    hazards: str = ""
    wishes: str = ""
    confirmed: bool = False  # the lead confirmed this version
    changed_at: datetime | None = None  # a newer version replaced one the crew had seen: mark loudly
    replaces_version: int | None = None
    closed_at: datetime | None = None
    rain_here_at: datetime | None = None
    people_here: float | None = None


@dataclass(frozen=True)
class DaySheet:
    """The whole sheet of one crew and day.

    Past valid_until the phone says: open nothing more, call; the dry-in time still stands.
    """

    crew_id: int
    crew_name: str
    lead_name: str
    yard_id: int
    yard_name: str
    company: str
    zone: str
    day: date
    now: datetime
    people: float
    jobs: tuple[SheetJob, ...]
    forecast: ForecastNote
    valid_until: datetime | None
    call_name: str
    call_phone: str
    may_report: bool
    sources: tuple[SourceNote, ...] = ()

    @property
    def expired(self) -> bool:
        """True once nothing more may be opened on this sheet."""
        return self.valid_until is not None and self.now >= self.valid_until
