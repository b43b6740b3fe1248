"""What Deliveries shows: every load of a day with the window that the plan leaves it."""

from dataclasses import dataclass
from datetime import date, datetime

from crews.boards.forecast_note import ForecastNote
from crews.boards.key_line import Cause
from crews.boards.sky_strip import SkyHour


@dataclass(frozen=True)
class WayOut:
    """One way to mend a load that does not fit. code: move_slot, ground, later_start; at: the new slot or start."""

    code: str
    at: datetime | None = None


@dataclass(frozen=True)
class LoadItem:
    """One item of a load."""

    item: str
    count: float
    unit: str


@dataclass(frozen=True)
class LoadRow:
    """One truck to one job. fit: fits, too_early, too_late, no_slot, not_planned, overweight, no_place.

    no_place: a roof drop whose load may not lie on the roof at its slot; no_place_why says which rule forbids it.
    """

    load_id: int
    kind: str
    placement: str  # roof (both slopes) or ground
    items: tuple[LoadItem, ...]
    weight_lb: int
    container_yd3: int | None
    job_id: int
    job_number: str
    short_name: str
    street: str
    crew_name: str
    state: str  # planned, asked, confirmed, moved, short, refused, came, cancelled
    slot_start: datetime | None
    slot_end: datetime | None
    not_before: datetime | None = None
    not_before_why: str = ""  # code: dried_in, day_before, work_starts, room, now
    need_by: datetime | None = None
    need_by_why: str = (
        ""  # code of the phase that starts: tear_off, ice_barrier, underlayment, field, ridge, clean_up, full
    )
    fit: str = "not_planned"
    minutes: int = 0  # by how much it is early or late
    no_place_why: str = ""  # code of jobs.delivery_window.place_for: bare_deck, slot_open, one_slope, ...
    proposed_slot: datetime | None = None
    ways_out: tuple[WayOut, ...] = ()
    supplier_name: str = ""
    supplier_phone: str = ""
    truck_payload_lb: int = 0
    note: str = ""
    revision: int = 1
    not_before_section: str = ""
    need_by_section: str = ""
    gust_at_slot_mph: float | None = None
    gust_limit_mph: float | None = None
    split: tuple[tuple[str, int], ...] = ()  # roof drop: (slope, bundles), both slopes
    laid: tuple[float, float] | None = None  # (came or laid, of) squares of shingles
    hazards: str = ""
    cause: Cause | None = None
    calls: tuple[tuple[datetime, str, str], ...] = ()  # (at, verb, who)


@dataclass(frozen=True)
class DeliveryBoard:
    """The whole page of one day; the soonest need-by first."""

    yard_id: int
    yard_name: str
    company: str
    zone: str
    day: date
    now: datetime
    days: tuple[date, ...]  # the days offered at the top
    rows: tuple[LoadRow, ...]
    hours: tuple[SkyHour, ...]  # sky over the yard
    forecast: ForecastNote
    drops_used: int
    drops_limit: int
    sunrise: datetime
    sunset: datetime
    axis_start: datetime
    axis_end: datetime
    may_change: bool

    def count(self, fit: str) -> int:
        """Rows with this fit."""
        return sum(1 for row in self.rows if row.fit == fit)
