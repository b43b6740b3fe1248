"""The key line of a stored verdict: figures, place, time, and the one cause in the page's codes."""

from datetime import datetime, timedelta

from django.utils.translation import gettext as _

from crews.boards.forecast_note import ForecastNote
from crews.boards.key_line import Cause, KeyLine
from crews.holds import HOLDING_READY, NEVER
from crews.models import Decision
from crews.planner.problem import Run, StepKind
from crews.planner.verdict import Band, Because, DayVerdict
from crews.queries.day_inputs import DueRoof, OfficeOrder
from crews.queries.roof_work import JobWork
from crews.verdict.day_verdict import NOBODY, NOT_DECIDED
from crews.verdict.stop_line import StopPlace, stop_place
from jobs.phases import Phase

UNITS = {
    "rain": "share",
    "thunder": "share",
    "gust": "mph",
    "wind": "mph",
    "cold": "degF",
    "heat": "degF",
    "wet": "min",
    "snow": "in",
    "too_old": "h",
    "issued_long_ago": "h",
    "own_limit": "squares",
    NOBODY: "people",
}
# The weather app's words for why a forecast is not used, in the page's codes.
WHY_CODES = {
    "no_forecast": "none",
    "check_too_old": "too_old",
    "issue_too_old": "issued_long_ago",
    "today_missing": "not_for_today",
    "no_point": "no_point",
    "source_off": "source_off",
}
SMALL = 0.05
LATER = timedelta(days=3000)


def key_line(roof: DueRoof, row: Decision, verdict: DayVerdict, run: Run, now: datetime) -> KeyLine:
    """What the crew must know of one roof, as it stands in force (or waits)."""
    work = roof.work
    off = next((b for b in verdict.bands if b.kind == "stay_off" and b.code != "dark" and b.end > now), None)
    field = [step for step in run.steps if step.kind is StepKind.FIELD]
    sections = work.work.sections if work else ()
    return KeyLine(
        verdict=verdict.verdict.value,
        bare_at_once_squares=verdict.bare_at_once_squares,
        in_all_today_squares=verdict.in_all_today_squares,
        stop_line=stop_words(roof, verdict),
        dry_in_by=row.dry_in_by if _still_bites(row, work) else None,
        cause=cause_of(verdict.because, roof, OfficeOrder.of(row), verdict.bands),
        bare_now_squares=sum(s.bare_squares - s.tarped_squares for s in sections),
        open_ridge_now_ft=sum(ridge.open_ft for ridge in work.work.ridges) if work else 0.0,
        off_from=off.start if off else None,
        off_until=_off_until(off, verdict.bands) if off else None,
        shingle_squares=sum(step.squares for step in field),
        shingle_from=field[0].start if field else None,
        old_squares=sum(s.old_squares for s in sections),
        held=row.held,
        own_limit_squares=row.own_limit_squares,
        office_reason=row.office_reason,
        has_closed_work=bool(field) or any(s.kind is StepKind.RIDGE for s in run.steps),
        valid_until=row.valid_until,
        p_wet=row.p_wet,
    )


def _still_bites(row: Decision, work: JobWork | None) -> bool:
    """A dry-in time holds while old roof may be opened, or might have been under a verdict that is too old by now."""
    if row.verdict in ("tear_off", "unknown") or work is None:
        return True
    lies_open = any(s.bare_squares - s.tarped_squares > SMALL for s in work.work.sections)
    return lies_open or any(ridge.open_ft > SMALL for ridge in work.work.ridges)


def _off_until(first: Band, bands: tuple[Band, ...]) -> datetime:
    """End of the unbroken stretch off the roof that a band begins."""
    end = first.end
    for band in bands:
        if band.start == end and band.kind == "stay_off" and band.code != "dark":
            end = band.end
    return end


def stop_words(roof: DueRoof, verdict: DayVerdict) -> str:
    """The stop line in the language in use; '' where nothing is opened."""
    if verdict.stop_line is None or roof.work is None:
        return ""
    return place_words(stop_place(roof.work.roof, verdict.stop_line.section_id, verdict.stop_line.squares_into_section))


def place_words(place: StopPlace) -> str:
    """A stop in the language in use."""
    words = {
        "slope": place.slope,
        "beyond": place.beyond,
        "in": f"{place.squares_in:.1f}",
        "of": f"{place.squares:.1f}",
    }
    if place.feet:
        words |= {"feet": f"{place.feet:g}\N{NO-BREAK SPACE}ft", "end": _end_words(place.end)}
        if place.along == "top":
            return _("%(feet)s from the %(end)s end of the %(slope)s, along the top") % words
        return _("%(feet)s from the %(end)s end of the %(slope)s") % words
    if not place.edge:
        return _("%(in)s of %(of)s squares of the %(slope)s") % words
    forms = {
        "valley": _("the valley to the %(beyond)s") if place.beyond else _("the valley of the %(slope)s"),
        "hip": _("the hip to the %(beyond)s") if place.beyond else _("the hip of the %(slope)s"),
        "ridge": _("the ridge to the %(beyond)s") if place.beyond else _("the ridge of the %(slope)s"),
        "wall": _("the wall at the %(slope)s"),
        "rake": _("the end of the %(slope)s"),
    }
    return forms[place.edge] % words


def _end_words(end: str) -> str:
    return {
        "north": _("north"), "northeast": _("northeast"), "east": _("east"), "southeast": _("southeast"),
        "south": _("south"), "southwest": _("southwest"), "west": _("west"), "northwest": _("northwest"),
    }[end]  # fmt: skip


def cause_of(because: Because, roof: DueRoof, order: OfficeOrder, bands: tuple[Band, ...] = ()) -> Cause | None:
    """A verdict's cause in the page's codes, with unit and, where it ends by itself today, its end."""
    code = because.code
    if code == "unknown":
        return unknown_cause(roof.sky.note, because.hour)
    if code in ("held", "own_limit"):
        return Cause(code, because.hour, None, because.value, because.limit, UNITS.get(code, ""), order.reason)
    if code == "load":
        return _waiting_cause(roof)
    if code == "inspection":
        return _visit_cause(roof)
    if code == "nothing_to_open":
        finished = roof.work is not None and all(
            s.old_squares + s.bare_squares + s.dried_in_squares <= SMALL for s in roof.work.work.sections
        )
        return Cause("done" if finished else "nothing_old")
    texts = {
        "closing_late": _("what is bare is covered first"),
        "wet_deck": _("the deck got wet and nobody has found it dry"),
        "danger": _("nobody may be on the roof"),
        NOT_DECIDED: _("the office decides in the morning"),
        NOBODY: _("no crew is on this roof now") if roof.crew_day is None else "",
    }
    end = next((b.end for b in bands if b.code == code and because.hour and b.start <= because.hour < b.end), None)
    ends = end if code in ("wet", "frost", "dew", "cold") else None
    return Cause(code, because.hour, ends, because.value, because.limit, UNITS.get(code, ""), texts.get(code, ""))


def unknown_cause(note: ForecastNote, hour: datetime | None = None) -> Cause:
    """Why the sky is unknown: no forecast, one too old, or an hour that it leaves out."""
    code = WHY_CODES.get(note.why, note.why) if not note.usable_today else ""
    if code == "too_old":
        return Cause(code, hour, None, note.checked_hours, note.limit_hours, "h")
    if code == "issued_long_ago":
        return Cause(code, hour, None, note.age_hours, note.limit_hours, "h")
    return Cause(code or "unknown", hour)


def no_forecast_code(note: ForecastNote, *, today: bool) -> str:
    """Why a strip draws no sky; '' where it may."""
    usable = note.usable_today if today else note.usable_beyond
    return "" if usable else WHY_CODES.get(note.why, note.why) or "too_old"


def _waiting_cause(roof: DueRoof) -> Cause:
    """What opening waits for: the checklist, the inspector before tear-off, or a load."""
    if roof.work is None:
        return Cause("load")
    if HOLDING_READY & set(roof.work.missing):
        return Cause("ready")
    if any(v.kind == "pre" and v.hold_point and v.state != "passed" for v in roof.job.inspections.all()):
        return _visit_cause(roof, kind="pre")
    waits = roof.work.work.material_from
    phase = max((p for p in waits if p is not Phase.FIELD), key=lambda p: waits[p], default=None)
    if phase is None:
        return Cause("load")
    moment = waits[phase]
    row = next((load for load in roof.job.loads.all() if load.needed_for == phase), None)
    return Cause("load", None if moment >= NEVER - LATER else moment, text=str(row.get_kind_display()) if row else "")


def _visit_cause(roof: DueRoof, kind: str = "deck") -> Cause:
    visits = [v for v in roof.job.inspections.all() if v.kind == kind and v.state != "passed"]
    booked = [v for v in visits if v.window_start is not None]
    return Cause("inspection", booked[0].window_start, booked[0].window_end) if booked else Cause("inspection")
