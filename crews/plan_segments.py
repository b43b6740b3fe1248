"""When within a planned day each phase runs, as far as a plan knows it: in the order of the day, by labor-hours."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from crews.planner.plan_problem import PlannedDay

# What each step leaves behind, in the patterns of the drawing.
LEAVES = {
    "tear_off": "bare",
    "deck": "bare",
    "ice_barrier": "dried_in",
    "underlayment": "dried_in",
    "tie_in": "dried_in",
    "tarp": "dried_in",
    "detail": "dried_in",
    "field": "shingled",
    "ridge": "ridge",
    "cover_ridge": "ridge",
}
PHASE_OF_STEP = {"tie_in": "underlayment", "tarp": "underlayment", "detail": "underlayment", "cover_ridge": "ridge"}


@dataclass(frozen=True)
class PhaseSpan:
    """One stretch of a day for one phase."""

    phase: str
    start: datetime
    end: datetime


def phase_spans(day: PlannedDay) -> tuple[PhaseSpan, ...]:
    """The phases of a day on its clock; waiting and travel lie at the end, so that nothing is promised too late."""
    worked = [(kind, hours) for kind, hours in day.phases if kind not in ("wait", "travel", "break") and hours > 0]
    total = sum(hours for _, hours in worked)
    if not worked or total <= 0:
        return ()
    span = day.end - day.start
    spans: list[PhaseSpan] = []
    done = 0.0
    for kind, hours in worked:
        phase = PHASE_OF_STEP.get(kind, kind)
        start, end = day.start + span * (done / total), day.start + span * ((done + hours) / total)
        if spans and spans[-1].phase == phase:
            spans[-1] = PhaseSpan(phase, spans[-1].start, end)
        else:
            spans.append(PhaseSpan(phase, start, end))
        done += hours
    return tuple(spans)


def first_start(days: Sequence[PlannedDay], phase: str) -> datetime | None:
    """When a phase first begins in a plan; None where it never does."""
    for day in days:
        for span in phase_spans(day):
            if span.phase == phase:
                return span.start
    return None
