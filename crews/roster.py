"""Who is there on a day: RFC 5545 working days and absences, crews by date, insurance, steep roofs, shifts."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo

from dateutil.rrule import rruleset, rrulestr

from crews.planner.problem import CrewDay

# A rule without DTSTART is counted from this Monday, so that INTERVAL=2 has a fixed rhythm.
RULE_ANCHOR = date(2024, 1, 1)
FREQUENCIES = ("DAILY", "WEEKLY", "MONTHLY", "YEARLY")
# Wall time of the midday break [common practice, no source].
MIDDAY_BREAK = (time(12, 0), time(12, 30))


def check_rule(text: str) -> str:
    """Return a recurrence rule as it is kept, without the 'RRULE:' in front.

    Raises ValueError for what is no rule of whole days. Source: RFC 5545 section 3.3.10.
    """
    rule = text.strip().removeprefix("RRULE:").strip()
    parts = dict(part.split("=", 1) for part in rule.replace("\n", ";").split(";") if "=" in part)
    if parts.get("FREQ", "").upper() not in FREQUENCIES:
        raise ValueError(f"“{text}” is not a rule of days; write e.g. FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR.")
    if any(key.upper() in ("BYHOUR", "BYMINUTE", "BYSECOND") for key in parts):
        raise ValueError(f"“{text}” speaks of hours; a roster rule names whole days.")
    try:
        rrulestr(rule, dtstart=datetime.combine(RULE_ANCHOR, time()))
    except (ValueError, KeyError, TypeError, AttributeError) as error:
        raise ValueError(f"“{text}” is not a valid recurrence rule.") from error
    return rule


@lru_cache(maxsize=4096)
def days_of(rule: str, anchor: date, first: date, last: date) -> frozenset[date]:
    """The days of [first, last] that a rule names, counted from an anchor day.

    Raises ValueError for a rule that cannot be read.
    """
    found: object = rrulestr(check_rule(rule), dtstart=datetime.combine(anchor, time()), ignoretz=True)
    assert not isinstance(found, rruleset)
    start, end = datetime.combine(first, time()), datetime.combine(last, time())
    return frozenset(moment.date() for moment in found.between(start, end, inc=True))  # type: ignore[attr-defined]


@dataclass(frozen=True)
class AbsenceSpan:
    """Days away: `days` from first_day on, or from each day that the rule names (counted from first_day)."""

    first_day: date
    days: int = 1
    rule: str = ""
    reason: str = ""

    def __post_init__(self) -> None:
        if self.days < 1:
            raise ValueError("An absence lasts at least one day.")
        if self.rule:
            check_rule(self.rule)

    def holds(self, day: date) -> bool:
        """True on a day of the absence."""
        if day < self.first_day:
            return False
        if not self.rule:
            return day < self.first_day + timedelta(days=self.days)
        back = max(self.first_day, day - timedelta(days=self.days - 1))
        return bool(days_of(self.rule, self.first_day, back, day))


@dataclass(frozen=True)
class Member:
    """One worker in a crew over a span of days, both ends included; None lasts."""

    worker_id: int
    name: str
    working_days: str
    from_day: date
    to_day: date | None = None
    absences: tuple[AbsenceSpan, ...] = ()
    skills: tuple[str, ...] = ()
    active: bool = True
    hourly_cost_usd: float = 0.0
    phone: str = ""
    language: str = "en"

    def __post_init__(self) -> None:
        check_rule(self.working_days)
        if self.to_day is not None and self.to_day < self.from_day:
            raise ValueError(f"{self.name} would leave the crew before joining it.")

    def in_crew(self, day: date) -> bool:
        """True while the worker belongs to the crew."""
        return self.active and self.from_day <= day and (self.to_day is None or day <= self.to_day)

    def away(self, day: date) -> AbsenceSpan | None:
        """The absence that holds on a day, or None."""
        return next((absence for absence in self.absences if absence.holds(day)), None)

    def works(self, day: date, *, overtime: bool = False) -> bool:
        """True where the worker is there on a day; overtime skips the working-day rule, never an absence."""
        if not self.in_crew(day) or self.away(day) is not None:
            return False
        return overtime or bool(days_of(self.working_days, RULE_ANCHOR, day, day))


@dataclass(frozen=True)
class CrewRoster:
    """A crew with its members. A subcontract crew works only while its insurance is known to run."""

    crew_id: int
    name: str
    members: tuple[Member, ...]
    subcontract: bool = False
    insurance_until: date | None = None
    steep_limit_in_12: float = 12.0
    lead_id: int | None = None
    tarps: int = 2
    tarp_squares: float = 2.5
    overtime_allowed: bool = False
    active: bool = True
    speed: float = 1.0  # learned: table hours done per labor-hour

    def __post_init__(self) -> None:
        if not self.speed > 0:
            raise ValueError("A crew's speed must be above zero.")

    def insured(self, day: date) -> bool:
        """True where nothing about insurance stops an assignment on a day."""
        if not self.subcontract:
            return self.insurance_until is None or day <= self.insurance_until
        return self.insurance_until is not None and day <= self.insurance_until

    def fit_for(self, pitch_in_12: float) -> bool:
        """True where the crew may work on a slope of this pitch."""
        return pitch_in_12 <= self.steep_limit_in_12

    def people(self, day: date, *, overtime: bool = False) -> tuple[Member, ...]:
        """The members who are there on a day; nobody while the crew is inactive or not insured."""
        if not self.active or not self.insured(day):
            return ()
        return tuple(member for member in self.members if member.works(day, overtime=overtime))

    def lead(self) -> Member | None:
        """The crew lead, where the lead is a member."""
        return next((member for member in self.members if member.worker_id == self.lead_id), None)


@dataclass(frozen=True)
class ShiftHours:
    """The yard's ordinary shift in wall time, and its weekdays (0 is Monday)."""

    start: time
    end: time
    zone: str
    weekdays: frozenset[int] = frozenset(range(5))

    def __post_init__(self) -> None:
        if self.end <= self.start:
            raise ValueError("A shift must end after it starts.")
        if not self.weekdays:
            raise ValueError("A yard works on at least one weekday.")

    def span(self, day: date, earliest: time | None = None, latest: time | None = None) -> tuple[datetime, datetime]:
        """Start and end of a day's shift, UTC; a job's allowed hours narrow it and never widen it.

        Raises ValueError where nothing is left of the shift.
        """
        start = max(self.start, earliest) if earliest else self.start
        end = min(self.end, latest) if latest else self.end
        if end <= start:
            raise ValueError("The job's allowed hours leave nothing of the shift.")
        return moment_of(day, start, self.zone), moment_of(day, end, self.zone)

    def next_workday(self, after: date) -> date:
        """The first work day after a day."""
        day = after + timedelta(days=1)
        while day.weekday() not in self.weekdays:
            day += timedelta(days=1)
        return day


def moment_of(day: date, clock: time, zone: str) -> datetime:
    """The UTC moment of a wall time; a time that the clock change skips moves forward with it."""
    return datetime.combine(day, clock, tzinfo=ZoneInfo(zone)).astimezone(UTC)


def crew_day(
    roster: CrewRoster,
    hours: ShiftHours,
    day: date,
    *,
    people_here: float | None = None,
    earliest: time | None = None,
    latest: time | None = None,
    travel_minutes: float = 0.0,
    overtime: bool = False,
) -> CrewDay | None:
    """One crew's day, or None where nobody comes.

    people_here: what the lead reported [people]; it replaces the roster's count.
    """
    count = float(len(roster.people(day, overtime=overtime))) if people_here is None else people_here
    if count <= 0 or not roster.insured(day) or not roster.active:
        return None
    start, end = hours.span(day, earliest, latest)
    pause = (moment_of(day, MIDDAY_BREAK[0], hours.zone), moment_of(day, MIDDAY_BREAK[1], hours.zone))
    return CrewDay(
        crew_id=roster.crew_id,
        start=start,
        end=end,
        people=count,
        speed=roster.speed,
        tarps=roster.tarps,
        tarp_squares=roster.tarp_squares,
        travel_minutes=travel_minutes,
        breaks=(pause,) if start < pause[0] and pause[1] < end else (),
    )


def crew_days(roster: CrewRoster, hours: ShiftHours, first_day: date, n_days: int) -> tuple[CrewDay, ...]:
    """The crew's days among n calendar days from first_day, ordinary work days only, days with nobody left out."""
    found = []
    for offset in range(n_days):
        day = first_day + timedelta(days=offset)
        if day.weekday() in hours.weekdays:
            one = crew_day(roster, hours, day)
            if one is not None:
                found.append(one)
    return tuple(found)


def names_on(members: Sequence[Member], day: date) -> tuple[str, ...]:
    """Names of those who are there, in the order of the roster."""
    return tuple(member.name for member in members if member.works(day))
