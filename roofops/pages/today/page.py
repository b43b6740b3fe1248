"""Today as the template draws it: the board's rows in words and pictures."""

from dataclasses import dataclass, replace

from django.utils.safestring import SafeString

from crews.boards.key_line import Cause
from crews.boards.today import TodayBoard, TodayRow
from roofops.pages.forms.decision import HoldForm, LimitForm, ReleaseForm
from roofops.pages.frame.title_block import TitleBlock, title_block
from roofops.pages.strip import draw, ruler
from roofops.pages.strip.axis import Axis
from roofops.pages.strip.hours_table import HoursTable, hours_table
from roofops.pages.strip.sizes import SIZES
from roofops.pages.today.short import folded_line, short_change
from roofops.pages.today.words import (
    MANY_ROWS,
    Line,
    accept_label,
    accepted_label,
    change_lines,
    headline,
    job_line,
    row_over,
    sub_line,
)
from roofops.pages.wording.key_line import KeyWords, key_words, verdict_word


@dataclass(frozen=True)
class RowView:
    """One roof: its row, its sentences, its strip in two widths, and the forms of its decision."""

    row: TodayRow
    first: bool
    folded: bool  # on a phone only
    word: str
    key: KeyWords
    waiting: KeyWords | None
    job_line: str
    folded_line: str
    change: tuple[Line, ...]
    short_change: Line
    strip_wide: SafeString
    strip_phone: SafeString
    hours: HoursTable
    accept: str
    accepted: str
    limit_form: LimitForm
    hold_form: HoldForm
    release_form: ReleaseForm
    may_release: bool
    open_form: str = ""  # limit, hold or release, where a refused form is shown again
    notice: str = ""  # why an action was refused


@dataclass(frozen=True)
class TodayPage:
    """The whole page."""

    board: TodayBoard
    headline: str
    sub_line: str
    rows: tuple[RowView, ...]
    ruler: SafeString
    title_block: TitleBlock
    accept_all: int = 0


@dataclass(frozen=True)
class Shown:
    """What a request asks to see otherwise than usual: one row opened, with a form or an action that was refused."""

    open_job: int | None = None
    form: LimitForm | HoldForm | ReleaseForm | None = None
    notice: str = ""


def today_page(board: TodayBoard, shown: Shown | None = None) -> TodayPage:
    """Return the page of a board."""
    shown = shown or Shown()
    rows = tuple(row_view(row, board, shown, first=index == 0) for index, row in enumerate(board.rows))
    axis = Axis(board.axis_start, board.axis_end, SIZES["row"].width, board.zone)
    return TodayPage(
        board=board,
        headline=headline(board),
        sub_line=sub_line(board),
        rows=rows,
        ruler=ruler(axis, board.now),
        title_block=title_block(board.yard_name, board.company, board.zone, board.now, board.forecast),
        accept_all=board.unchanged_to_accept if board.may_decide and len(rows) >= MANY_ROWS else 0,
    )


def row_view(row: TodayRow, board: TodayBoard, shown: Shown, *, first: bool) -> RowView:
    """Return one row of a board."""
    zone = row.job.zone or board.zone
    line = row.line
    if row_over(row, board.now):
        # Nobody shingles any more today, so the figure of the morning would only mislead.
        line = replace(line, shingle_squares=0.0, shingle_from=None, has_closed_work=False)
        # Nor is there anybody to call about a change that no work waits for.
        row = replace(row, told=replace(row.told, overdue=False))
    key = key_words(line, zone, reasons=_named_causes(row), now=board.now)
    name = f"{verdict_word(line.verdict, has_closed_work=line.has_closed_work)}. {key}"
    cause = row.line.cause
    opened = shown.open_job == row.job.job_id
    refused = shown.form if opened else None
    job_id = row.job.job_id
    return RowView(
        row=row,
        first=first,
        folded=not first and not opened,
        word=verdict_word(line.verdict, has_closed_work=line.has_closed_work),
        key=key,
        waiting=key_words(row.waiting, zone, now=board.now) if row.waiting else None,
        job_line=job_line(row),
        folded_line=folded_line(replace(row, line=line), zone),
        change=change_lines(row, zone),
        short_change=short_change(row, zone),
        strip_wide=draw(row.strip, "first" if first else "row", name, named=cause),
        strip_phone=draw(row.strip, "phone", name, named=cause),
        hours=hours_table(row.strip),
        accept=accept_label(row),
        accepted=accepted_label(row, zone),
        limit_form=refused if isinstance(refused, LimitForm) else LimitForm(line=row.line, job_id=job_id),
        hold_form=refused if isinstance(refused, HoldForm) else HoldForm(job_id=job_id),
        release_form=refused if isinstance(refused, ReleaseForm) else ReleaseForm(job_id=job_id),
        may_release=row.line.held or row.line.own_limit_squares is not None,
        open_form=refused.kind if refused is not None else "",
        notice=shown.notice if opened else "",
    )


def _named_causes(row: TodayRow) -> tuple[Cause, ...]:
    """Return the causes with the highest gust and wind of the whole time off the roof, not only its first hour's."""
    line = row.line
    causes = row.reasons or ((line.cause,) if line.cause else ())
    if line.off_from is None or line.off_until is None:
        return causes
    hours = [hour for hour in row.strip.hours if line.off_from <= hour.start < line.off_until]
    peaks = {
        "gust": max((hour.gust_mph for hour in hours if hour.gust_mph is not None), default=None),
        "wind": max((hour.wind_mph for hour in hours if hour.wind_mph is not None), default=None),
    }
    return tuple(
        replace(cause, value=max(cause.value or 0.0, peak)) if (peak := peaks.get(cause.code)) else cause
        for cause in causes
    )
