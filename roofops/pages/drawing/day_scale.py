"""Where a moment lies on the two-week grid: one column a day, the hours of work across each, nights left out."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo

from crews.boards.plan import PlanCrewRow, PlanDay

USUAL_HOURS = (7, 18)  # wall hours at the two sides of a column where no work says otherwise
WORKDAY_PX = 92
FREE_DAY_PX = 30
# A bar that begins or ends this near to the first or last work of a day takes that whole side of the day.
WHOLE_SIDE_HOURS = 1.0


def side_moments(day: date, zone: str, hours: tuple[int, int]) -> tuple[datetime, datetime]:
    """Return the moments at the two sides of a day's column, in UTC; hours: whole wall hours, the last below 24."""
    sides = (datetime.combine(day, time(hour), tzinfo=ZoneInfo(zone)) for hour in hours)
    start, end = (side.astimezone(UTC) for side in sides)
    return start, end


def hours_of_work(rows: Sequence[PlanCrewRow], zone: str) -> tuple[int, int]:
    """Return the whole wall hours around all work of a plan: what a column shows from side to side."""
    local = ZoneInfo(zone)
    starts = [segment.start.astimezone(local) for row in rows for bar in row.bars for segment in bar.segments]
    ends = [segment.end.astimezone(local) for row in rows for bar in row.bars for segment in bar.segments]
    if not starts:
        return USUAL_HOURS
    last = max(end.hour + (1 if end.minute or end.second else 0) for end in ends)
    return min(start.hour for start in starts), min(23, max(last, min(start.hour for start in starts) + 1))


@dataclass(frozen=True)
class Column:
    """One day of the grid: its place [px] and the moments at its two sides."""

    day: date
    left: float
    width: float
    start: datetime
    end: datetime
    workday: bool

    @property
    def right(self) -> float:
        """Right side [px]."""
        return self.left + self.width

    @property
    def middle(self) -> float:
        """Middle [px]."""
        return self.left + self.width / 2

    def x(self, moment: datetime) -> float:
        """Place of a moment of this day [px], held inside the column."""
        share = (moment - self.start) / (self.end - self.start)
        return self.left + min(1.0, max(0.0, share)) * self.width


class DayScale:
    """The columns of a plan, side by side."""

    def __init__(self, days: Sequence[PlanDay], zone: str, hours: tuple[int, int] = USUAL_HOURS) -> None:
        if not days:
            raise ValueError("A plan grid needs at least one day.")
        self.zone, self.hours = ZoneInfo(zone), hours
        columns, left = [], 0.0
        for day in days:
            width = WORKDAY_PX if day.workday else FREE_DAY_PX
            start, end = side_moments(day.date, zone, hours)
            columns.append(Column(day.date, left, width, start, end, day.workday))
            left += width
        self.columns = tuple(columns)
        self.width = left

    def column(self, moment: datetime) -> Column:
        """Return the column of a moment's local day; the first or last one for moments outside the grid."""
        day = moment.astimezone(self.zone).date()
        for column in self.columns:
            if column.day >= day:
                return column
        return self.columns[-1]

    def x(self, moment: datetime) -> float:
        """Return the place of a moment [px]; moments outside the grid lie on its sides."""
        day = moment.astimezone(self.zone).date()
        if day < self.columns[0].day:
            return 0.0
        if day > self.columns[-1].day:
            return self.width
        return self.column(moment).x(moment)

    def span(self, start: datetime, end: datetime) -> tuple[float, float]:
        """Return the two sides of a bar [px]: whole days where it takes them whole, else the true moment."""
        left, right = self.x(start), self.x(end)
        if self._hour(start) <= self.hours[0] + WHOLE_SIDE_HOURS:
            left = self.column(start).left
        if self._hour(end) >= self.hours[1] - WHOLE_SIDE_HOURS:
            right = self.column(end).right
        return left, max(right, left + 2)

    def _hour(self, moment: datetime) -> float:
        local = moment.astimezone(self.zone)
        return local.hour + local.minute / 60
