"""What the templates of Plan print: the board with its drawings and sentences."""

from dataclasses import dataclass

from django.utils.formats import date_format
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from crews.boards.plan import Blocker, PlanBar, PlanBoard, PlanCrewRow, PlanDay, PlanHead
from roofops.pages.drawing.boxes import capacity_boxes
from roofops.pages.drawing.courses import courses
from roofops.pages.drawing.day_scale import Column, DayScale, hours_of_work, side_moments
from roofops.pages.drawing.day_sky import day_sky
from roofops.pages.drawing.job_bar import crew_row, rule_in_short
from roofops.pages.job.ready_words import ready_word
from roofops.pages.plan import words as plan_words
from roofops.pages.plan.words import CostWords, DayList, MoveWords
from roofops.pages.wording import formats

OPEN_STATES = ("queued", "running")
# Widest grid [px] that still fits with each size of print.
PRINT_SIZES = ((1060.0, "print-two-weeks"), (1520.0, "print-three-weeks"))


@dataclass(frozen=True)
class DayColumn:
    """One day of the grid."""

    of: PlanDay
    label: str
    sky: SafeString
    air: str
    boxes: SafeString
    inspections: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class BlockerWords:
    """A broken rule: what it is, and what helps."""

    head: str
    rest: str


@dataclass(frozen=True)
class ChosenBar:
    """The job that was picked in the grid."""

    bar: PlanBar
    when: str
    finish: str
    not_ready: str
    broken: tuple[str, ...]


@dataclass(frozen=True)
class PlanPage:
    """All that Plan prints beside the board itself."""

    headline: str
    sub: str
    month: str
    sky_name: str
    grid_class: str
    typical_from: str
    drops_limit: int
    days: tuple[DayColumn, ...]
    rows: tuple[tuple[PlanCrewRow, SafeString], ...]
    by_day: tuple[DayList, ...]
    blockers: tuple[BlockerWords, ...]
    costs: tuple[CostWords, ...]
    moves: tuple[MoveWords, ...]
    head: PlanHead | None
    gap: str
    jobs_words: str
    crews_words: str
    chosen: ChosenBar | None
    running: bool
    courses: SafeString | None
    progress_words: str
    publish_blocked: str
    publish_head: str


def plan_page(board: PlanBoard, chosen_job: int | None = None) -> PlanPage:
    """Return what Plan prints."""
    head = board.proposal or board.published
    scale = DayScale(board.days, board.zone, hours_of_work(board.crews, board.zone)) if board.days else None
    drawn = tuple((row, crew_row(row, scale, board.now, chosen_job)) for row in board.crews) if scale else ()
    typical = next((day.date for day in board.days if day.typical), None)
    running = board.work is not None and board.work.state in OPEN_STATES
    return PlanPage(
        headline=plan_words.headline(board),
        sub=plan_words.sub_line(board),
        month=date_format(board.days[0].date, "F Y") if board.days else "",
        typical_from=formats.month_day(typical) if typical else "",
        drops_limit=max((day.drops_limit for day in board.days), default=0),
        grid_class=_grid_class(scale.width) if scale else "",
        sky_name=_sky_name(scale.hours, board) if scale else "",
        days=tuple(_column(day, column, board) for day, column in zip(board.days, scale.columns, strict=True))
        if scale
        else (),
        rows=drawn,
        by_day=plan_words.days_words(board),
        blockers=tuple(blocker_words(blocker) for blocker in board.blockers),
        costs=tuple(plan_words.cost_words(line) for line in board.costs),
        moves=tuple(plan_words.move_words(move, board.zone) for move in board.moves),
        head=head,
        gap=plan_words.gap_words(head.gap) if head else "",
        jobs_words=ngettext("%(n)s job", "%(n)s jobs", head.jobs) % {"n": head.jobs} if head else "",
        crews_words=ngettext("%(n)s crew", "%(n)s crews", len(board.crews)) % {"n": len(board.crews)},
        chosen=_chosen(board, chosen_job),
        running=running,
        courses=courses(board.work.progress) if running and board.work else None,
        progress_words=progress_words(board) if running else "",
        publish_blocked=_publish_blocked(board, running=running),
        publish_head=_publish_head(board),
    )


def _grid_class(width: float) -> str:
    """Return how much the grid must shrink for letter paper on its side."""
    return next((name for widest, name in PRINT_SIZES if width <= widest), "print-smallest")


def _sky_name(hours: tuple[int, int], board: PlanBoard) -> str:
    start, end = (formats.clock(moment, board.zone) for moment in side_moments(board.days[0].date, board.zone, hours))
    return _("Sky, %(start)s to %(end)s") % {"start": start, "end": end}


def _column(day: PlanDay, column: Column, board: PlanBoard) -> DayColumn:
    air = [formats.mph(day.gust_max_mph)] if day.gust_max_mph is not None else []
    air += [formats.deg_f(day.high_f)] if day.high_f is not None else []
    return DayColumn(
        of=day,
        label=formats.day_short(day.date) if day.workday else _free_day(day),
        sky=day_sky(day, column, board.now),
        air=", ".join(air),
        boxes=capacity_boxes(day.drops_used, day.drops_limit),
        inspections=tuple(
            (_inspection(kind, formats.clock(start, board.zone) if start else ""), name)
            for kind, start, name in day.inspections
        ),
    )


def _free_day(day: PlanDay) -> str:
    return f"{date_format(day.date, 'D')[:1]}{formats.NBSP}{day.date.day}"


def _inspection(kind: str, clock: str) -> str:
    words = {"pre": _("before"), "deck": _("deck"), "ice_barrier": _("ice barrier"), "final": _("final")}
    return f"{words.get(kind, kind)} {clock}".strip()


def blocker_words(blocker: Blocker) -> BlockerWords:
    """Return a broken rule as a bold sentence and a plain one."""
    day = formats.day_short(blocker.day) if blocker.day else ""
    if blocker.code in ("drops", "dumpsters") and blocker.used is not None and blocker.limit is not None:
        words = {"used": formats.figure(blocker.used), "limit": formats.figure(blocker.limit), "day": day}
        forms = {
            "drops": _("%(used)s drops on %(day)s, %(limit)s at most."),
            "dumpsters": _("%(used)s dumpsters on %(day)s, %(limit)s at most."),
        }
        return BlockerWords(head=forms[blocker.code] % words, rest=blocker.text)
    rule = rule_in_short(blocker.code)
    head = ", ".join(part for part in (blocker.job_name or blocker.crew_name, rule) if part)
    return BlockerWords(head=f"{head[:1].upper()}{head[1:]}.", rest=blocker.text)


def progress_words(board: PlanBoard) -> str:
    """Return how long planning has run and how near it is to the best possible."""
    work = board.work
    if work is None:
        return ""
    if work.state == "queued":
        return _("Waits for its turn.")
    seconds = max(0, round((board.now - work.started_at).total_seconds()))
    parts = [_("%(n)s s") % {"n": seconds}]
    if work.gap is not None:
        gap = plan_words.gap_words(work.gap)
        parts.append(gap[:1].lower() + gap[1:])
    elif work.note:
        parts.append(_stage(work.note))
    return ", ".join(parts)


def _stage(note: str) -> str:
    stages = {
        "columns": _("walks every job with every crew"),
        "bound": _("looks for the best possible"),
        "choice": _("chooses"),
        "improvement": _("improves"),
    }
    return stages.get(note.partition(" ")[0], note)


def _chosen(board: PlanBoard, job_id: int | None) -> ChosenBar | None:
    for row in board.crews:
        for bar in row.bars:
            if bar.job_id == job_id:
                start, end = formats.local(bar.start, board.zone), formats.local(bar.end, board.zone)
                late = formats.local(bar.finish_p90, board.zone)
                words = {
                    "crew": row.name,
                    "start": f"{formats.day_short(start.date())} {formats.clock(start, board.zone)}",
                    "end": f"{formats.day_short(end.date())} {formats.clock(end, board.zone)}",
                    "late": f"{formats.day_short(late.date())} {formats.clock(late, board.zone)}",
                }
                return ChosenBar(
                    bar=bar,
                    when=_("Crew %(crew)s, from %(start)s") % words,
                    finish=_("Finish: %(end)s likely, %(late)s in 9 of 10") % words,
                    not_ready=", ".join(ready_word(kind) for kind in bar.not_ready),
                    broken=tuple(blocker.text or blocker_words(blocker).head for blocker in bar.broken),
                )
    return None


def _publish_blocked(board: PlanBoard, *, running: bool) -> str:
    if running:
        return _("Publish: planning runs")
    if board.stale:
        return _("Publish: plan again first")
    count = len(board.blockers)
    if count:
        return ngettext("Publish: %(n)s rule broken", "Publish: %(n)s rules broken", count) % {"n": count}
    return _("Publish: nothing to publish")


def _publish_head(board: PlanBoard) -> str:
    if board.proposal is None:
        return _("There is nothing to publish.")
    words = {"n": board.proposal.number, "told": len(board.told)}
    if not board.told:
        return _("Publish plan %(n)s: nobody has to be told.") % words
    return (
        ngettext(
            "Publish plan %(n)s: %(told)s will be told.", "Publish plan %(n)s: %(told)s will be told.", len(board.told)
        )
        % words
    )
