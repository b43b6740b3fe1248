"""The time axis that the rows of a page share: elapsed hours left to right, labels by the wall clock."""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from roofops.pages.wording import formats


@dataclass(frozen=True)
class Axis:
    """From start to end over a width [px]; x is linear in elapsed time, so a day with a clock change is drawn true."""

    start: datetime
    end: datetime
    width: float
    zone: str

    def __post_init__(self) -> None:
        if self.start.utcoffset() is None or self.end.utcoffset() is None:
            raise ValueError("An axis needs times with a zone.")
        if self.end <= self.start:
            raise ValueError("An axis must end after it starts.")

    def x(self, moment: datetime) -> float:
        """Return the place of a moment [px]; outside the axis it lies outside 0 to width."""
        return (moment - self.start) / (self.end - self.start) * self.width

    def moment(self, x: float) -> datetime:
        """Return the moment at a place [px]."""
        return self.start + (self.end - self.start) * (x / self.width)

    def inside(self, moment: datetime) -> float:
        """Return the place of a moment, held inside the axis."""
        return min(max(self.x(moment), 0.0), self.width)

    def has(self, moment: datetime) -> bool:
        """Say whether a moment lies on the axis."""
        return self.start <= moment <= self.end

    @property
    def hour_px(self) -> float:
        """Width of one hour [px]."""
        return timedelta(hours=1) / (self.end - self.start) * self.width

    def hours(self) -> tuple[datetime, ...]:
        """Return the moments at which the wall clock shows a whole hour, in UTC, ends included."""
        moment = self.start.astimezone(UTC)
        wall = formats.local(moment, self.zone)
        into = timedelta(minutes=wall.minute, seconds=wall.second, microseconds=wall.microsecond)
        if into:
            moment += timedelta(hours=1) - into
        found = []
        while moment <= self.end:
            found.append(moment)
            moment += timedelta(hours=1)
        return tuple(found)

    def labels(self, every: int = 1) -> tuple[tuple[datetime, str], ...]:
        """Return the labelled hours: the first and the last with am or pm, noon in words, others by figure."""
        hours = self.hours()
        labels = []
        for index, moment in enumerate(hours):
            at = formats.local(moment, self.zone)
            last = index == len(hours) - 1
            if not last and at.hour % every:
                continue
            ends = index == 0 or last
            labels.append((moment, formats.hour_label(at, with_half=ends)))
        return tuple(labels)
