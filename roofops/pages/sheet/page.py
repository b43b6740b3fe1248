"""What the templates of the day sheet print, on the phone."""

import uuid
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import urlencode

from django.conf import settings
from django.urls import reverse
from django.utils.safestring import SafeString
from django.utils.translation import get_language, get_language_info
from django.utils.translation import gettext as _

from crews.day_sheet import DaySheet, SheetJob, SheetSlope
from crews.queries.sheet_words import caution_words
from crews.queries.sheet_words import words as coded
from roofops.pages.job.photo_words import PhotoLine
from roofops.pages.job.ready_words import area_state
from roofops.pages.plan.words import phase_word
from roofops.pages.sheet import words as sheet_words
from roofops.pages.strip import draw
from roofops.pages.wording import formats
from roofops.pages.wording.key_line import KeyWords, key_words, verdict_word

TABS = ("today", "safety", "material", "photos")


@dataclass(frozen=True)
class Link:
    """One link or button."""

    label: str
    url: str
    current: bool = False


@dataclass(frozen=True)
class Language:
    """The other language that the sheet can be read in."""

    code: str
    name: str


@dataclass(frozen=True)
class SlopeRow:
    """One slope of today's list."""

    order: str
    name: str
    words: str
    state: str
    pattern: str


@dataclass(frozen=True)
class CautionLine:
    """One caution with its rule."""

    words: str
    figures: str
    reference: str


@dataclass(frozen=True)
class StepsPart:
    """Steps and checks of one phase."""

    phase: str
    steps: tuple[str, ...]
    checks: tuple[str, ...]


@dataclass(frozen=True)
class Nail:
    """Nails of one phase."""

    phase: str
    nail: str
    count: str


@dataclass(frozen=True)
class SheetPage:
    """All that the sheet prints beside the sheet itself."""

    tab: str
    tabs: tuple[Link, ...]
    home: str
    sub: str
    iso: str
    languages: Language | None
    item: SheetJob | None
    jobs: tuple[Link, ...]
    valid_until: str
    changed_at: str = ""
    verdict: str = ""
    word: str = ""
    key: KeyWords | None = None
    strip: SafeString | None = None
    slopes: tuple[SlopeRow, ...] = ()
    stop: str = ""
    next: str = ""
    report_url: str = ""
    dried_url: str = ""
    photo_url: str = ""
    uuid: str = ""
    more: tuple[Link, ...] = ()
    said: tuple[str, ...] = ()
    facts: tuple[tuple[str, str], ...] = ()
    map: str = ""
    cautions: tuple[CautionLine, ...] = ()
    steps: tuple[StepsPart, ...] = ()
    product: str = ""
    on_site: tuple[str, ...] = ()
    due: tuple[str, ...] = ()
    fasteners: tuple[Nail, ...] = ()
    photos: tuple[PhotoLine, ...] = ()


def chosen_job(sheet: DaySheet, job_id: int | None) -> SheetJob | None:
    """Return the roof that is shown: the named one, else the first of the day."""
    return next((item for item in sheet.jobs if item.job.job_id == job_id), next(iter(sheet.jobs), None))


def sheet_page(sheet: DaySheet, tab: str, job_id: int | None, photos: tuple[PhotoLine, ...] = ()) -> SheetPage:
    """Return what the sheet prints for one tab and one of its roofs."""
    item = chosen_job(sheet, job_id)
    tab = tab if tab in TABS else TABS[0]
    shared = {
        "tab": tab,
        "tabs": _tabs(sheet, tab, item),
        "home": _address(sheet, item),
        "sub": sheet_words.sub_line(sheet),
        "iso": sheet.day.isoformat(),
        "languages": other_language(),
        "item": item,
        "jobs": _jobs(sheet, item),
        "valid_until": formats.clock(sheet.valid_until, sheet.zone) if sheet.valid_until else "",
        "photos": photos,
    }
    return SheetPage(**shared, **_of_job(sheet, item)) if item else SheetPage(**shared)  # type: ignore[arg-type]


def _of_job(sheet: DaySheet, item: SheetJob) -> dict[str, object]:
    zone = item.strip.zone
    key = key_words(item.line, zone, now=sheet.now)
    word = verdict_word(item.line.verdict, has_closed_work=item.line.has_closed_work)
    return {
        "changed_at": formats.clock(item.changed_at, zone) if item.changed_at else "",
        "verdict": item.line.verdict,
        "word": word,
        "key": key,
        "strip": draw(item.strip, "sheet", f"{word}. {key}", named=item.line.cause),
        "slopes": slope_rows(item),
        "stop": sheet_words.stop_words(item),
        "next": sheet_words.next_words(item, zone),
        "report_url": _report(sheet, item, "squares"),
        "dried_url": _report(sheet, item, "dried_in"),
        "photo_url": _report(sheet, item, "photo"),
        "uuid": str(uuid.uuid4()),
        "more": _more(sheet, item),
        "said": _said(item, zone),
        "facts": _facts(sheet, item, zone),
        "map": f"geo:{item.lat:.5f},{item.lon:.5f}?" + urlencode({"q": f"{item.job.street}, {item.job.city}"}),
        "cautions": caution_lines(item),
        "steps": tuple(
            StepsPart(
                phase=_capital(phase_word(part.phase)),
                steps=tuple(coded(step) for step in part.steps),
                checks=tuple(coded(check) for check in part.checks),
            )
            for part in item.steps
        ),
        "product": product_words(item),
        "on_site": tuple(words for load in item.loads if load.on_site for words in sheet_words.load_items(load)),
        "due": tuple(sheet_words.due_words(load, zone) for load in item.loads if not load.on_site),
        "fasteners": tuple(Nail(*sheet_words.nail_words(fastener)) for fastener in item.fasteners),
    }


def slope_rows(item: SheetJob) -> tuple[SlopeRow, ...]:
    """Return today's slopes in their order, those that only get closed work after them."""
    ordered = sorted(item.slopes, key=lambda slope: (slope.order is None, slope.order or 0))
    return tuple(_slope(slope) for slope in ordered)


def _slope(slope: SheetSlope) -> SlopeRow:
    return SlopeRow(
        order=str(slope.order) if slope.order is not None else "",
        name=sheet_words.slope_name(slope),
        words=sheet_words.slope_words(slope),
        state=area_state(slope.state),
        pattern=sheet_words.PATTERNS.get(slope.state, "p-old"),
    )


def caution_lines(item: SheetJob, left_out: frozenset[str] = frozenset()) -> tuple[CautionLine, ...]:
    """Return the cautions, but for those left out; tying off comes first at any pitch."""
    found = []
    for caution in item.cautions:
        figures = sheet_words.caution_figures(caution)
        if caution.code == "site":
            found.append(CautionLine(figures, "", caution.reference))
        elif caution.code not in left_out:
            found.append(CautionLine(caution_words(caution.code), figures, caution.reference))
    return tuple(found)


def product_words(item: SheetJob) -> str:
    """Return product and colors in one line."""
    metal = _("metal %(color)s") % {"color": item.metal_color} if item.metal_color else ""
    return ", ".join(part for part in (item.product_line, item.shingle_color, metal) if part)


def other_language() -> Language | None:
    """Return the language to switch to, where its catalogue exists; None keeps the button away."""
    current = (get_language() or "en").partition("-")[0]
    for code, _name in settings.LANGUAGES:
        if code != current and (code == "en" or _has_catalogue(code)):
            return Language(code, get_language_info(code)["name_local"].capitalize())
    return None


def _has_catalogue(code: str) -> bool:
    return any((Path(folder) / code / "LC_MESSAGES" / "django.mo").is_file() for folder in settings.LOCALE_PATHS)


def _address(sheet: DaySheet, item: SheetJob | None, **query: str) -> str:
    address = reverse("day_sheet", args=[sheet.crew_id, sheet.day.isoformat()])
    if item is not None and len(sheet.jobs) > 1:
        query["job"] = str(item.job.job_id)
    return f"{address}?{urlencode(query)}" if query else address


def _tabs(sheet: DaySheet, tab: str, item: SheetJob | None) -> tuple[Link, ...]:
    labels = {"today": _("Today"), "safety": _("Safety"), "material": _("Material"), "photos": _("Photos")}
    return tuple(
        Link(labels[name], _address(sheet, item, **({} if name == "today" else {"tab": name})), name == tab)
        for name in TABS
    )


def _jobs(sheet: DaySheet, item: SheetJob | None) -> tuple[Link, ...]:
    return tuple(Link(job.job.street, _address(sheet, job), job is item) for job in sheet.jobs)


def _report(sheet: DaySheet, item: SheetJob, what: str) -> str:
    query = urlencode({"what": what, "crew": sheet.crew_id, "day": sheet.day.isoformat()})
    return f"{reverse('report', args=[item.job.job_id])}?{query}"


def _more(sheet: DaySheet, item: SheetJob) -> tuple[Link, ...]:
    labels = (
        ("people", _("Who is here")),
        ("closed", _("Closed for the night")),
        ("problem", _("Something is wrong")),
        ("dry", _("The deck is dry")),
        ("sheets", _("Deck sheets replaced")),
        ("photo", _("Photo")),
    )
    return tuple(Link(label, _report(sheet, item, what)) for what, label in labels)


def _said(item: SheetJob, zone: str) -> tuple[str, ...]:
    lines = []
    if item.people_here is not None:
        lines.append(_("%(people)s here.") % {"people": formats.people(item.people_here)})
    if item.rain_here_at is not None:
        lines.append(_("Rain here at %(clock)s.") % {"clock": formats.clock(item.rain_here_at, zone)})
    if item.closed_at is not None:
        lines.append(_("Closed for the night at %(clock)s.") % {"clock": formats.clock(item.closed_at, zone)})
    return tuple(lines)


def _facts(sheet: DaySheet, item: SheetJob, zone: str) -> tuple[tuple[str, str], ...]:
    start = formats.clock(item.starts_at, zone) if item.starts_at else ""
    leave = formats.clock(item.leaves_at, zone) if item.leaves_at else ""
    pairs = (
        (_("Start"), start),
        (_("Leave"), leave),
        (_("Crew"), ", ".join(item.people)),
        (_("Inspector"), " ".join(sheet_words.hold_words(hold, zone) for hold in item.holds)),
        (_("Permit"), item.permit_number),
        (_("Wishes"), item.wishes),
        (_("Call"), " ".join(part for part in (sheet.call_name, sheet.call_phone) if part)),
        (_("Forecast"), _forecast(sheet)),
    )
    return tuple(pair for pair in pairs if pair[1])


def _forecast(sheet: DaySheet) -> str:
    if sheet.forecast.issued_at is None:
        return _("none: open nothing")
    return _("issued %(clock)s") % {"clock": formats.clock(sheet.forecast.issued_at, sheet.zone)}


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
