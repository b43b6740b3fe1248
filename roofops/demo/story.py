"""What the scenario files hold: invented people, houses and reports, dated by work days from the demo's first day."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import time
from math import inf
from types import MappingProxyType

from jobs.roof_shape import RoofShape

# "All of it", whatever the section measures.
ALL = inf


@dataclass(frozen=True)
class PersonStory:
    """One invented worker. `trained` holds topic -> months since the training, `away` the absences."""

    name: str
    phone: str
    language: str = "en"
    skills: tuple[str, ...] = ("tear_off", "shingles")
    hourly_cost_usd: float = 38.0
    trained: Mapping[str, int] = field(default_factory=lambda: MappingProxyType({"fall protection": 7}))
    away: tuple["AbsenceStory", ...] = ()


@dataclass(frozen=True)
class AbsenceStory:
    """Days away: the first, in work days from today, how many days, and a rule (RFC 5545) where it recurs."""

    first_work_day: int
    days: int = 1
    rule: str = ""
    reason: str = ""


@dataclass(frozen=True)
class CrewStory:
    """One invented crew; its lead is the first of its people and signs in with `user_name`."""

    name: str
    user_name: str
    people: tuple[PersonStory, ...]
    kind: str = "own"
    insurance_months: int | None = None  # a subcontract crew's insurance runs out so many months from now
    steep_limit_in_12: float = 12.0
    tarps: int = 2
    skills: tuple[str, ...] = ("tear_off", "shingles", "ridge")
    overtime_allowed: bool = False


@dataclass(frozen=True)
class SupplierStory:
    """One invented firm that brings material or containers."""

    name: str
    kind: str
    phone: str
    loads_per_day: int
    order_cutoff: time
    truck_payload_lb: int


@dataclass(frozen=True)
class ReportStory:
    """One report from a roof: on which work day (0 = today, -1 the one before) and wall time, what, and the new total.

    done: squares, or `ALL` for the whole section or ridge; for the whole roof where neither section nor ridge is named.
    """

    work_day: int
    at: time
    kind: str
    section: str = ""
    done: float | None = None
    phase: str = ""
    note: str = ""


def report(
    work_day: int, at: str, kind: str, section: str = "", done: float | None = None, **words: str
) -> ReportStory:
    """Return a report from a wall time written as 7:31."""
    hour, minute = at.split(":")
    return ReportStory(work_day, time(int(hour), int(minute)), kind, section, done, **words)


@dataclass(frozen=True)
class DetailStory:
    """Penetrations and flashings on one slope."""

    kind: str
    section: str
    count: int = 1
    length_ft: float = 0.0


@dataclass(frozen=True)
class JobStory:
    """One invented house and its job. Days are work days from today; `not_done` lists what the job still waits for."""

    number: str
    short_name: str
    street: str
    lat: float
    lon: float
    sky: str  # the invented weather over this house (weather.sources.recorded)
    roof: Callable[[], RoofShape]
    owner: str
    owner_phone: str
    owner_language: str = "en"
    kind: str = "re_roof"
    crew: str = ""  # the crew that is on it today
    storeys: int = 1
    layers: int = 1
    cut_up: str = "simple"
    debris_carry: bool = False
    eave_overhang_in: float = 12.0
    underlayment: str = "synthetic"
    product: str = "laminate, 250 lb"
    color: str = "slate gray"
    metal_color: str = "charcoal"
    value_usd: int = 0
    priority: int = 2
    promised: tuple[int, int] = (1, 10)
    blocked: tuple[int, ...] = ()
    allowed: tuple[time, time] | None = None
    not_done: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    extra_needed: tuple[str, ...] = ()
    roof_drop_allowed: bool = True
    hazards: str = ""
    wishes: str = ""
    details: tuple[DetailStory, ...] = ()
    reports: tuple[ReportStory, ...] = ()
    status: str = "signed"
