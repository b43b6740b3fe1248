"""A yard's planning question as plain data: crews, jobs, skies, what is pinned and published, capacities, money."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from math import asin, cos, radians, sin, sqrt
from zoneinfo import ZoneInfo

from crews.planner.exposure import Sky
from crews.planner.problem import CrewDay, Policy, RoofWork

EARTH_RADIUS_MILES = 3958.8
ROAD_FACTOR = 1.3  # road miles for a mile as the crow flies [planning assumption, to be replaced by own records]
ROAD_MPH = 30.0  # [planning assumption]


@dataclass(frozen=True)
class CostRates:
    """What things cost [USD]; every value is the company's own setting, the defaults are planning assumptions."""

    late_usd_per_day: float = 250.0
    waiting_usd_per_day: float = 20.0  # a signed job that starts later than it could
    # Inside damage where rain falls on a square (100 sq ft) of bare deck: drying, insulation, ceiling and paint below
    # at about 10 USD a sq ft; a wetting of a few squares costs some thousands. Common practice, no source.
    water_loss_usd_per_square: float = 1000.0
    travel_usd_per_mile: float = 1.5
    overtime_factor: float = 1.5
    crew_change_usd: float = 900.0  # against the published plan
    day_move_usd: float = 120.0  # per day, against the published plan
    priority_usd: float = 500.0  # per step of priority
    # Chance that what is opened on a day beyond the forecast gets wet, after that day's gates have been kept: they open
    # nothing at 10 % or more, and most days on which a roof is opened have far less. Planning assumption, no source.
    typical_wet_chance: float = 0.02

    def __post_init__(self) -> None:
        for name, value in vars(self).items():
            if not value >= 0:
                raise ValueError(f"{name.replace('_', ' ')} must not be negative.")
        if self.overtime_factor < 1:
            raise ValueError("Overtime cannot cost less than regular time.")


@dataclass(frozen=True)
class PlanCrew:
    """One crew over the days of the plan (and a tail beyond them, so that late starts can finish).

    days: regular shifts; make_up_days: Saturdays and the like, at overtime cost. base: where it starts from.
    labor_usd_per_hour: mean paid cost of one person and hour.
    """

    crew_id: int
    name: str
    days: tuple[CrewDay, ...]
    make_up_days: tuple[CrewDay, ...] = ()
    skills: frozenset[str] = frozenset()
    steep_limit_in_12: float = 12.0
    insurance_until: date | None = None
    needs_insurance: bool = False  # a subcontract crew works only while its insurance is valid
    labor_usd_per_hour: float = 38.0
    base: tuple[float, float] | None = None  # lat, lon


@dataclass(frozen=True)
class PlanJob:
    """One job that may be planned.

    value_usd: what the job brings before labor, travel and losses are paid (contract less materials). priority: steps
    above (below) the usual.
    """

    job_id: int
    name: str
    work: RoofWork
    sky_id: int
    value_usd: float
    place: tuple[float, float] | None = None  # lat, lon
    promised_from: date | None = None
    promised_by: date | None = None
    blocked_dates: frozenset[date] = frozenset()
    skills_needed: frozenset[str] = frozenset()
    priority: int = 0
    missing: tuple[str, ...] = ()  # lines of the checklist that are open: it can be pencilled in, not published
    roof_drops: int = 1  # supplier drops on its first day
    dumpsters: int = 1  # containers set on its first day
    policy: Policy | None = None  # the job's own limits
    allowed_hours: tuple[time, time] | None = None  # wall times between which noise is allowed

    @property
    def pencilled(self) -> bool:
        """Whether it is not ready to build."""
        return bool(self.missing)

    @property
    def steepest_in_12(self) -> float:
        """Pitch of its steepest plane."""
        return max(section.pitch_in_12 for section in self.work.sections)


@dataclass(frozen=True)
class Pin:
    """A person's word: this job with this crew, starting on this day. It never opens a roof."""

    job_id: int
    crew_id: int
    day: date


@dataclass(frozen=True)
class PublishedPlace:
    """Where a job stands in the published plan."""

    crew_id: int
    start: datetime


@dataclass(frozen=True)
class Capacity:
    """How many roof drops and dumpsters a yard gets per day; by_day overrides for single dates."""

    drops_per_day: int = 99
    dumpsters_per_day: int = 99
    drops_by_day: Mapping[date, int] = field(default_factory=dict)
    dumpsters_by_day: Mapping[date, int] = field(default_factory=dict)

    def drops(self, day: date) -> int:
        """Supplier drops possible on a day."""
        return self.drops_by_day.get(day, self.drops_per_day)

    def dumpsters(self, day: date) -> int:
        """Dumpsters that can be set on a day."""
        return self.dumpsters_by_day.get(day, self.dumpsters_per_day)


@dataclass(frozen=True)
class PlanProblem:
    """One yard's question: which job with which crew from when, over `n_days` from `first_day` in the yard's zone."""

    first_day: date
    n_days: int
    zone: str
    now: datetime
    crews: tuple[PlanCrew, ...]
    jobs: tuple[PlanJob, ...]
    skies: Mapping[int, Sky]
    policy: Policy = field(default_factory=Policy)
    pins: tuple[Pin, ...] = ()
    published: Mapping[int, PublishedPlace] = field(default_factory=dict)  # by job id
    capacity: Capacity = field(default_factory=Capacity)
    rates: CostRates = field(default_factory=CostRates)
    crews_per_job: int = 6  # the nearest that may do it; the published and the pinned crew always count

    def __post_init__(self) -> None:
        if not 1 <= self.n_days <= 60:
            raise ValueError("A plan covers 1 to 60 days.")
        if self.now.utcoffset() is None:
            raise ValueError("A plan needs a present moment with a zone.")
        ZoneInfo(self.zone)
        for what, ids in (("crew", [c.crew_id for c in self.crews]), ("job", [j.job_id for j in self.jobs])):
            if len(set(ids)) != len(ids):
                raise ValueError(f"A {what} stands twice in the plan's question.")
        unknown = {job.sky_id for job in self.jobs} - set(self.skies)
        if unknown:
            raise ValueError("A job stands under a sky that was not given.")

    @property
    def last_start_day(self) -> date:
        """Last day on which a job may start."""
        return self.first_day + timedelta(days=self.n_days - 1)

    @property
    def mean_labor_usd_per_hour(self) -> float:
        """Mean labor cost of the crews [USD per labor-hour]; 0 without crews."""
        return sum(crew.labor_usd_per_hour for crew in self.crews) / len(self.crews) if self.crews else 0.0

    def day_of(self, moment: datetime) -> date:
        """The yard's calendar day of a moment."""
        return moment.astimezone(ZoneInfo(self.zone)).date()

    def policy_of(self, job: PlanJob) -> Policy:
        """The job's own limits, else the yard's."""
        return job.policy or self.policy


def road_miles(a: tuple[float, float] | None, b: tuple[float, float] | None) -> float:
    """Road miles between two places (haversine times a road factor); 0 where one is not known."""
    if a is None or b is None:
        return 0.0
    lat_a, lon_a, lat_b, lon_b = map(radians, (*a, *b))
    h = sin((lat_b - lat_a) / 2) ** 2 + cos(lat_a) * cos(lat_b) * sin((lon_b - lon_a) / 2) ** 2
    return 2 * EARTH_RADIUS_MILES * asin(sqrt(min(1.0, h))) * ROAD_FACTOR


def travel_minutes(miles: float) -> float:
    """Minutes on the road, up to the next five so that near crews share one walk."""
    return -(-miles / ROAD_MPH * 60.0 // 5.0) * 5.0


@dataclass(frozen=True)
class PlannedDay:
    """What one day of an assignment does. Squares, feet, labor-hours of people on the roof."""

    day: date
    start: datetime
    end: datetime
    torn_off_squares: float
    dried_in_squares: float
    shingled_squares: float
    ridge_ft: float
    labor_hours: float
    idle_labor_hours: float
    phases: tuple[tuple[str, float], ...]  # step kind, labor-hours, in the order of the day
    overtime: bool = False
    typical: bool = False  # beyond the forecast: the month's climatology


@dataclass(frozen=True)
class Planned:
    """One job in a plan."""

    job_id: int
    crew_id: int
    start: datetime
    finish_p50: datetime
    finish_p90: datetime
    days: tuple[PlannedDay, ...]
    cost: dict[str, float]  # term -> whole USD; crews.planner.cost names the terms
    value_usd: float  # the job's value and what leaving it out would not save (crews.planner.cost.left_out_usd)
    pinned: bool
    pencilled: bool
    p_wet: float
    late_days: int
    travel_miles: float
    idle_labor_hours: float
    typical: bool
    half_days: tuple[tuple[date, int], ...]  # occupied: day and 0 (first half of the shift) or 1
    reasons: tuple["Said", ...] = ()

    @property
    def net_usd(self) -> float:
        """Value less all cost terms."""
        return self.value_usd - sum(self.cost.values())


@dataclass(frozen=True)
class Said:
    """One reason as a code with its figures; the pages make the sentence. text: plain English for logs and commands."""

    code: str
    text: str
    params: dict[str, str | float | None] = field(default_factory=dict)


@dataclass(frozen=True)
class Unscheduled:
    """A job that the plan leaves out, and why."""

    job_id: int
    reason: Said


@dataclass(frozen=True)
class PlanResult:
    """What planning found. Net value and bound in USD; gap = (bound - objective) / objective."""

    assignments: tuple[Planned, ...]
    unscheduled: tuple[Unscheduled, ...]
    pin_conflicts: tuple[Said, ...]
    objective: float
    bound: float
    gap: float
    seed: int
    stopped: bool
    n_columns: int
    n_walks: int
    totals: dict[str, float]  # late_days, idle_labor_hours, water_loss_usd, travel_miles, ...
