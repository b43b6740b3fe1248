"""What the day sheet prints on letter paper: one page for each roof, black on white, in the order of the phone."""

from collections.abc import Mapping
from dataclasses import dataclass

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from crews.boards.job import SectionLine
from crews.day_sheet import DaySheet, SheetJob, SheetSlope
from jobs.models import Job
from jobs.queries import measured_roof
from roofops.pages.drawing.roof import roof_picture
from roofops.pages.plan.words import phase_span
from roofops.pages.sheet import words as sheet_words
from roofops.pages.sheet.page import CautionLine, caution_lines, product_words
from roofops.pages.strip import draw
from roofops.pages.wording import formats
from roofops.pages.wording.key_line import KeyWords, key_words, verdict_word

ROOF_WIDTH_PX, ROOF_HEIGHT_PX, STRIP_PX = 380.0, 390.0, 806.0
ITEMS_ON_PAPER = 8
# Cautions that stand among the ticks of the same sheet.
ON_THE_TICK_LIST = frozenset({"ladder", "surface"})


@dataclass(frozen=True)
class WorkLine:
    """One line of today's work, with room to write what was done."""

    order: str
    name: str
    phases: str
    squares: str
    hours: str


@dataclass(frozen=True)
class PaperPage:
    """One roof's page."""

    item: SheetJob
    roof_line: str
    verdict: str
    word: str
    key: KeyWords
    strip: SafeString
    drawing: SafeString | None
    work: tuple[WorkLine, ...]
    on_site: str
    due: tuple[str, ...]
    product: str
    cautions: tuple[CautionLine, ...]
    people: str
    times: str
    holds: tuple[str, ...]
    number: str
    replaces: str
    until: str


@dataclass(frozen=True)
class PaperSheet:
    """All pages with their shared head and foot."""

    date: str
    caller: str
    forecast: str
    pages: tuple[PaperPage, ...]
    before: tuple[str, ...]
    leaving: tuple[str, ...]


def paper_sheet(sheet: DaySheet, roofs: Mapping[int, Job]) -> PaperSheet:
    """Return the pages; roofs: the measured job of each, by id."""
    return PaperSheet(
        date=sheet_words.long_day(sheet.day),
        caller=" ".join(part for part in (sheet.call_name, sheet.call_phone) if part),
        forecast=_forecast(sheet),
        pages=tuple(_page(sheet, item, roofs.get(item.job.job_id)) for item in sheet.jobs),
        before=(
            _("deck carries, anchors set, ladder tied, 3 ft above the eave"),
            _("plants, AC and doors covered, drop zone closed"),
            _("sky looked at: agrees with this sheet"),
            _("toolbox talk held, everyone signed"),
        ),
        leaving=(
            _("bare deck 0 sq, open ridge 0 ft"),
            _("laps capped, valleys and walls sealed, photos"),
            _("ladder down, magnet swept, dumpster covered"),
            _("squares and hours per phase reported"),
        ),
    )


def _page(sheet: DaySheet, item: SheetJob, job: Job | None) -> PaperPage:
    zone = item.strip.zone
    day = formats.month_day(sheet.day)
    return PaperPage(
        item=item,
        roof_line=_roof_line(item),
        verdict=item.line.verdict,
        word=verdict_word(item.line.verdict, has_closed_work=item.line.has_closed_work),
        key=key_words(item.line, zone),
        strip=draw(item.strip, "print", "", width=STRIP_PX, named=item.line.cause),
        drawing=_drawing(item, job),
        work=tuple(_work(slope) for slope in sorted(item.slopes, key=_by_order)),
        on_site=_on_site(item),
        due=tuple(sheet_words.due_words(load, zone) for load in item.loads if not load.on_site),
        product=product_words(item),
        cautions=caution_lines(item, ON_THE_TICK_LIST),
        people=", ".join(item.people),
        times=_times(item, zone),
        holds=tuple(sheet_words.hold_words(hold, zone) for hold in item.holds),
        number=f"{item.job.number} / {day} / {item.version}",
        replaces=_("replaces %(n)s") % {"n": item.replaces_version} if item.replaces_version else "",
        until=_until(sheet),
    )


def _roof_line(item: SheetJob) -> str:
    job = item.job
    words = {
        "number": job.number,
        "squares": formats.measured(job.squares, "sq"),
        "pitch": formats.pitch(job.pitch_in_12),
        "storeys": job.storeys,
        "layers": job.layers,
    }
    return _("%(number)s, %(squares)s, %(pitch)s, stories: %(storeys)s, layers: %(layers)s") % words


def _drawing(item: SheetJob, job: Job | None) -> SafeString | None:
    if job is None or not job.sections.all():
        return None
    lines = [
        SectionLine(
            section_id=slope.section_id,
            name=slope.name,
            pitch_in_12=slope.pitch_in_12,
            squares=slope.squares,
            old_squares=slope.old_squares,
            bare_squares=slope.bare_squares,
            dried_in_squares=slope.dried_in_squares,
            shingled_squares=slope.shingled_squares,
            order=slope.order,
            stop_squares=slope.stop_squares,
            state=slope.state,
        )
        for slope in item.slopes
    ]
    return roof_picture(measured_roof(job), lines, width_px=ROOF_WIDTH_PX, max_height_px=ROOF_HEIGHT_PX)


def _by_order(slope: SheetSlope) -> tuple[bool, int]:
    return slope.order is None, slope.order or 0


def _work(slope: SheetSlope) -> WorkLine:
    return WorkLine(
        order=str(slope.order) if slope.order is not None else "",
        name=slope.name,
        phases=phase_span(slope.phases),
        squares=f"{slope.today_squares:.1f}",
        hours=f"{slope.target_labor_hours:.1f}",
    )


def _times(item: SheetJob, zone: str) -> str:
    parts = []
    if item.starts_at:
        parts.append(_("On the roof %(clock)s") % {"clock": formats.clock(item.starts_at, zone)})
    if item.leaves_at:
        parts.append(_("leave %(clock)s") % {"clock": formats.clock(item.leaves_at, zone)})
    return ", ".join(parts)


def _forecast(sheet: DaySheet) -> str:
    issued = sheet.forecast.issued_at
    if issued is None:
        return _("no forecast")
    local = formats.local(issued, sheet.zone)
    return f"{formats.month_day(local.date())}, {formats.clock(issued, sheet.zone)}"


def _on_site(item: SheetJob) -> str:
    """Return what is on site, shortened to what a paper sheet has room for."""
    items = [words for load in item.loads if load.on_site for words in sheet_words.load_items(load)]
    more = len(items) - ITEMS_ON_PAPER
    shown = ", ".join(items[:ITEMS_ON_PAPER])
    return (
        ngettext("%(what)s and %(n)s more", "%(what)s and %(n)s more", more) % {"what": shown, "n": more}
        if more > 0
        else shown
    )


def _until(sheet: DaySheet) -> str:
    if sheet.valid_until is None:
        return _("Call before opening; dry-in time still stands.")
    words = {"clock": formats.clock(sheet.valid_until, sheet.zone)}
    return _("After %(clock)s open nothing more, call; dry-in time still stands.") % words
