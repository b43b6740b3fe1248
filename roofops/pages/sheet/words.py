"""The sentences of the day sheet: slopes, the next load, holds, nails."""

from datetime import date

from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from crews.boards.sheet_content import Caution, Fastener
from crews.day_sheet import DaySheet, SheetHold, SheetJob, SheetLoad, SheetSlope
from crews.queries.sheet_words import words as coded
from roofops.pages.deliveries.load_words import why_no_place
from roofops.pages.job.ready_words import area_state, inspection_word
from roofops.pages.plan.words import phase_word
from roofops.pages.wording import formats
from roofops.pages.wording.units import counted

PATTERNS = {"old": "p-old", "bare": "p-bare", "tarped": "p-tarp", "dried_in": "p-dried", "shingled": "p-shingled"}


def sub_line(sheet: DaySheet) -> str:
    """Return day and crew under the sheet's name."""
    words = {"day": formats.day(sheet.day), "crew": sheet.crew_name, "people": formats.figure(sheet.people)}
    return _("%(day)s · crew %(crew)s, %(people)s") % words


def slope_name(slope: SheetSlope) -> str:
    """Return a slope's name with a capital."""
    return slope.name[:1].upper() + slope.name[1:]


def slope_words(slope: SheetSlope) -> str:
    """Return how much of a slope is in which state, and what it waits for."""
    squares = f"{slope.squares:.1f}"
    if slope.bare_squares > 0:
        words = {"bare": f"{slope.bare_squares:.1f}", "squares": squares}
        return _("%(bare)s of %(squares)s sq bare") % words
    if slope.stop_squares is not None and slope.stop_squares < slope.squares - 0.05:
        words = {"stop": f"{slope.stop_squares:.1f}", "squares": squares}
        if slope.after is not None:
            words["n"] = str(slope.after)
            return _("%(stop)s of %(squares)s sq, when %(n)s is dried-in") % words
        return _("%(stop)s of %(squares)s sq today") % words
    if slope.after is not None and slope.old_squares > 0:
        return _("%(squares)s sq, when %(n)s is dried-in") % {"squares": squares, "n": slope.after}
    if slope.order is None and slope.phases:
        words = {
            "squares": f"{slope.today_squares:.1f}",
            "work": ", ".join(phase_word(phase) for phase in slope.phases),
        }
        return _("%(squares)s sq, %(work)s") % words
    return _("%(squares)s sq, %(state)s") % {"squares": squares, "state": area_state(slope.state)}


def stop_words(job: SheetJob) -> str:
    """Return where to stop, as a sentence; empty where nothing may be opened."""
    return _("Stop at %(place)s.") % {"place": job.stop_line} if job.stop_line else ""


def load_name(load: SheetLoad) -> str:
    """Return what a load is in a few words."""
    if load.kind != "materials":
        name = _container_word(load.kind)
        size = _("%(n)s yd") % {"n": load.container_yd3} if load.container_yd3 else ""
        return f"{name} {size}".strip()
    names = [_item(*item) for item in load.items[:2]]
    more = len(load.items) - 2
    text = ", ".join(names) or _("material")
    return (
        ngettext("%(what)s and %(n)s more", "%(what)s and %(n)s more", more) % {"what": text, "n": more}
        if more > 0
        else text
    )


def _container_word(kind: str) -> str:
    words = {
        "dumpster_drop": _("dumpster drop"),
        "dumpster_swap": _("dumpster swap"),
        "final_haul": _("final haul"),
        "leftovers": _("leftovers pick-up"),
        "equipment": _("equipment move"),
    }
    return words.get(kind, kind.replace("_", " "))


def _item(item: str, count: float, unit: str) -> str:
    return f"{counted(formats.figure(count), unit, one=count == 1)} {item}"


def load_items(load: SheetLoad) -> tuple[str, ...]:
    """Return everything on a load, item by item."""
    if load.kind != "materials":
        return (load_name(load),)
    return tuple(_item(*item) for item in load.items) or (_("material"),)


def due_words(load: SheetLoad, zone: str) -> str:
    """Return when a load comes, what it is and where it goes."""
    states = {"asked": _("Asked for %(clock)s"), "confirmed": _("Comes %(clock)s"), "moved": _("Moved to %(clock)s")}
    when = states.get(load.state, _("Due %(clock)s"))
    place = _("half on each side") if load.placement == "roof" else ""
    if load.no_place_why:
        why = why_no_place(load.no_place_why)
        place = _("on the ground, not on the roof (%(why)s)") % {"why": why[:1].lower() + why[1:]}
    what = ", ".join(part for part in (load_name(load), place) if part)
    if load.slot_start is None:
        return _("Not yet asked for: %(what)s.") % {"what": what}
    return f"{when % {'clock': formats.clock(load.slot_start, zone)}}: {what}."


def hold_words(hold: SheetHold, zone: str) -> str:
    """Return an inspection that concerns today."""
    what = inspection_word(hold.kind)
    if hold.section:
        what = f"{what}, {hold.section}"
    if hold.start is None:
        return _("%(what)s: no visit booked.") % {"what": what}
    if hold.until is None:
        return _("%(what)s: inspector at %(start)s.") % {"what": what, "start": formats.clock(hold.start, zone)}
    words = {"what": what, "start": formats.clock(hold.start, zone), "until": formats.clock(hold.until, zone)}
    return _("%(what)s: inspector %(start)s to %(until)s, else photos, and cover.") % words


def next_words(job: SheetJob, zone: str) -> str:
    """Return the next delivery and the site's hazard, for the lines above the buttons."""
    parts = []
    if job.next_load is not None:
        parts.append(due_words(job.next_load, zone))
    if job.hazards:
        parts.append(_sentence(job.hazards))
    return " ".join(parts) or _("No load is due today.")


def _sentence(text: str) -> str:
    text = text[:1].upper() + text[1:]
    return text if text.endswith(".") else f"{text}."


def caution_figures(caution: Caution) -> str:
    """Return the figures of a caution that has both a value and a limit; the site's own words where it has none."""
    if caution.text:
        return _sentence(caution.text)
    if caution.value is None:
        return ""
    units = {"mph": formats.mph, "degF": formats.deg_f}
    if caution.unit not in units:
        return ""
    value = units[caution.unit](caution.value)
    if caution.limit is None or caution.code == "frost":
        return f"{value}."
    return _("%(value)s, limit %(limit)s.") % {"value": value, "limit": formats.figure(caution.limit)}


def nail_words(fastener: Fastener) -> tuple[str, str, str]:
    """Return phase, nail with its length, and how many."""
    nail = f"{coded(fastener.code)}, {length_words(fastener.length_in)}"
    parts = []
    if fastener.per_piece:
        words = {"n": fastener.per_piece, "piece": coded(fastener.piece)}
        parts.append(_("%(n)s in each %(piece)s") % words)
    if fastener.every_in:
        parts.append(_("every %(n)s in") % {"n": formats.figure(fastener.every_in)})
    if fastener.total:
        parts.append(_("%(n)s today") % {"n": f"{fastener.total:,}"})
    if fastener.note:
        parts.append(coded(fastener.note))
    return phase_word(fastener.phase), nail, ", ".join(parts)


def length_words(length_in: float) -> str:
    """Return a nail's length as `1-1/4 in`."""
    whole, rest = divmod(round(length_in * 8), 8)
    fraction = {0: "", 1: "1/8", 2: "1/4", 3: "3/8", 4: "1/2", 5: "5/8", 6: "3/4", 7: "7/8"}[rest]
    text = "-".join(part for part in (str(whole) if whole else "", fraction) if part)
    return f"{text or '0'}{formats.NBSP}in"


def long_day(value: date) -> str:
    """Return a day as paper writes it."""
    return date_format(value, _("l, F j, Y"))
