"""What the Crews page shows: who is there on a day, who is away, what expires."""

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True)
class PersonLine:
    """One member on the day. away: the reason given, or 'off' on a day that is not a working day; empty: there."""

    worker_id: int
    name: str
    phone: str
    language: str
    skills: tuple[str, ...]
    lead: bool
    there: bool
    away: str
    working_days: str
    expired_training: tuple[tuple[str, date], ...]
    expiring_training: tuple[tuple[str, date], ...]


@dataclass(frozen=True)
class CrewLine:
    """One crew on the day. insured False stops every assignment; job: where the plan has it."""

    crew_id: int
    name: str
    subcontract: bool
    insured: bool
    insurance_until: date | None
    steep_limit_in_12: float
    tarps: int
    tarp_squares: float
    overtime_allowed: bool
    speed: float
    jobs_counted: int
    people: tuple[PersonLine, ...]
    count: int
    job_names: tuple[str, ...]


@dataclass(frozen=True)
class CrewsBoard:
    """The whole page of one day."""

    yard_id: int
    yard_name: str
    company: str
    zone: str
    day: date
    crews: tuple[CrewLine, ...]
    without_crew: tuple[str, ...]
    may_edit: bool
