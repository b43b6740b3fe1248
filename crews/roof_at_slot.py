"""What lies on each slope while a truck is there, by the day's walk or by the plan: where its load may lie then."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from crews.plan_segments import phase_spans
from crews.planner.plan_problem import PlannedDay
from crews.planner.problem import Run, StepKind
from jobs.delivery_window import RoofThen, SlopeThen
from jobs.phases import OPENING_PHASES, Phase

SMALL = 0.01
NIGHT = timedelta(hours=8)  # what was laid longer before is not of the same day
Change = Callable[[SlopeThen, float], SlopeThen]


@dataclass(frozen=True)
class Slot:
    """From when to when a truck is there, aware; raises ValueError where it ends before it starts."""

    start: datetime
    end: datetime

    def __post_init__(self) -> None:
        if self.end < self.start:
            raise ValueError("A slot must not end before it starts.")


def by_run(roof: RoofThen, section_ids: Sequence[int], run: Run, slot: Slot) -> RoofThen:
    """The roof in a slot of the walked day, at its worst: what is opened or laid by the slot's end counts.

    roof: as it lay when the walk began, slopes in the order of section_ids. Deck that lies bare and slot that lies open
    at any moment of the slot count; what is torn off becomes dried-in only when its sheets lie.
    """
    slopes = list(roof.slopes)
    place = {section_id: index for index, section_id in enumerate(section_ids)}
    for step in run.steps:
        index = place.get(step.section_id) if step.section_id is not None else None
        if index is None or step.squares <= 0 or step.start >= slot.end:
            continue
        if step.kind is StepKind.TEAR_OFF:
            slopes[index] = _torn(slopes[index], step.squares)
        elif step.kind is StepKind.UNDERLAYMENT and step.end <= slot.start:
            slopes[index] = _dried(slopes[index], step.squares)
        elif step.kind is StepKind.FIELD:
            slopes[index] = _laid(slopes[index], step.squares)
    return replace(_with_open(roof, slopes, run, slot), slot_open_ft=_open_ft(roof, run, slot))


def _with_open(roof: RoofThen, slopes: Sequence[SlopeThen], run: Run, slot: Slot) -> RoofThen:
    """Deck that the walk shows bare in the slot, whichever slope it is on, lies bare on the first one at least."""
    bare = max((areas.bare for areas in run.areas if slot.start <= areas.at <= slot.end), default=0.0)
    before = [areas.bare for areas in run.areas if areas.at <= slot.start]
    bare = max(bare, before[-1] if before else 0.0)
    known = sum(slope.bare_squares for slope in slopes)
    if bare > known + SMALL and slopes:
        first = replace(slopes[0], bare_squares=slopes[0].bare_squares + bare - known)
        return replace(roof, slopes=(first, *slopes[1:]))
    return replace(roof, slopes=tuple(slopes))


def _open_ft(roof: RoofThen, run: Run, slot: Slot) -> float:
    """The most ridge slot that lies open while the truck is there [ft]."""
    before = [areas.open_ridge_ft for areas in run.areas if areas.at <= slot.start]
    start = before[-1] if before else roof.slot_open_ft
    return max([start, *(areas.open_ridge_ft for areas in run.areas if slot.start <= areas.at <= slot.end)])


def by_plan(roof: RoofThen, days: Sequence[PlannedDay], slot: Slot) -> RoofThen:
    """The roof in a slot of a planned day. A plan knows sums only: they are laid on the slopes in their order.

    From a day's first tear-off to its last closing deck counts as bare; what a day has begun to lay counts as laid.
    """
    slopes: list[SlopeThen] = list(roof.slopes)
    for day in sorted(days, key=lambda d: d.start):
        if day.start >= slot.end:
            break
        if day.end <= slot.start:
            slopes = _spread(slopes, day.torn_off_squares, _torn)
            slopes = _spread(slopes, day.dried_in_squares, _dried)
            slopes = _spread(slopes, day.shingled_squares, _laid)
            if slot.start - day.end >= NIGHT:
                slopes = [replace(slope, shingled_today_squares=0.0) for slope in slopes]
            continue
        slopes = _within(slopes, day, slot)
    return replace(roof, slopes=tuple(slopes))


def _within(slopes: list[SlopeThen], day: PlannedDay, slot: Slot) -> list[SlopeThen]:
    """The slopes in a slot that lies in a planned day."""
    slopes = [replace(slope, shingled_today_squares=0.0) for slope in slopes]
    spans = phase_spans(day)
    opening = [span for span in spans if span.phase in list(OPENING_PHASES)]
    begun = any(span.start < slot.end for span in opening if span.phase == Phase.TEAR_OFF)
    if begun:
        slopes = _spread(slopes, day.torn_off_squares, _torn)
    if opening and max(span.end for span in opening) <= slot.start:
        slopes = _spread(slopes, day.dried_in_squares, _dried)
    if any(span.phase == Phase.FIELD and span.start < slot.end for span in spans):
        slopes = _spread(slopes, day.shingled_squares, _laid)
    return slopes


def _spread(slopes: list[SlopeThen], squares: float, change: Change) -> list[SlopeThen]:
    """Give squares to the slopes in order, to each what it has for them."""
    out = []
    for slope in slopes:
        room = _room(slope, change)
        part = min(room, squares)
        out.append(change(slope, part) if part > 0 else slope)
        squares -= part
    return out


def _room(slope: SlopeThen, change: Change) -> float:
    if change is _torn:
        return slope.old_squares
    return slope.bare_squares if change is _dried else slope.dried_in_squares


def _torn(slope: SlopeThen, squares: float) -> SlopeThen:
    part = min(squares, slope.old_squares)
    return replace(slope, old_squares=slope.old_squares - part, bare_squares=slope.bare_squares + part)


def _dried(slope: SlopeThen, squares: float) -> SlopeThen:
    part = min(squares, slope.bare_squares)
    return replace(slope, bare_squares=slope.bare_squares - part, dried_in_squares=slope.dried_in_squares + part)


def _laid(slope: SlopeThen, squares: float) -> SlopeThen:
    return replace(
        slope,
        dried_in_squares=max(0.0, slope.dried_in_squares - squares),
        shingled_squares=slope.shingled_squares + squares,
        shingled_today_squares=slope.shingled_today_squares + squares,
    )
