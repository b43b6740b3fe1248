"""The planner's inputs and outputs as plain data: roof work, crew days, policy, runs."""

from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum

from jobs.phases import Phase

AREA_SLACK = 0.001  # squares: less than this is rounding


def _refuse_negative(**values: float) -> None:
    for name, value in values.items():
        if not value >= 0:  # also refuses NaN
            raise ValueError(f"{name.replace('_', ' ')} must not be negative, but is {value}.")


@dataclass(frozen=True)
class SectionWork:
    """One roof plane with what lies on it now and the labor-hours that each square of it still needs.

    Areas [squares] sum to the plane's squares. hours_per_square: labor-hours per square of section for each phase up to
    the shingles, pitch, storeys, layers and the crew's learned factor included; drip edge counts with underlayment.
    detail_closing_labor_hours: valley lining and seals owed before the plane counts as dried-in;
    detail_field_labor_hours: flashing and boots made with the shingles. run_ft is also the length of one strip edge.
    """

    section_id: int
    name: str
    old_squares: float
    bare_squares: float
    dried_in_squares: float
    shingled_squares: float
    eave_ft: float
    run_ft: float
    pitch_in_12: float
    hours_per_square: dict[Phase, float]
    detail_closing_labor_hours: float = 0.0
    detail_field_labor_hours: float = 0.0
    has_ice_barrier: bool = True
    deck_hold_from: datetime | None = None  # inspector's window; a strip that must be seen opens only if it fits
    deck_hold_until: datetime | None = None
    stop_name: str = ""  # what the crew would call the far edge of this plane: "the garage valley"
    deck_hold: bool = False  # its deck must be seen; without a booked window it is not opened at all
    tarped_squares: float = 0.0  # the part of bare_squares that lies under a battened cover now

    def __post_init__(self) -> None:
        _refuse_negative(
            old_squares=self.old_squares,
            bare_squares=self.bare_squares,
            dried_in_squares=self.dried_in_squares,
            shingled_squares=self.shingled_squares,
            tarped_squares=self.tarped_squares,
            eave_ft=self.eave_ft,
            run_ft=self.run_ft,
            detail_closing_labor_hours=self.detail_closing_labor_hours,
            detail_field_labor_hours=self.detail_field_labor_hours,
            **{f"labor-hours per square of {phase}": h for phase, h in self.hours_per_square.items()},
        )
        if self.tarped_squares > self.bare_squares + AREA_SLACK:
            raise ValueError("No more can lie under tarps than is bare.")
        if not self.squares > 0:
            raise ValueError("A section needs an area above zero.")
        if (self.deck_hold_from is None) != (self.deck_hold_until is None):
            raise ValueError("An inspection window needs both its ends.")

    @property
    def squares(self) -> float:
        """True area of the plane [squares]."""
        return self.old_squares + self.bare_squares + self.dried_in_squares + self.shingled_squares


@dataclass(frozen=True)
class RidgeWork:
    """One vented or plain ridge or hip line that gets vent and caps after the planes at its sides are shingled."""

    edge_id: int
    name: str
    length_ft: float
    open_ft: float
    finished_ft: float
    labor_hours_per_ft: float
    cover_labor_hours_per_ft: float
    vented: bool
    section_ids: tuple[int, ...] = ()

    def __post_init__(self) -> None:
        _refuse_negative(
            length_ft=self.length_ft,
            open_ft=self.open_ft,
            finished_ft=self.finished_ft,
            labor_hours_per_ft=self.labor_hours_per_ft,
            cover_labor_hours_per_ft=self.cover_labor_hours_per_ft,
        )
        if self.open_ft + self.finished_ft > self.length_ft + 0.01:
            raise ValueError("A ridge cannot be open and finished for more feet than it is long.")


@dataclass(frozen=True)
class RoofWork:
    """Everything still to be done on one job, in the order in which a foreman would open it."""

    job_id: int
    sections: tuple[SectionWork, ...]
    ridges: tuple[RidgeWork, ...] = ()
    first_day_set_up_minutes: float = 60.0
    later_set_up_minutes: float = 30.0
    clean_up_minutes: float = 45.0
    started: bool = False  # the first day's set-up lies behind
    # Moments from which each phase has its load on site; a phase that is not named waits for none.
    material_from: dict[Phase, datetime] = field(default_factory=dict)
    wet_deck: bool = False  # a deck got wet and no reading or 'dry' was given since
    opened_today_squares: float = 0.0  # torn off today before the walk's start, whatever lies on it now

    def __post_init__(self) -> None:
        _refuse_negative(
            first_day_set_up_minutes=self.first_day_set_up_minutes,
            later_set_up_minutes=self.later_set_up_minutes,
            clean_up_minutes=self.clean_up_minutes,
            opened_today_squares=self.opened_today_squares,
        )
        if not self.sections:
            raise ValueError("A roof needs at least one section.")
        if len({s.section_id for s in self.sections}) != len(self.sections):
            raise ValueError("Two sections carry the same id.")


@dataclass(frozen=True)
class CrewDay:
    """One crew on one day: when the shift runs and who is there."""

    crew_id: int
    start: datetime
    end: datetime
    people: float  # after the crew's absences; may be fractional where somebody comes half a day
    speed: float = 1.0  # learned: labor-hours done per table hour
    tarps: int = 2
    tarp_squares: float = 2.5
    travel_minutes: float = 0.0
    breaks: tuple[tuple[datetime, datetime], ...] = ()
    usable: float = 1.0  # share of its working time that weather leaves; below 1 only on days beyond the forecast

    def __post_init__(self) -> None:
        _refuse_negative(people=self.people, tarps=self.tarps, travel_minutes=self.travel_minutes)
        if self.start.utcoffset() is None or self.end.utcoffset() is None:
            raise ValueError("A shift needs times with a zone.")
        if self.end <= self.start:
            raise ValueError("A shift must end after it starts.")
        if not self.speed > 0:
            raise ValueError("A crew's speed must be above zero.")
        if not 0 < self.usable <= 1:
            raise ValueError("The usable share of a day must lie above 0 and be at most 1.")


@dataclass(frozen=True)
class Policy:
    """What the company allows; each value is a setting (weather.limits holds defaults and their notes)."""

    rain_open_chance: float = 0.10
    rain_manager_cap: float = 0.20
    rain_margin_min_minutes: float = 60.0
    rain_margin_closing_share: float = 0.30
    labor_reserve: float = 0.85
    bare_at_once_squares: float = 5.0
    strip_min_ft: float = 10.0
    tie_in_labor_hours_per_ft: float = 0.03
    shift_end_margin_minutes: float = 30.0
    tarp_labor_hours_per_square: float = 0.1
    own_limit_squares: float | None = None  # the office's own, tighter total for today
    held: bool = False  # opens nothing, closes as ever
    ridge_slot_minutes: float = 120.0  # a slot is cut no longer than what gets vent and caps in this time

    def __post_init__(self) -> None:
        for name in ("rain_open_chance", "rain_manager_cap"):
            if not 0 <= getattr(self, name) <= 1:
                raise ValueError(f"{name.replace('_', ' ')} must lie between 0 and 1.")
        if not 0 < self.labor_reserve <= 1:
            raise ValueError("The labor reserve must lie above 0 and be at most 1.")
        _refuse_negative(
            rain_margin_min_minutes=self.rain_margin_min_minutes,
            rain_margin_closing_share=self.rain_margin_closing_share,
            bare_at_once_squares=self.bare_at_once_squares,
            strip_min_ft=self.strip_min_ft,
            tie_in_labor_hours_per_ft=self.tie_in_labor_hours_per_ft,
            shift_end_margin_minutes=self.shift_end_margin_minutes,
            tarp_labor_hours_per_square=self.tarp_labor_hours_per_square,
            ridge_slot_minutes=self.ridge_slot_minutes,
        )

    @property
    def rain_threshold(self) -> float:
        """Chance of rain [0-1] that the whole open window must stay below."""
        return min(self.rain_open_chance, self.rain_manager_cap)


class StepKind(StrEnum):
    """What a crew does during one step of a run."""

    TRAVEL = "travel"
    SET_UP = "set_up"
    TEAR_OFF = "tear_off"
    DECK = "deck"
    ICE_BARRIER = "ice_barrier"
    UNDERLAYMENT = "underlayment"
    TIE_IN = "tie_in"
    TARP = "tarp"
    DETAIL = "detail"
    FIELD = "field"
    RIDGE = "ridge"
    COVER_RIDGE = "cover_ridge"
    CLEAN_UP = "clean_up"
    BREAK = "break"
    WAIT = "wait"


@dataclass(frozen=True)
class Step:
    """One stretch of a run. Squares or feet say what changed by its end."""

    kind: StepKind
    start: datetime
    end: datetime
    labor_hours: float
    section_id: int | None = None
    edge_id: int | None = None
    squares: float = 0.0
    feet: float = 0.0
    reason: str = (
        ""  # for a wait: the code of the reason (weather.work_hours.Reason.code, or "load", "inspection", ...)
    )


@dataclass(frozen=True)
class RoofAreas:
    """The whole roof at one moment [squares], and the open slot [ft]."""

    at: datetime
    old: float
    bare: float
    tarped: float
    dried_in: float
    shingled: float
    open_ridge_ft: float = 0.0


@dataclass(frozen=True)
class Exposure:
    """One span during which deck lay bare (or a slot open)."""

    start: datetime
    end: datetime
    peak_squares: float
    open_ridge_ft: float
    p_wet: float | None  # None: the sky is not known


@dataclass(frozen=True)
class Run:
    """What one walk found."""

    steps: tuple[Step, ...]
    areas: tuple[RoofAreas, ...]  # break points, straight lines between them
    exposures: tuple[Exposure, ...]
    bare_at_once_squares: float  # first limit, for the first day of the walk
    in_all_today_squares: float  # second limit: torn off on the first day, what is bare at its start included
    stop_section_id: int | None  # where the second limit ends
    stop_squares_into_section: float
    opened_section_ids: tuple[int, ...]  # in the order of opening, first day
    dry_in_by: datetime | None
    p_wet: float  # chance that rain falls on anything open; an exposure under an unknown sky counts as certain
    finish: datetime | None  # None: not finished within the crew days given
    labor_hours: float
    idle_labor_hours: float
    nights_open: int
    remaining_open_squares: float  # bare at the end although everything was tried
    reasons: tuple[tuple[datetime, str, float | None, float | None], ...] = ()  # (hour, code, value, limit)
    dry_in_cause: tuple[datetime, str, float | None, float | None] | None = None  # what dry_in_by waits for
    closes_in_time: bool = True  # what lay open at the start is closed before the sky or the shift forbids it
    finish_p90: datetime | None = None  # filled where a range was asked for (crews.planner.finish_range)
