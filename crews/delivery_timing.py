"""When each load of a job may come and must be there, read off the walk or the plan; and whether its slot fits."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from crews.boards.sky_strip import SkyHour
from crews.plan_segments import first_start
from crews.planner.plan_problem import PlannedDay
from crews.planner.problem import Run, StepKind
from jobs.delivery_window import JobMoments, LoadKind, Place, Window, window
from jobs.material_table import DEBRIS_LB_PER_SQUARE_LAYER
from jobs.phases import Phase

SMALL = 0.01
STEP = timedelta(minutes=15)
QUARTER = 15
TOLD_MINUTES = 5
LEAD = timedelta(minutes=60)  # no supplier comes sooner than this after the call [common practice, no source]


@dataclass(frozen=True)
class JobTimes:
    """The planned moments of one job; None where nothing says it. torn: (moment, squares torn off in all by then)."""

    first_tear_off: datetime | None = None
    phase_starts: tuple[tuple[str, datetime], ...] = ()
    dried_in: datetime | None = None
    finish: datetime | None = None
    torn: tuple[tuple[datetime, float], ...] = ()

    def start_of(self, phase: str) -> datetime | None:
        """When a phase begins."""
        return dict(self.phase_starts).get(phase)

    def torn_at(self, squares: float) -> datetime | None:
        """When so many squares will have been torn off; None where the plan does not get there."""
        before: tuple[datetime, float] | None = None
        for moment, amount in self.torn:
            if amount >= squares - SMALL:
                if before is None or amount <= before[1]:
                    return moment
                share = (squares - before[1]) / (amount - before[1])
                return before[0] + (moment - before[0]) * min(max(share, 0.0), 1.0)
            before = (moment, amount)
        return None


def times_of_plan(days: Sequence[PlannedDay], old_squares: float, finish: datetime | None) -> JobTimes:
    """The moments that a plan gives; old_squares: what is still to be torn off at its start."""
    torn: list[tuple[datetime, float]] = []
    total = 0.0
    dried: datetime | None = None
    for day in days:
        torn.append((day.start, total))
        total += day.torn_off_squares
        torn.append((day.end, total))
        if dried is None and old_squares > SMALL and total >= old_squares - SMALL:
            dried = day.end
    phases = [(phase.value, first_start(days, phase.value)) for phase in Phase]
    return JobTimes(
        first_tear_off=first_start(days, Phase.TEAR_OFF.value),
        phase_starts=tuple((name, start) for name, start in phases if start is not None),
        dried_in=dried if old_squares > SMALL else None,
        finish=finish,
        torn=tuple(torn),
    )


def times_of_run(run: Run, torn_before: float = 0.0) -> JobTimes:
    """The moments of a walk, to the minute."""
    starts: dict[str, datetime] = {}
    total = torn_before
    torn: list[tuple[datetime, float]] = []
    for step in run.steps:
        if step.kind.value in list(Phase):
            starts.setdefault(step.kind.value, step.start)
        if step.kind is StepKind.TEAR_OFF:
            torn.append((step.start, total))
            total += step.squares
            torn.append((step.end, total))
    dried = next((a.at for a in run.areas if a.old <= SMALL and a.bare <= SMALL), None)
    return JobTimes(starts.get("tear_off"), tuple(starts.items()), dried, run.finish, tuple(torn))


def with_run(plan: JobTimes, run: JobTimes) -> JobTimes:
    """The plan's moments with today's walk in their place, where it knows better."""
    starts = {**dict(plan.phase_starts), **dict(run.phase_starts)}
    return replace(
        plan,
        first_tear_off=run.first_tear_off or plan.first_tear_off,
        phase_starts=tuple(starts.items()),
        dried_in=run.dried_in or plan.dried_in,
        finish=run.finish or plan.finish,
        torn=run.torn or plan.torn,
    )


@dataclass(frozen=True)
class LoadAsk:
    """One load as far as its window asks."""

    kind: str
    placement: str
    needed_for: str
    weight_lb: float = 0.0


def load_window(load: LoadAsk, times: JobTimes, layers: int) -> Window:
    """When one load may come at the earliest and must be there at the latest.

    Raises ValueError for a kind or a place that is none.
    """
    full = None
    if load.kind == LoadKind.DUMPSTER_SWAP and load.weight_lb > 0:
        full = times.torn_at(load.weight_lb / (DEBRIS_LB_PER_SQUARE_LAYER * max(1, layers)))
    moments = JobMoments(
        first_tear_off=times.first_tear_off,
        phase_start=times.start_of(load.needed_for) if load.needed_for else None,
        dried_in_both=times.dried_in,
        container_full=full,
        finish=times.finish,
    )
    found = window(LoadKind(load.kind), Place(load.placement), moments)
    # Told on the phone in steps of five minutes: needed sooner, not before later.
    return replace(found, not_before=_in_steps(found.not_before, up=True), need_by=_in_steps(found.need_by, up=False))


def _in_steps(moment: datetime | None, *, up: bool) -> datetime | None:
    if moment is None:
        return None
    down = moment.replace(minute=moment.minute // TOLD_MINUTES * TOLD_MINUTES, second=0, microsecond=0)
    return down + timedelta(minutes=TOLD_MINUTES) if up and down < moment else down


@dataclass(frozen=True)
class Fit:
    """Whether a slot lies in its window: fits, too_early, too_late, no_slot or not_planned; minutes it is off."""

    code: str
    minutes: int = 0


def fit_of(slot: tuple[datetime, datetime] | None, found: Window) -> Fit:
    """How a slot lies in its window; a load must be off the truck by the time it is needed."""
    if found.not_before is None and found.need_by is None:
        return Fit("not_planned")
    if slot is None:
        return Fit("no_slot")
    start, end = slot
    if found.need_by is not None and end > found.need_by:
        return Fit("too_late", round((end - found.need_by) / timedelta(minutes=1)))
    if found.not_before is not None and start < found.not_before:
        return Fit("too_early", round((found.not_before - start) / timedelta(minutes=1)))
    return Fit("fits")


def proposed_slot(
    found: Window,
    slot_minutes: int,
    now: datetime,
    work_start: datetime,
    work_end: datetime,
    hours: Sequence[SkyHour] = (),
    gust_limit_mph: float | None = None,
) -> datetime | None:
    """The first slot of a day that lies in the window, in working hours, dry and under the gust limit; None if none.

    hours: the sky over the site; an hour that is not known is taken as fit for the ground, for the roof the limit asks.
    """
    length = timedelta(minutes=slot_minutes)
    start = max(_quarter(max(now + LEAD, work_start)), _quarter(found.not_before or work_start))
    last = min(work_end, found.need_by or work_end)
    while start + length <= last:
        if _sky_allows(start, start + length, hours, gust_limit_mph):
            return start
        start += STEP
    return None


def _sky_allows(start: datetime, end: datetime, hours: Sequence[SkyHour], gust_limit_mph: float | None) -> bool:
    for hour in hours:
        if hour.start < end and hour.start + timedelta(hours=1) > start:
            if hour.thunder or hour.wet:
                return False
            if gust_limit_mph is not None and (hour.gust_mph is None or hour.gust_mph >= gust_limit_mph):
                return False
    return True


def _quarter(moment: datetime) -> datetime:
    """The next quarter of an hour."""
    base = moment.replace(second=0, microsecond=0)
    if base < moment:
        base += timedelta(minutes=1)
    return base + timedelta(minutes=-base.minute % QUARTER)
