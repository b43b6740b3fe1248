"""What on paper holds a roof: inspections, loads that have not come, a checklist that is not done.

A hold stops opening, or the phase that waits for it. None of it ever stops closing.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime

from jobs.phases import OPENING_PHASES, Phase

# Lines of the ready-to-build checklist without which no old roof is opened; the others hold publishing only.
HOLDING_READY = frozenset({"permit", "asbestos_test", "things_off_roof"})
NEVER = datetime(9000, 1, 1, tzinfo=UTC)  # stands for: not before somebody books it
GONE = ("came", "cancelled")
SURE = ("confirmed", "moved")
PASSED = "passed"


@dataclass(frozen=True)
class Visit:
    """One inspection; section_id None concerns the whole roof."""

    kind: str  # pre, deck, ice_barrier, final
    state: str  # to_call, booked, passed, failed
    hold_point: bool
    section_id: int | None
    start: datetime | None
    end: datetime | None

    @property
    def holds(self) -> bool:
        """True while something waits for it."""
        return self.hold_point and self.state != PASSED

    @property
    def booked(self) -> bool:
        """True where its window is known."""
        return self.state == "booked" and self.start is not None and self.end is not None


@dataclass(frozen=True)
class Coming:
    """One load that a phase waits for."""

    phase: str
    state: str
    slot_end: datetime | None


@dataclass(frozen=True)
class DeckHold:
    """The deck of a slope must be seen, in a window or (window None) whenever it will be booked."""

    start: datetime | None
    end: datetime | None


def deck_hold(visits: Sequence[Visit], section_id: int) -> DeckHold | None:
    """The visit that a slope's deck waits for; the latest where there are several."""
    found = [v for v in visits if v.kind == "deck" and v.holds and v.section_id in (None, section_id)]
    if not found:
        return None
    if not all(visit.booked for visit in found):
        return DeckHold(None, None)
    last = max(found, key=lambda visit: visit.end or NEVER)
    return DeckHold(last.start, last.end)


def material_from(loads: Sequence[Coming]) -> dict[Phase, datetime]:
    """From when each phase has its load on site, as far as loads are still to come.

    A load that opening or closing depends on counts only when it is confirmed: nothing is opened on a promise.
    """
    found: dict[Phase, datetime] = {}
    for load in loads:
        if load.state in GONE or load.phase not in list(Phase):
            continue
        phase = Phase(load.phase)
        sure = load.state in SURE or (load.state == "asked" and phase not in OPENING_PHASES)
        moment = load.slot_end if sure and load.slot_end is not None else NEVER
        found[phase] = max(found.get(phase, moment), moment)
    return found


def phase_holds(visits: Sequence[Visit]) -> dict[Phase, datetime]:
    """From when a phase may begin as far as visits hold it: before tear-off, and shingles over the ice barrier."""
    found: dict[Phase, datetime] = {}
    for visit in visits:
        phase = {"pre": Phase.TEAR_OFF, "ice_barrier": Phase.FIELD}.get(visit.kind)
        if phase is None or not visit.holds:
            continue
        moment = visit.end if visit.booked and visit.end is not None else NEVER
        found[phase] = max(found.get(phase, moment), moment)
    return found


def later_of(*by_phase: dict[Phase, datetime]) -> dict[Phase, datetime]:
    """For each phase the latest of several moments."""
    joined: dict[Phase, datetime] = {}
    for moments in by_phase:
        for phase, moment in moments.items():
            joined[phase] = max(joined.get(phase, moment), moment)
    return joined
