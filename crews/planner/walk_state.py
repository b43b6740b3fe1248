"""What changes while a walk goes on: the roof, the clock and the record of steps (times are minutes of the sky)."""

from dataclasses import dataclass

from crews.planner.exposure import Sky
from crews.planner.problem import AREA_SLACK, CrewDay, Policy, RoofWork, StepKind
from crews.planner.strips import Plane, planes_of

FEET_SLACK = 0.01
UNPAID_WORK = (StepKind.TRAVEL, StepKind.BREAK)
NO_WORK = (StepKind.TRAVEL, StepKind.BREAK, StepKind.WAIT)
FIXED_MINUTES = (StepKind.SET_UP, StepKind.CLEAN_UP)  # not stretched on a typical day
DARK = "dark"
# One step as the walk notes it: kind, start, end, labor-hours, section id, edge id, squares, feet, reason.
RawStep = tuple[StepKind, float, float, float, int | None, int | None, float, float, str]
# Areas at a moment: minute, old, bare (uncovered), tarped, dried-in, shingled, open ridge feet.
RawAreas = tuple[float, float, float, float, float, float, float]


@dataclass(frozen=True, slots=True)
class Shift:
    """One crew day in minutes of the sky."""

    start: float
    end: float
    arrive: float
    people: float
    hands: float  # people times learned speed: table labor-hours done per clock hour
    breaks: tuple[tuple[float, float], ...]
    stop_work: float  # clean-up begins
    close_by: float  # every strip must be closed by then, the shift's margin taken off
    tarps: int
    tarp_squares: float
    usable: float = 1.0  # of the minutes of work on a typical day; the rest is lost to weather

    def end_of(self, minute: float, work_minutes: float) -> float:
        """When work that takes so many minutes is done, breaks left out."""
        for begin, finish in self.breaks:
            if finish <= minute:
                continue
            if minute + work_minutes <= begin:
                break
            if minute < begin:
                work_minutes -= begin - minute
            minute = finish
        return minute + work_minutes

    def work_between(self, begin: float, end: float) -> float:
        """Working minutes between two moments."""
        minutes = end - begin
        for pause, back in self.breaks:
            if pause < end and back > begin:
                minutes -= min(end, back) - max(begin, pause)
        return max(0.0, minutes)

    def minutes_for(self, labor_hours: float, share: float = 1.0) -> float:
        """Minutes in which the whole crew does so many table labor-hours; share < 1 holds back a reserve."""
        return labor_hours * 60.0 / (self.hands * share)


def shift_of(day: CrewDay, work: RoofWork, sky: Sky, policy: Policy) -> Shift:
    """One crew day as minutes of the sky."""
    start, end = sky.minute(day.start), sky.minute(day.end)
    return Shift(
        start=start,
        end=end,
        arrive=start + day.travel_minutes,
        people=day.people,
        hands=day.people * day.speed * day.usable,
        usable=day.usable,
        breaks=tuple(sorted((sky.minute(a), sky.minute(b)) for a, b in day.breaks)),
        stop_work=end - work.clean_up_minutes,
        close_by=end - max(work.clean_up_minutes, policy.shift_end_margin_minutes),
        tarps=day.tarps,
        tarp_squares=day.tarp_squares,
    )


class Roof:
    """The areas and ridges of one roof while it is walked. bare counts uncovered deck only; tarped stands beside it."""

    def __init__(self, work: RoofWork, planes: tuple[Plane, ...]) -> None:
        self.work = work
        self.planes = planes
        self.old = [s.old_squares for s in work.sections]
        self.bare = [s.bare_squares - s.tarped_squares for s in work.sections]
        self.tarped = [s.tarped_squares for s in work.sections]
        self.dried = [s.dried_in_squares for s in work.sections]
        self.shingled = [s.shingled_squares for s in work.sections]
        self.slot_ft = [r.open_ft for r in work.ridges]
        self.ridge_left_ft = [max(0.0, r.length_ft - r.finished_ft - r.open_ft) for r in work.ridges]
        index = {s.section_id: i for i, s in enumerate(work.sections)}
        everything = tuple(range(len(work.sections)))
        self.ridge_sides = [tuple(index[i] for i in r.section_ids if i in index) or everything for r in work.ridges]
        self.seen = [False] * len(work.sections)  # the inspector has been at this plane's deck

    def uncovered(self) -> float:
        """Deck that rain could fall on now [squares], rounding left out plane by plane."""
        return sum(bare for bare in self.bare if bare > AREA_SLACK)

    def open_slot_ft(self) -> float:
        """Ridge slot without cover now [ft], rounding left out ridge by ridge."""
        return sum(feet for feet in self.slot_ft if feet > FEET_SLACK)

    def is_open(self) -> bool:
        """Whether rain could get in now."""
        return self.uncovered() > 0.0 or self.open_slot_ft() > 0.0

    def is_finished(self) -> bool:
        """Whether nothing is left to do."""
        unfinished = sum(self.old) + sum(self.bare) + sum(self.tarped) + sum(self.dried)
        return unfinished <= AREA_SLACK and self.open_slot_ft() + sum(self.ridge_left_ft) <= FEET_SLACK

    def areas(self, minute: float) -> RawAreas:
        """Sums of the areas at a moment."""
        return (
            minute,
            sum(self.old),
            sum(self.bare),
            sum(self.tarped),
            sum(self.dried),
            sum(self.shingled),
            sum(self.slot_ft),
        )


@dataclass(frozen=True, slots=True)
class Opened:
    """One strip that was opened and closed again: minutes of tear-off and of the last tie-in, and what bounded it.

    new_squares: torn off the old roof (0 for deck that had lain under a tarp). sky_bound: minute at which the sky
    forbids it; by_chance: by the chance of rain in the window, not by a flagged hour; by_shift: the shift bounds it.
    """

    plane: int
    new_squares: float
    torn_from: float
    closed: float
    latest_close: float
    sky_bound: float
    by_chance: bool
    by_shift: bool


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why nothing may be opened now, and the minute from which it is worth asking again."""

    code: str
    at: float
    retry: float
    value: float | None = None
    limit: float | None = None


NOT_ASKED = Refusal("", 0.0, 0.0)


class Trace:
    """The record of a walk."""

    def __init__(self) -> None:
        self.steps: list[RawStep] = []
        self.areas: list[RawAreas] = []
        self.exposures: list[tuple[float, float, float, float]] = []
        self.reasons: list[tuple[float, str, float | None, float | None]] = []
        self.opened: list[Opened] = []
        self.idle_minutes_people = 0.0
        self.worked_minutes_people = 0.0
        self.lost_minutes_people = 0.0  # to the weather of typical days
        self.nights_open = 0
        self.finish: float | None = None
        self._open_since: float | None = None
        self._peak = 0.0
        self._peak_ft = 0.0

    def note_areas(self, roof: Roof, minute: float) -> None:
        """Add a break point and follow the spans during which something lies open."""
        areas = roof.areas(minute)
        if self.areas and self.areas[-1] == areas:
            return
        self.areas.append(areas)
        bare, slot = areas[2], areas[6]
        if bare > AREA_SLACK or slot > FEET_SLACK:
            if self._open_since is None:
                self._open_since, self._peak, self._peak_ft = minute, 0.0, 0.0
            self._peak, self._peak_ft = max(self._peak, bare), max(self._peak_ft, slot)
        elif self._open_since is not None:
            self.exposures.append((self._open_since, minute, self._peak, self._peak_ft))
            self._open_since = None

    def opens(self, minute: float) -> None:
        """Something begins to be opened at this minute, before any area has changed."""
        if self._open_since is None:
            self._open_since, self._peak, self._peak_ft = minute, 0.0, 0.0

    def end(self, minute: float) -> None:
        """Close the record: what is still open stays exposed to the end."""
        if self._open_since is not None:
            self.exposures.append((self._open_since, minute, self._peak, self._peak_ft))
            self._open_since = None

    def reason(self, minute: float, code: str, value: float | None = None, limit: float | None = None) -> None:
        """Note why something could not be done; each code once an hour."""
        key = (minute // 60, code)
        if not any((m // 60, c) == key for m, c, _, _ in self.reasons[-6:]):
            self.reasons.append((minute, code, value, limit))


class Walker:
    """One walk in progress: roof, shift of the day, sky, policy and record in one place."""

    def __init__(self, work: RoofWork, sky: Sky, policy: Policy, planes: tuple[Plane, ...] | None = None) -> None:
        self.work = work
        self.sky = sky
        self.policy = policy
        self.roof = Roof(work, planes if planes is not None else planes_of(work, policy))
        self.trace = Trace()
        self.shift: Shift
        self.now = 0.0
        self.material = {phase: sky.minute(at) for phase, at in work.material_from.items()}
        self.started = work.started
        self.wet_deck = work.wet_deck
        self.nothing_more_opens = False
        self.in_first_day = True
        self.late = False
        self.last_refusal = NOT_ASKED
        self.first_day_end = 0.0
        self.there_since = 0.0  # minutes that the crew has been on the roof before the day's walk begins
        self.first_close: Opened | None = None  # the closing of what lay open at the start

    def step(
        self,
        kind: StepKind,
        end: float,
        section: int | None = None,
        edge: int | None = None,
        squares: float = 0.0,
        feet: float = 0.0,
        reason: str = "",
        through_breaks: bool = False,
    ) -> None:
        """Write a step from now to `end` and move the clock; a break inside it becomes a step of its own."""
        begin, working = self.now, self.shift.work_between(self.now, end)
        for pause, back in self.shift.breaks if not through_breaks else ():
            if pause < end and back > begin:
                if pause > begin:
                    share = (pause - begin) / working if working > 0 else 0.0
                    self._write(kind, begin, pause, section, edge, squares * share, feet * share, reason)
                self._write(StepKind.BREAK, max(begin, pause), min(end, back), None, None, 0.0, 0.0, "")
                begin = min(end, back)
        if end > begin:
            share = 1.0 if begin == self.now else (end - begin) / working if working > 0 else 0.0
            self._write(kind, begin, end, section, edge, squares * share, feet * share, reason)
        self.now = end

    def _write(
        self,
        kind: StepKind,
        begin: float,
        end: float,
        section: int | None,
        edge: int | None,
        squares: float,
        feet: float,
        reason: str,
    ) -> None:
        """Add one step; a wait joins a wait for the same reason. Idle: waits by day. Lost: a typical day's weather."""
        minutes = (end - begin) * self.shift.people
        worked = 0.0 if kind in NO_WORK else minutes * (1.0 if kind in FIXED_MINUTES else self.shift.usable)
        steps = self.trace.steps
        if kind is StepKind.WAIT:
            self.trace.idle_minutes_people += 0.0 if reason == DARK else minutes
            if steps and steps[-1][0] is kind and steps[-1][8] == reason and steps[-1][2] == begin:
                begin = steps.pop()[1]
        elif kind not in UNPAID_WORK:
            self.trace.worked_minutes_people += worked
            self.trace.lost_minutes_people += minutes - worked
        steps.append((kind, begin, end, worked / 60.0, section, edge, squares, feet, reason))

    def do(
        self,
        kind: StepKind,
        labor_hours: float,
        section: int | None = None,
        edge: int | None = None,
        squares: float = 0.0,
        feet: float = 0.0,
    ) -> None:
        """Write a step that takes the whole crew so many table labor-hours; nothing is written for none."""
        if labor_hours > 0:
            end = self.shift.end_of(self.now, self.shift.minutes_for(labor_hours))
            self.step(kind, end, section, edge, squares, feet)

    def here(self) -> None:
        """Note the areas as they are now."""
        self.trace.note_areas(self.roof, self.now)
