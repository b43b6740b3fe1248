"""The sky as a roof sees it: which slot allows which work, and how likely rain falls into a window."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from math import ceil, isnan

from crews.planner.slot_rows import NEVER, allowed_ends, next_starts
from weather.hourly import Hourly
from weather.limits import Limits
from weather.rain import block_numbers
from weather.work_hours import HourVerdict, Kind, WorkHours

HOUR_MINUTES = 60

# Nothing but danger to people may stop closing: of all reasons only these are heard for the closing kinds.
CLOSING_KINDS = (Kind.UNDERLAYMENT, Kind.TARP)
CLOSING_STOPS = frozenset({"thunder", "wind", "gust"})

# Everything that must be allowed in every slot while a strip lies open: the work, its cover, the bare deck itself.
OPENING_KINDS = (Kind.TEAR_OFF, Kind.DECK, Kind.UNDERLAYMENT, Kind.TARP, Kind.BARE, Kind.ON_ROOF)
OPENING_WITH_BARRIER = (*OPENING_KINDS, Kind.ICE_BARRIER)
OPEN_RIDGE_KINDS = (Kind.RIDGE, Kind.OPEN_RIDGE, Kind.TARP, Kind.ON_ROOF)
# Names of the combined rows, beside the kinds themselves.
OPEN, OPEN_BARRIER, RIDGE_SLOT, LYING_OPEN = "open", "open_with_barrier", "ridge_slot", "lying_open"
LYING_OPEN_KINDS = (Kind.UNDERLAYMENT, Kind.TARP, Kind.BARE, Kind.ON_ROOF)
COMBINED = (
    (OPEN, OPENING_KINDS),
    (OPEN_BARRIER, OPENING_WITH_BARRIER),
    (RIDGE_SLOT, OPEN_RIDGE_KINDS),
    (LYING_OPEN, LYING_OPEN_KINDS),
)

THETA = 0.3  # share of the way from the highest block to independent blocks; NWS hourly chances, see weather.rain


@dataclass(frozen=True)
class Cause:
    """Why an hour forbids something: a code of weather.work_hours.Reason with the value and the limit it broke."""

    code: str
    value: float | None = None
    limit: float | None = None
    unit: str = ""


@dataclass(frozen=True, eq=False, repr=False)
class Sky:
    """What the hours ahead allow. All rows are plain sequences, because the walk reads them one slot at a time.

    start: a whole UTC hour. allowed: per kind (or kind's value) one bool per slot. wet: flagged wet, or rain not known.
    danger: nobody may be up there. dark: before sunrise or after sunset. known: a usable forecast speaks of the slot.
    pop: chance of rain per hour [0-1], None where unknown; block: number of the forecast block that the hour's chance
    speaks of (hours of one block share one chance). causes: per kind and hour why it is not allowed.
    Raises ValueError when a row is missing or has another length than the others.
    """

    start: datetime
    allowed: Mapping[str, Sequence[bool]]
    wet: Sequence[bool]
    danger: Sequence[bool]
    dark: Sequence[bool]
    known: Sequence[bool]
    pop: Sequence[float | None]
    block: Sequence[int] = ()
    slot_minutes: int = 15
    theta: float = THETA
    causes: Mapping[str, Sequence[Cause | None]] = field(default_factory=dict)
    typical_from: int = NEVER  # minute from which the sky is the month's climatology, not a forecast
    until: dict[str, list[int]] = field(init=False, repr=False)
    first_from: dict[str, list[int]] = field(init=False, repr=False)
    _dry: dict[float, list[int]] = field(init=False, repr=False, default_factory=dict)

    def __post_init__(self) -> None:
        if self.start.utcoffset() != timedelta(0) or self.start.minute or self.start.second or self.start.microsecond:
            raise ValueError("A sky starts on a whole hour in UTC.")
        if self.slot_minutes <= 0 or HOUR_MINUTES % self.slot_minutes:
            raise ValueError("A slot must divide an hour.")
        missing = [kind.value for kind in Kind if kind.value not in self.allowed]
        if missing:
            raise ValueError(f"The sky does not say when {', '.join(missing)} is allowed.")
        n_slots = len(self.wet)
        rows = [self.danger, self.dark, self.known, *self.allowed.values()]
        if any(len(row) != n_slots for row in rows) or len(self.pop) * HOUR_MINUTES != n_slots * self.slot_minutes:
            raise ValueError("Every row of a sky must cover the same hours.")
        if not self.block:
            object.__setattr__(self, "block", tuple(range(len(self.pop))))
        combined = self._combined()
        object.__setattr__(
            self, "until", {name: allowed_ends(row, self.slot_minutes) for name, row in combined.items()}
        )
        object.__setattr__(self, "first_from", {n: next_starts(row, self.slot_minutes) for n, row in combined.items()})

    def __repr__(self) -> str:
        """Short: the rows of a sky are long."""
        return f"Sky({self.start:%Y-%m-%d %H:%M}, {len(self.pop)} h)"

    def _combined(self) -> dict[str, list[bool]]:
        """The kinds and the three combinations that opening needs, as plain lists."""
        rows = {str(kind): [bool(x) for x in row] for kind, row in self.allowed.items()}
        sound = [
            bool(k and not (w or d or n))
            for k, w, d, n in zip(self.known, self.wet, self.danger, self.dark, strict=True)
        ]
        for name, kinds in COMBINED:
            rows[name] = [s and all(rows[k][i] for k in kinds) for i, s in enumerate(sound)]
        return rows

    @property
    def end_minute(self) -> int:
        """First minute after the last slot."""
        return len(self.wet) * self.slot_minutes

    def minute(self, moment: datetime) -> float:
        """Minutes from the sky's start to a moment."""
        return (moment - self.start).total_seconds() / HOUR_MINUTES

    def moment(self, minute: float) -> datetime:
        """UTC moment of a minute, to the second."""
        return self.start + timedelta(seconds=round(minute * HOUR_MINUTES))

    def allowed_until(self, name: str, minute: float) -> float:
        """End of the unbroken allowed stretch that holds a minute; the minute itself when it is not allowed."""
        slot = int(minute // self.slot_minutes)
        row = self.until[name]
        return max(minute, row[slot]) if 0 <= slot < len(row) else minute

    def next_allowed(self, name: str, minute: float) -> float:
        """First minute at or after the given one at which something is allowed; NEVER when there is none."""
        slot = int(minute // self.slot_minutes)
        row = self.first_from[name]
        if slot < 0:
            return row[0] if row else NEVER
        return max(minute, row[slot]) if slot < len(row) else NEVER

    def flag(self, row: Sequence[bool], minute: float, outside: bool) -> bool:
        """Value of a slot row at a minute, or `outside` beyond its ends."""
        slot = int(minute // self.slot_minutes)
        return bool(row[slot]) if 0 <= slot < len(row) else outside

    def chance(self, from_minute: float, to_minute: float) -> float | None:
        """Chance of rain anywhere in a window [0-1], or None where part of it is unknown.

        The hours that the window touches count whole (a part of a block has at most the block's chance), and blocks
        combine between full dependence and independence: max p + theta (1 - prod(1 - p) - max p).
        """
        if to_minute <= from_minute:
            return 0.0
        first, last = int(from_minute // HOUR_MINUTES), ceil(to_minute / HOUR_MINUTES)
        if first < 0 or last > len(self.pop):
            return None
        highest, dry, seen = 0.0, 1.0, -1
        for hour in range(first, last):
            p = self.pop[hour]
            if p is None:
                return None
            if self.block[hour] != seen:
                seen = self.block[hour]
                dry *= 1.0 - p
            highest = max(highest, p)
        return highest + self.theta * (1.0 - dry - highest)

    def dry_until(self, minute: float, threshold: float) -> float:
        """Latest minute to which a window from `minute` keeps its chance of rain below the threshold."""
        if threshold not in self._dry:
            self._dry[threshold] = [self._dry_end(hour, threshold) for hour in range(len(self.pop))]
        hour = int(minute // HOUR_MINUTES)
        ends = self._dry[threshold]
        return max(minute, ends[hour]) if 0 <= hour < len(ends) else minute

    def _dry_end(self, first: int, threshold: float) -> int:
        """End of the longest window from the beginning of an hour that stays below the threshold [minute]."""
        highest, dry, seen = 0.0, 1.0, -1
        for hour in range(first, len(self.pop)):
            p = self.pop[hour]
            if p is None:
                return hour * HOUR_MINUTES
            if self.block[hour] != seen:
                seen = self.block[hour]
                dry *= 1.0 - p
            highest = max(highest, p)
            if highest + self.theta * (1.0 - dry - highest) >= threshold:
                return hour * HOUR_MINUTES
        return len(self.pop) * HOUR_MINUTES

    def cause(self, kinds: Sequence[str], minute: float) -> Cause | None:
        """The first named reason why one of the kinds is not allowed in the hour of a minute."""
        hour = int(minute // HOUR_MINUTES)
        for kind in kinds:
            row = self.causes.get(kind, ())
            found = row[hour] if 0 <= hour < len(row) else None
            if found is not None:
                return found
        return self._bare_cause(minute)

    def _bare_cause(self, minute: float) -> Cause | None:
        """A reason read off the flags alone, for a sky that was built without named causes."""
        if not self.flag(self.known, minute, outside=False):
            return Cause("unknown")
        if self.flag(self.dark, minute, outside=True):
            return Cause("dark")
        if self.flag(self.wet, minute, outside=True):
            return Cause("rain", self.pop[int(minute // HOUR_MINUTES)])
        return Cause("danger") if self.flag(self.danger, minute, outside=False) else None


def sky_from(work_hours: WorkHours, hourly: Hourly | None, limits: Limits) -> Sky:
    """The sky over one roof from judged hours and the forecast they were judged on.

    hourly None (or hours outside it) means unknown: nothing may be opened then, and every cover may be laid.
    """
    start = work_hours.start.astimezone(UTC)
    n = work_hours.n_hours
    allowed = {kind.value: _slots([_heard(kind, hour) for hour in work_hours.by_kind[kind]]) for kind in Kind}
    causes = {kind.value: tuple(_cause(kind, hour) for hour in work_hours.by_kind[kind]) for kind in Kind}
    pop, block = _chances(hourly, start, n)
    return Sky(
        start=start,
        allowed=allowed,
        wet=_slots(work_hours.wet),
        danger=_slots(work_hours.danger),
        dark=_slots(work_hours.dark),
        known=_slots(work_hours.known),
        pop=pop,
        block=block,
        theta=limits.rain_theta,
        causes=causes,
    )


def _slots(row: Sequence[bool]) -> list[bool]:
    """An hourly row as one of quarter hours."""
    return [bool(x) for x in row for _ in range(4)]


def _heard(kind: Kind, verdict: HourVerdict) -> bool:
    """Whether an hour allows a kind; a closing kind hears only danger to people."""
    if kind in CLOSING_KINDS and not verdict.allowed:
        return not any(reason.code in CLOSING_STOPS for reason in verdict.reasons)
    return verdict.allowed


def _cause(kind: Kind, verdict: HourVerdict) -> Cause | None:
    """The first reason of an hour that is not allowed."""
    if _heard(kind, verdict) or not verdict.reasons:
        return None
    reason = verdict.reasons[0]
    return Cause(str(reason.code), reason.value, reason.limit, reason.unit)


def _chances(hourly: Hourly | None, start: datetime, n_hours: int) -> tuple[list[float | None], list[int]]:
    """Chance of rain and block number per hour; a block wider than an hour is one chance, not several."""
    pop: list[float | None] = [None] * n_hours
    block = list(range(-n_hours, 0))
    if hourly is None:
        return pop, block
    first = round((start - hourly.start) / timedelta(hours=1))
    for row, (p, number) in enumerate(zip(hourly.pop.tolist(), block_numbers(hourly), strict=True)):
        if 0 <= row - first < n_hours:
            pop[row - first] = None if isnan(p) else min(1.0, max(0.0, p))
            block[row - first] = number
    return pop, block
