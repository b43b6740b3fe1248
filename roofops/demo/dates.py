"""Turns the scenario's work days and wall times into dates and moments around the day of loading."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

RRULE_DAYS = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")


@dataclass(frozen=True)
class Calendar:
    """The demo's clock: `now` (aware), the yard's zone and the weekdays on which it works (0 = Monday).

    Raises ValueError where today is not one of the work days: the scenario begins at work.
    """

    now: datetime
    zone: ZoneInfo
    weekdays: frozenset[int]

    def __post_init__(self) -> None:
        if self.today.weekday() not in self.weekdays:
            raise ValueError("The first day of the demo must be a work day of its yard.")

    @classmethod
    def around(cls, now: datetime, zone_name: str, weekdays: Collection[int]) -> "Calendar":
        """Return the calendar for a moment; today's weekday joins the work days, so that Today is never empty."""
        zone = ZoneInfo(zone_name)
        return cls(now, zone, frozenset(weekdays) | {now.astimezone(zone).weekday()})

    @property
    def today(self) -> date:
        """The local date of `now`."""
        return self.now.astimezone(self.zone).date()

    def work_day(self, number: int) -> date:
        """Return the date of a work day: 0 today, 1 the next, -1 the one before."""
        step = timedelta(days=1 if number > 0 else -1)
        day, left = self.today, abs(number)
        while left:
            day += step
            left -= day.weekday() in self.weekdays
        return day

    def moment(self, work_day: int, at: time) -> datetime:
        """Return the moment of a wall time on a work day."""
        return datetime.combine(self.work_day(work_day), at, self.zone)

    def months_from_today(self, months: int) -> date:
        """Return the date so many months of 30 days from today; negative: ago."""
        return self.today + timedelta(days=30 * months)

    @property
    def weekday_digits(self) -> str:
        """The work days as a yard stores them, such as 01234."""
        return "".join(str(day) for day in sorted(self.weekdays))

    @property
    def weekly_rule(self) -> str:
        """The work days as a recurrence rule (RFC 5545)."""
        return "FREQ=WEEKLY;BYDAY=" + ",".join(RRULE_DAYS[day] for day in sorted(self.weekdays))
