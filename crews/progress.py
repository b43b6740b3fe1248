"""Totals out of reports: what was torn off, dried-in and shingled, and what that makes of each slope.

A report carries a running total ('so many squares so far'). Reports are kept always; the total of one kind at one place
is the largest done-after since the latest correction, so a phone that sends late or twice never adds anything up.
"""

import uuid
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from jobs.phases import Phase

SQUARE_KINDS = ("torn_off", "dried_in", "shingled")
RIDGE_KINDS = ("ridge_opened", "ridge_finished")
TOTAL_KINDS = (*SQUARE_KINDS, *RIDGE_KINDS)
TARPED = "tarped"  # a level, not a total: the latest report holds
AMOUNT_KINDS = (*TOTAL_KINDS, TARPED)  # kinds that a measured slope or ridge can be set against
COUNTED_KINDS = ("people_here", "labor_hours", "deck_sheets")
OTHER_KINDS = ("dry_reading", "rain_here", "closed", "problem")
KINDS = (*AMOUNT_KINDS, *COUNTED_KINDS, *OTHER_KINDS)
# Measurements and reports are rounded to a tenth of a square; less is no difference.
TOLERANCE = 0.05
NOTE_LENGTH = 300


@dataclass(frozen=True)
class NewEntry:
    """One report as it arrives. Amounts [squares, ft, people, labor-hours or sheets by kind]; at: when it was done."""

    client_uuid: uuid.UUID
    job_id: int
    kind: str
    at: datetime
    device: str = ""
    sequence: int = 0
    section_id: int | None = None
    edge_id: int | None = None
    phase: str = ""
    done_before: float | None = None
    done_after: float | None = None
    correction: bool = False
    note: str = ""
    by_name: str = ""
    photo_id: int | None = None

    def __post_init__(self) -> None:
        if self.kind not in KINDS:
            raise ValueError(f"There is no report of kind “{self.kind}”.")
        if self.at.utcoffset() is None:
            raise ValueError("A report needs a time with a zone.")
        if self.sequence < 0:
            raise ValueError("A report's sequence number must not be negative.")
        if self.done_after is not None and not 0 <= self.done_after < float("inf"):
            raise ValueError("An amount must not be negative.")
        if self.kind in AMOUNT_KINDS and self.done_after is None:
            raise ValueError("This report needs an amount.")
        if self.kind in (*SQUARE_KINDS, TARPED) and self.section_id is None:
            raise ValueError("Squares are reported for one slope; name it.")
        if self.kind in RIDGE_KINDS and self.edge_id is None:
            raise ValueError("Feet of ridge are reported for one ridge; name it.")
        if self.kind in COUNTED_KINDS and self.done_after is None:
            raise ValueError("This report needs a number.")
        if self.kind == "labor_hours" and self.phase not in list(Phase):
            raise ValueError("Labor-hours are reported for one phase; name it.")
        if len(self.note) > NOTE_LENGTH:
            raise ValueError(f"A note holds at most {NOTE_LENGTH} characters.")


@dataclass(frozen=True)
class Receipt:
    """What became of a report. repeated: it was there already, nothing changed."""

    entry_id: int
    total: float | None
    more_than_measured: bool
    differs: bool
    repeated: bool = False
    measured: float | None = None


@dataclass(frozen=True)
class Reported:
    """One stored report as far as totals ask: kind, place, amount, time done, order of arrival."""

    kind: str
    place_id: int | None
    done_after: float
    correction: bool
    at: datetime
    arrival: int


def total(reports: Iterable[Reported], start: float = 0.0) -> float:
    """The total of one kind at one place: the largest amount since the latest correction; of tarps the latest.

    start: what was there before the first report, in the kind's own unit.
    """
    best = start
    for report in sorted(reports, key=lambda r: (r.at, r.arrival)):
        sets = report.correction or report.kind == TARPED
        best = report.done_after if sets else max(best, report.done_after)
    return best


def totals(reports: Iterable[Reported]) -> dict[tuple[str, int | None], float]:
    """The totals of all kinds and places."""
    grouped: dict[tuple[str, int | None], list[Reported]] = {}
    for report in reports:
        grouped.setdefault((report.kind, report.place_id), []).append(report)
    return {key: total(group) for key, group in grouped.items()}


@dataclass(frozen=True)
class SlopeAreas:
    """What lies on one slope [squares]; the four sum to its squares."""

    old: float
    bare: float
    dried_in: float
    shingled: float

    @property
    def squares(self) -> float:
        """The whole slope."""
        return self.old + self.bare + self.dried_in + self.shingled

    @property
    def state(self) -> str:
        """The word for it: bare as soon as any deck lies open."""
        if self.bare > TOLERANCE:
            return "bare"
        if self.old > TOLERANCE:
            return "old"
        return "dried_in" if self.dried_in > TOLERANCE else "shingled"


def slope_areas(squares: float, torn_off: float, dried_in: float, shingled: float) -> SlopeAreas:
    """The four areas of one slope from its running totals [squares].

    Later work implies earlier work: what is shingled was dried-in, what is dried-in was torn off. No total counts for
    more than the measured squares; the report itself keeps the larger figure.

    Raises ValueError when squares is not above zero or a total is negative.
    """
    if not squares > 0:
        raise ValueError("A slope must be larger than 0 squares.")
    if min(torn_off, dried_in, shingled) < 0:
        raise ValueError("A total must not be negative.")
    laid = min(shingled, squares)
    closed = min(max(dried_in, laid), squares)
    torn = min(max(torn_off, closed), squares)
    return SlopeAreas(old=squares - torn, bare=torn - closed, dried_in=closed - laid, shingled=laid)


@dataclass(frozen=True)
class RidgeProgress:
    """One ridge [ft]: slot open now, vent and caps finished."""

    open_ft: float
    finished_ft: float


def ridge_progress(length_ft: float, opened: float, finished: float) -> RidgeProgress:
    """Open and finished feet of one ridge from its running totals [ft]."""
    done = min(finished, length_ft)
    return RidgeProgress(open_ft=min(max(opened, done), length_ft) - done, finished_ft=done)


def done_share(phase: Phase, areas: SlopeAreas) -> float:
    """Share of one phase of one slope that is done, 0 to 1; deck and ice barrier count when the strip is dried-in."""
    if phase is Phase.TEAR_OFF:
        return (areas.squares - areas.old) / areas.squares
    if phase is Phase.FIELD:
        return areas.shingled / areas.squares
    return (areas.dried_in + areas.shingled) / areas.squares


def differs(done_before: float | None, present: float) -> bool:
    """True where a phone showed another total than the one that stood when its report arrived."""
    return done_before is not None and abs(done_before - present) > TOLERANCE


def more_than_measured(done_after: float, measured: float) -> bool:
    """True where a report says more than was measured; it is kept and opens a measurement check."""
    return done_after > measured + TOLERANCE
