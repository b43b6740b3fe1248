"""Where a moment lies on the two-week grid: one column a day, 6 am to 8 pm across each, nights left out."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from crews.plan_board import PlanDay

WORKDAY_PX = 92
FREE_DAY_PX = 30
# A bar that begins or ends this near to the first or last work of a day takes that whole side of the day.
WHOLE_SIDE_HOURS = 1.0


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

    def __init__(self, days: Sequence[PlanDay], zone: str) -> None:
        if not days:
            raise ValueError("A plan grid needs at least one day.")
        self.zone = ZoneInfo(zone)
        columns, left = [], 0.0
        for day in days:
            width = WORKDAY_PX if day.workday else FREE_DAY_PX
            columns.append(Column(day.date, left, width, day.start, day.end, day.workday))
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

    def span(self, start: datetime, end: datetime, work: tuple[float, float]) -> tuple[float, float]:
        """Return the two sides of a bar [px]: whole days where it takes them whole, else the true moment.

        work: local hours at which the first work of a day begins and the last ends.
        """
        first, last = self.column(start), self.column(end)
        left, right = self.x(start), self.x(end)
        if self._hour(start) <= work[0] + WHOLE_SIDE_HOURS:
            left = first.left
        if self._hour(end) >= work[1] - WHOLE_SIDE_HOURS:
            right = last.right
        return left, max(right, left + 2)

    def _hour(self, moment: datetime) -> float:
        local = moment.astimezone(self.zone)
        return local.hour + local.minute / 60
