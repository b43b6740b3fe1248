"""The sentences of Plan: its headline, what blocks, the gap, costs, moves, and the list by day for the phone."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from crews.boards.plan import Blocker, CostLine, Move, PlanBar, PlanBoard, PlanDay
from roofops.pages.wording import formats

PHASE_ORDER = ("tear_off", "deck", "ice_barrier", "underlayment", "field", "ridge")


@dataclass(frozen=True)
class CostWords:
    """One cost line as the table shows it; better marks the side with the smaller figure."""

    label: str
    published: str
    proposed: str
    better: str  # published, proposed or empty


@dataclass(frozen=True)
class MoveWords:
    """One moved job as the side shows it."""

    name: str
    how: str
    why: str
    job_id: int


@dataclass(frozen=True)
class DayWork:
    """One crew's job on one day, for the list by day."""

    crew: str
    bar: PlanBar
    work: str
    tag: str


@dataclass(frozen=True)
class DayList:
    """One day of the list: its sky in words and who works where."""

    day: PlanDay
    sky: str
    drops: str
    work: tuple[DayWork, ...]


def headline(board: PlanBoard) -> str:
    """Return the page's h1: how many jobs should move and what is broken, or what the published plan holds."""
    if board.proposal is not None:
        return " ".join([_moves_sentence(board), *_broken_sentences(board.blockers)])
    if board.published is not None:
        jobs = ngettext("%(n)s job", "%(n)s jobs", board.jobs_planned) % {"n": board.jobs_planned}
        crews = ngettext("%(n)s crew", "%(n)s crews", len(board.crews)) % {"n": len(board.crews)}
        words = {"jobs": jobs, "crews": crews, "plan": board.published.number}
        return " ".join([_("Plan %(plan)s: %(jobs)s for %(crews)s.") % words, *_broken_sentences(board.blockers)])
    waiting = len(board.unscheduled)
    if waiting:
        return ngettext("No plan yet. %(n)s job waits for one.", "No plan yet. %(n)s jobs wait for one.", waiting) % {
            "n": waiting
        }
    return _("No plan yet.")


def sub_line(board: PlanBoard) -> str:
    """Return what the bars and the snap-lines stand for."""
    if board.proposal is not None and board.published is not None:
        words = {"proposal": board.proposal.number, "plan": board.published.number}
        return (
            _("Bars: proposal %(proposal)s. Grey snap-lines: where the published plan %(plan)s has a job that moves.")
            % words
        )
    if board.proposal is not None:
        return _("Bars: proposal %(proposal)s. Nothing is published yet.") % {"proposal": board.proposal.number}
    if board.published is not None and board.published.published_at is not None:
        at = formats.local(board.published.published_at, board.zone)
        since = {"day": formats.day(at.date()), "clock": formats.clock(at, board.zone)}
        return _("Bars: the published plan, in force since %(day)s, %(clock)s.") % since
    return _("Propose a plan to see it here.")


def _moves_sentence(board: PlanBoard) -> str:
    moves = len(board.moves)
    if board.published is None:
        return ngettext("%(n)s job has a place.", "%(n)s jobs have a place.", board.jobs_planned) % {
            "n": board.jobs_planned
        }
    if not moves:
        return _("No job has to move.")
    return ngettext("%(n)s of %(all)s jobs should move.", "%(n)s of %(all)s jobs should move.", moves) % {
        "n": moves,
        "all": board.jobs_planned,
    }


def _broken_sentences(blockers: tuple[Blocker, ...]) -> list[str]:
    if not blockers:
        return []
    first = blockers[0]
    if first.code == "drops" and first.used is not None and first.limit is not None and first.day:
        over = round(first.used - first.limit)
        words = {"n": over, "day": formats.day_short(first.day)}
        return [ngettext("%(n)s drop is too many on %(day)s.", "%(n)s drops are too many on %(day)s.", over) % words]
    return [ngettext("%(n)s rule is broken.", "%(n)s rules are broken.", len(blockers)) % {"n": len(blockers)}]


def gap_words(gap: float) -> str:
    """Return how near to the best possible a plan is."""
    percent = gap * 100
    if percent < 0.05:
        return _("The best possible")
    return _("Within %(gap)s %% of the best possible") % {"gap": f"{percent:.1f}" if percent < 10 else f"{percent:.0f}"}


def cost_words(line: CostLine) -> CostWords:
    """Return one cost of both plans in words and figures."""
    labels = {
        "late_days": _("Days late"),
        "idle_labor_hours": _("Idle hours"),
        "water_loss_usd": _("Water loss, expected"),
        "travel_miles": _("Travel, miles"),
    }
    better = ""
    if line.published is not None and line.proposed is not None and round(line.published) != round(line.proposed):
        better = "proposed" if line.proposed < line.published else "published"
    return CostWords(
        label=labels.get(line.code, line.code.replace("_", " ")),
        published=_cost(line.code, line.published),
        proposed=_cost(line.code, line.proposed),
        better=better,
    )


def _cost(code: str, value: float | None) -> str:
    if value is None:
        return "–"
    return f"${value:,.0f}" if code.endswith("_usd") else f"{value:,.0f}"


def move_words(move: Move, zone: str) -> MoveWords:
    """Return one moved job: from when to when, with whom, and why."""
    start = _day_of(move.from_start, zone)
    end = _day_of(move.to_start, zone)
    if move.from_crew and move.to_crew and move.from_crew != move.to_crew:
        words = {"from": move.from_crew, "to": move.to_crew, "start": start, "end": end}
        how = _("%(from)s %(start)s to %(to)s %(end)s") % words
    elif start and end and start != end:
        how = _("%(start)s to %(end)s") % {"start": start, "end": end}
    elif end and not start:
        how = _("new, %(end)s with %(to)s") % {"end": end, "to": move.to_crew}
    elif start and not end:
        how = _("%(start)s, taken out") % {"start": start}
    else:
        how = _("%(day)s, other hours") % {"day": end}
    return MoveWords(name=move.name, how=how, why=move.reason, job_id=move.job_id)


def _day_of(moment: datetime | None, zone: str) -> str:
    return formats.day_short(formats.local(moment, zone).date()) if moment else ""


def days_words(board: PlanBoard) -> tuple[DayList, ...]:
    """Return the plan as a list by day, for the phone and for paper on the wall."""
    return tuple(
        DayList(day=day, sky=_sky_words(day), drops=_drops_words(day), work=tuple(_work_of(board, day.date)))
        for day in board.days
        if day.workday or any(True for _work in _work_of(board, day.date))
    )


def _sky_words(day: PlanDay) -> str:
    words = []
    if day.bare_hours is not None:
        words.append(_("may be bare %(hours)s") % {"hours": formats.hours(day.bare_hours)})
    if day.typical:
        words.append(_("typical for the month, no forecast yet"))
        return ", ".join(words)
    chances = [hour.rain_chance for hour in day.hours if hour.rain_chance is not None]
    if chances:
        words.append(_("chance of rain up to %(share)s") % {"share": formats.share(max(chances))})
    if day.gust_max_mph is not None:
        words.append(_("gusts to %(mph)s") % {"mph": formats.mph(day.gust_max_mph)})
    if day.high_f is not None:
        words.append(_("high %(deg)s") % {"deg": formats.deg_f(day.high_f)})
    return ", ".join(words) or _("no forecast")


def _drops_words(day: PlanDay) -> str:
    return _("%(used)s of %(limit)s drops") % {"used": day.drops_used, "limit": day.drops_limit}


def _work_of(board: PlanBoard, day: date) -> Iterable[DayWork]:
    from roofops.pages.drawing.job_bar import bar_tag

    for row in board.crews:
        for bar in row.bars:
            phases = {
                segment.phase
                for segment in bar.segments
                if formats.local(segment.start, board.zone).date() == day and segment.phase in PHASE_ORDER
            }
            if phases:
                yield DayWork(crew=row.name, bar=bar, work=phase_list(phases), tag=bar_tag(bar))


def phase_list(phases: Iterable[str]) -> str:
    """Return phases in the order of the work, in the trade's words."""
    held = frozenset(phases)
    return ", ".join(phase_word(phase) for phase in PHASE_ORDER if phase in held)


def phase_span(phases: Iterable[str]) -> str:
    """Return phases as short as a crew says them: `tear-off to dry-in, shingles`."""
    held = frozenset(phases)
    if not {"tear_off", "underlayment"} <= held:
        return phase_list(held)
    rest = [phase_word(phase) for phase in ("field", "ridge") if phase in held]
    return ", ".join([_("tear-off to dry-in"), *rest])


def phase_word(phase: str) -> str:
    """Return the trade's word for a phase code."""
    words = {
        "tear_off": _("tear-off"),
        "deck": _("deck"),
        "ice_barrier": _("ice barrier"),
        "underlayment": _("underlayment"),
        "field": _("shingles"),
        "ridge": _("ridge"),
        "details": _("valleys, flashing, boots"),
        "set_up_clean_up": _("set-up, cleanup"),
        "set_up": _("set-up"),
        "clean_up": _("cleanup"),
    }
    return words.get(phase, phase.replace("_", " "))


def published_words(number: int, crews: Iterable[str], pencilled: int) -> str:
    """Return what publishing did: which crews are told, and how many jobs stay pencilled in."""
    names = ", ".join(crews)
    told = _("Told: %(crews)s.") % {"crews": names} if names else _("Nobody had to be told.")
    parts = [_("Plan %(n)s is in force.") % {"n": number}, told]
    if pencilled:
        form = ngettext(
            "%(n)s job stays pencilled in: it is not ready.",
            "%(n)s jobs stay pencilled in: they are not ready.",
            pencilled,
        )
        parts.append(form % {"n": pencilled})
    return " ".join(parts)
