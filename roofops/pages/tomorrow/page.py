"""Tomorrow as the template draws it: the board's rows in words and pictures."""

from dataclasses import dataclass
from datetime import date

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from crews.boards.tomorrow import TomorrowBoard, TomorrowRow
from roofops.pages.frame.title_block import TitleBlock, title_block
from roofops.pages.job.ready_words import ready_word
from roofops.pages.strip import draw, ruler
from roofops.pages.strip.axis import Axis
from roofops.pages.strip.hours_table import HoursTable, hours_table
from roofops.pages.strip.sizes import SIZES
from roofops.pages.tomorrow.words import Tick, backup, headline, idle_crews, left_open, proposal, sub_line, ticks
from roofops.pages.wording import formats
from roofops.pages.wording.key_line import KeyWords, key_words, verdict_word


@dataclass(frozen=True)
class ChoiceButton:
    """One of the three choices: chosen is filled ink, proposed has a thick border."""

    value: str
    words: str
    chosen: bool
    proposed: bool


@dataclass(frozen=True)
class RowView:
    """One job of the next work day in words and pictures."""

    row: TomorrowRow
    word: str
    key: KeyWords
    not_ready: str
    left_open: str  # what today's run does not close
    job_line: str
    choices: tuple[ChoiceButton, ...]
    proposal: str
    backup: str
    ticks: tuple[Tick, ...]
    strip_wide: SafeString
    strip_phone: SafeString
    hours: HoursTable
    move_to: date | None
    move_open: bool = False
    notice: str = ""  # why an action was refused


@dataclass(frozen=True)
class Refusal:
    """A refused action: on which job, why, and whether its day field stays open."""

    job_id: int
    notice: str
    move_open: bool = False
    move_to: date | None = None  # the day that was typed


@dataclass(frozen=True)
class TomorrowPage:
    """The whole page."""

    board: TomorrowBoard
    headline: str
    sub_line: str
    rows: tuple[RowView, ...]
    ruler: SafeString
    idle_crews: str
    title_block: TitleBlock
    day_head: str


def tomorrow_page(board: TomorrowBoard, refusal: Refusal | None = None) -> TomorrowPage:
    """Return the page of a board."""
    axis = Axis(board.axis_start, board.axis_end, SIZES["tomorrow"].width, board.zone)
    return TomorrowPage(
        board=board,
        headline=headline(board),
        sub_line=sub_line(board),
        rows=tuple(row_view(row, board, refusal) for row in board.rows),
        ruler=ruler(axis, every=2),
        idle_crews=idle_crews(board),
        title_block=title_block(board.yard_name, board.company, board.zone, board.now, board.forecast),
        day_head=_("%(day)s: verdict and reason") % {"day": formats.day(board.day)},
    )


def row_view(row: TomorrowRow, board: TomorrowBoard, refusal: Refusal | None = None) -> RowView:
    """Return one row of a board."""
    refused = refusal if refusal is not None and refusal.job_id == row.job.job_id else None
    zone = row.job.zone or board.zone
    key = key_words(row.line, zone, tomorrow=True)
    word = verdict_word(row.line.verdict, has_closed_work=row.line.has_closed_work)
    return RowView(
        row=row,
        word=word,
        key=key,
        not_ready=", ".join(map(ready_word, row.not_ready)),
        left_open=left_open(row),
        job_line=_job_line(row),
        choices=_choices(row),
        proposal=proposal(row, zone),
        backup=backup(row.backup),
        ticks=ticks(row, zone),
        strip_wide=draw(row.strip, "tomorrow", f"{word}. {key}", named=row.line.cause),
        strip_phone=draw(row.strip, "phone", f"{word}. {key}", named=row.line.cause),
        hours=hours_table(row.strip),
        move_to=(refused.move_to if refused else None) or row.move_to or row.proposed.move_to,
        move_open=refused is not None and refused.move_open,
        notice=refused.notice if refused is not None else "",
    )


def _choices(row: TomorrowRow) -> tuple[ChoiceButton, ...]:
    words = (("go", _("Go")), ("at_530", _("At 5:30 am")), ("move", _("Move")))
    return tuple(
        ChoiceButton(value, text, row.choice == value, not row.choice and row.proposed.choice == value)
        for value, text in words
    )


def _job_line(row: TomorrowRow) -> str:
    job = row.job
    if job.old_squares >= job.squares - 0.05:
        old = _("all old")
    elif job.old_squares < 0.05:
        old = _("none old")
    else:
        old = _("%(n)s old") % {"n": formats.figure(job.old_squares)}
    roof = f"{formats.measured(job.squares, 'sq')}, {old}"
    if not job.crew_name:
        return _("no crew") + f" · {roof}"
    crew = _("crew %(name)s, %(people)s") % {"name": job.crew_name, "people": formats.people(job.people_planned)}
    return f"{crew} · {roof}"
