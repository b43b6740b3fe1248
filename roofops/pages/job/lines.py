"""The lines and tables that one job's page prints, as data."""

from dataclasses import dataclass

from django.utils.safestring import SafeString

from crews.boards.job import InspectionLine, ReadyLine
from roofops.pages.drawing.roof_edges import EdgeSample
from roofops.pages.forms.inspection import InspectionForm
from roofops.pages.job.photo_words import PhotoLine
from roofops.pages.wording.key_line import KeyWords


@dataclass(frozen=True)
class HoursLine:
    """Labor-hours of one phase."""

    label: str
    bar: SafeString
    done: float
    planned: float


@dataclass(frozen=True)
class HoldLine:
    """One inspection; open: it can still be booked or noted."""

    of: InspectionLine
    what: str
    when: str
    state: str
    open: bool
    form: InspectionForm


@dataclass(frozen=True)
class ReadyTick:
    """One line of the checklist."""

    of: ReadyLine
    label: str
    note: str


@dataclass(frozen=True)
class LogRow:
    """One line of the log."""

    at: str
    who: str
    what: str


@dataclass(frozen=True)
class TakeoffRow:
    """One material."""

    label: str
    need: str
    order: str
    came: str
    how: str


@dataclass(frozen=True)
class LoadItemLine:
    """One load of the job."""

    title: str
    when: str
    state: str
    over: bool
    url: str


@dataclass(frozen=True)
class Verdict:
    """Today's verdict at the top right."""

    code: str
    word: str
    key: KeyWords


@dataclass(frozen=True)
class JobPage:
    """All that the job's page prints beside the board and the row."""

    sub: str
    verdict: Verdict | None
    strip: SafeString | None
    strip_phone: SafeString | None
    no_day: str
    drawing: SafeString | None
    drawing_phone: SafeString | None
    edges: tuple[EdgeSample, ...]
    ordered: bool
    hours: tuple[HoursLine, ...]
    finish_likely: str
    finish_late: str
    speed: str
    delays: tuple[str, ...]
    inspections: tuple[HoldLine, ...]
    inspection_id: int | None
    ready: tuple[ReadyTick, ...]
    owed: int
    ready_words: str
    log: tuple[LogRow, ...]
    takeoff: tuple[TakeoffRow, ...]
    takeoff_missing: str
    debris: str
    takeoff_gap: str  # what a missing measurement leaves uncounted
    loads: tuple[LoadItemLine, ...]
    facts: tuple[tuple[str, str], ...]
    phone: str
    sheet_url: str
    photos: tuple[PhotoLine, ...]
    reports: tuple[tuple[str, str], ...]
    check: str
