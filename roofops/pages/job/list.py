"""What the list of jobs prints: one page of lines, the search that led to it, and how many there are."""

from dataclasses import dataclass
from urllib.parse import urlencode

from django.core.paginator import Paginator
from django.db.models import QuerySet
from django.utils.functional import Promise
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from jobs.models import Job, JobStatus
from jobs.queries import OPEN_STATUSES, JobLine, job_line
from roofops.pages.drawing.area_bar import area_bar
from roofops.pages.wording import formats

PER_PAGE = 50
OPEN, ALL = "open", "all"


@dataclass(frozen=True)
class JobRow:
    """One line of the list."""

    id: int
    street: str
    short_name: str
    number: str
    squares: float
    bar: SafeString
    status: str
    promised: str
    ready: str


@dataclass(frozen=True)
class JobListPage:
    """One page of the list."""

    headline: str
    sub: str
    q: str
    status: str
    statuses: tuple[tuple[str, str | Promise], ...]
    filtered: bool
    jobs: tuple[JobRow, ...]
    number: int
    pages: int
    previous: str
    next: str
    may_edit: bool


def wanted_statuses(status: str) -> tuple[str, ...] | None:
    """Return the statuses that a choice of the filter stands for; None for all. An unknown choice is the open ones."""
    if status == ALL:
        return None
    if status in JobStatus.values:
        return (status,)
    return tuple(OPEN_STATUSES)


def job_list_page(queryset: QuerySet[Job], *, q: str, status: str, page: str, may_edit: bool) -> JobListPage:
    """Return one page of the jobs that fit."""
    chosen = status if status == ALL or status in JobStatus.values else OPEN
    found = Paginator(queryset.order_by("number"), PER_PAGE).get_page(page or 1)
    total = found.paginator.count
    return JobListPage(
        headline=_headline(total, q, chosen),
        sub=_("Street, short name or number find a job. Squares are true slope area."),
        q=q,
        status=chosen,
        statuses=((OPEN, _("signed or at work")), *JobStatus.choices, (ALL, _("all"))),
        filtered=bool(q) or chosen != OPEN,
        jobs=tuple(_row(row) for row in found),
        number=found.number,
        pages=found.paginator.num_pages,
        previous=_address(q, chosen, found.previous_page_number()) if found.has_previous() else "",
        next=_address(q, chosen, found.next_page_number()) if found.has_next() else "",
        may_edit=may_edit,
    )


def _headline(total: int, q: str, chosen: str) -> str:
    if q:
        return ngettext("%(n)s job fits “%(q)s”.", "%(n)s jobs fit “%(q)s”.", total) % {"n": total, "q": q}
    if chosen == OPEN:
        return ngettext("%(n)s job to build.", "%(n)s jobs to build.", total) % {"n": total}
    return ngettext("%(n)s job.", "%(n)s jobs.", total) % {"n": total}


def _address(q: str, chosen: str, number: int) -> str:
    return "?" + urlencode({"q": q, "status": chosen, "page": number})


def _row(row: Job) -> JobRow:
    line = job_line(row)
    sections = list(row.sections.all())
    old = sum(section.old_squares for section in sections)
    dried_in = sum(section.dried_in_squares for section in sections)
    words = {
        "shingled": formats.figure(line.shingled_squares),
        "dried": formats.figure(dried_in),
        "bare": formats.figure(line.bare_squares),
        "old": formats.figure(old),
    }
    name = _("shingled %(shingled)s, dried-in %(dried)s, bare %(bare)s, old %(old)s squares") % words
    return JobRow(
        id=line.job_id,
        street=line.street,
        short_name=line.short_name,
        number=line.number,
        squares=line.squares,
        bar=area_bar(line.shingled_squares, dried_in, line.bare_squares, old, name),
        status=line.status,
        promised=formats.day(line.promised_by) if line.promised_by else "",
        ready=_ready(line),
    )


def _ready(line: JobLine) -> str:
    if not line.missing:
        return _("ready")
    if len(line.missing) <= 2:
        return _("waits for %(what)s") % {"what": ", ".join(item.label for item in line.missing)}
    words = {"what": line.missing[0].label, "n": len(line.missing) - 1}
    return _("waits for %(what)s and %(n)s more") % words
