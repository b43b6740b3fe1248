"""The sentences of the Job page: its sub-line, hours, inspections, log, takeoff."""

from datetime import date, datetime

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from crews.boards.job import DelayLine, InspectionLine, JobBoard, LogLine
from crews.boards.key_line import Cause
from jobs.models import Job
from jobs.takeoff import TakeoffLine
from roofops.pages.forms.report import PROBLEMS
from roofops.pages.job.ready_words import inspection_word
from roofops.pages.plan.words import phase_word
from roofops.pages.wording import formats
from roofops.pages.wording.causes import cause_phrase
from roofops.pages.wording.key_line import verdict_short
from roofops.pages.wording.units import counted

REPORT_FORMS = ("torn_off", "dried_in", "shingled", "tarped", "ridge_opened", "ridge_finished")


def sub_line(job: Job, board: JobBoard) -> str:
    """Return number, roof, crew, promise and permit in one line."""
    squares = sum(section.squares for section in board.sections)
    pitches = sorted({section.pitch_in_12 for section in board.sections})
    slopes = ngettext("%(n)s slope", "%(n)s slopes", len(board.sections)) % {"n": len(board.sections)}
    roof = _("%(squares)s on %(slopes)s") % {"squares": formats.measured(squares, "sq"), "slopes": slopes}
    if pitches:
        roof += ", " + _(" to ").join(formats.pitch(p) for p in dict.fromkeys((pitches[0], pitches[-1])))
    roof += ", " + ngettext("%(n)s layer", "%(n)s layers", job.layers) % {"n": job.layers}
    parts = [job.number, roof]
    if board.crew_name:
        parts.append(_("crew %(name)s") % {"name": board.crew_name})
    if job.promised_by:
        parts.append(_("promised by %(day)s") % {"day": formats.month_day(job.promised_by)})
    if job.permit_number:
        parts.append(_("permit %(number)s") % {"number": job.permit_number})
    return " · ".join(parts)


def no_day(board: JobBoard) -> str:
    """Return why there is no strip today, and when work is planned."""
    if board.planned_start is None:
        return _("No crew is on this roof today, and no plan gives it a day yet.")
    start = formats.local(board.planned_start, board.zone)
    words = {"day": formats.day(start.date()), "clock": formats.clock(board.planned_start, board.zone)}
    if board.crew_name:
        return _("No crew is on this roof today. Planned from %(day)s, %(clock)s, crew %(crew)s.") % {
            **words,
            "crew": board.crew_name,
        }
    return _("No crew is on this roof today. Planned from %(day)s, %(clock)s.") % words


def moment(at: datetime, zone: str, today: date) -> str:
    """Return a moment as short as its day allows."""
    local = formats.local(at, zone)
    clock = formats.clock(at, zone)
    return clock if local.date() == today else f"{formats.day_short(local.date())} {clock}"


def inspection_what(line: InspectionLine) -> str:
    """Return which inspection it is."""
    kind = inspection_word(line.kind)
    return f"{kind}, {line.section}" if line.section else kind


def inspection_when(line: InspectionLine, zone: str, today: date) -> str:
    """Return the inspector's window with its end, and what happens when nobody came."""
    if line.state == "passed":
        return _("passed")
    if line.state == "failed":
        return _("failed: mend it and call again")
    if line.window_start is None:
        return _("not booked; call %(n)s h ahead") % {"n": line.call_ahead_hours}
    local = formats.local(line.window_start, zone).date()
    day = "" if local == today else f"{formats.day_short(local)}, "
    start = formats.clock(line.window_start, zone)
    if line.window_end is None:
        return _("inspector %(day)s%(start)s") % {"day": day, "start": start}
    words = {"day": day, "start": start, "end": formats.clock(line.window_end, zone)}
    if line.hold_point:
        return _("inspector %(day)s%(start)s to %(end)s; nobody then: photos, and cover") % words
    return _("inspector %(day)s%(start)s to %(end)s") % words


def speed_words(board: JobBoard) -> str:
    """Return how the crew's own record compares with the table."""
    speed = board.crew_speed
    if speed is None or not speed.jobs_counted:
        return ""
    percent = round(abs(1 - speed.factor) * 100)
    jobs = ngettext("%(n)s job", "%(n)s jobs", speed.jobs_counted) % {"n": speed.jobs_counted}
    words = {"crew": speed.crew_name, "percent": percent, "jobs": jobs}
    if percent == 0:
        return _("Crew %(crew)s runs as the table says, from %(jobs)s.") % words
    if speed.factor < 1:
        return _("Crew %(crew)s runs %(percent)s %% faster than the table, from %(jobs)s.") % words
    return _("Crew %(crew)s runs %(percent)s %% slower than the table, from %(jobs)s.") % words


def delay_words(line: DelayLine) -> str:
    """Return one lost day with the number that lost it: `Tuesday, July 14: 3.5 h, thunder (40 %)`."""
    cause = Cause(line.reason, value=line.value, limit=line.limit, unit=line.unit)
    words = {
        "day": formats.day(line.day),
        "hours": formats.hours(line.hours_lost),
        "reason": cause_phrase(cause, "UTC", with_limit=True) or line.reason.replace("_", " "),
    }
    return _("%(day)s: %(hours)s, %(reason)s") % words


def log_words(line: LogLine) -> str:
    """Return what one line of the log says."""
    what = _report_words(line) if line.code in REPORT_FORMS else _other_words(line)
    parts = [f"{line.section}: {what}" if line.section else what]
    text = _logged_text(line)
    if text:
        parts.append(text)
    notes = {
        "more_than_measured": _("more than measured"),
        "differs": _("differs from what was shown"),
        "correction": _("correction"),
    }
    parts += [notes[flag] for flag in line.flags if flag in notes]
    return ", ".join(parts)


def _report_words(line: LogLine) -> str:
    amount = formats.figure(line.after or 0)
    forms = {
        "torn_off": _("%(n)s sq torn off"),
        "dried_in": _("%(n)s sq dried-in"),
        "shingled": _("%(n)s sq shingled"),
        "tarped": _("%(n)s sq under tarps"),
        "ridge_opened": _("%(n)s ft of ridge opened"),
        "ridge_finished": _("%(n)s ft of ridge finished"),
    }
    return forms[line.code] % {"n": amount}


def _logged_text(line: LogLine) -> str:
    """Return what a line adds to its word: a person's own words, or the verdict and cause behind a code."""
    verdict, _space, rest = line.text.partition(" ")
    if verdict not in ("tear_off", "no_tear_off", "stay_off", "unknown"):
        problem, colon, note = line.text.partition(": ")
        known = dict(PROBLEMS).get(problem if colon else line.text)
        return line.text if known is None else ", ".join(part for part in (str(known), note) if part)
    words = [verdict_short(verdict)]
    if line.after:
        words.append(_("%(n)s sq in all") % {"n": formats.figure(line.after)})
    if rest:
        cause = cause_phrase(Cause(rest), "UTC")
        words.append(cause or rest.replace("_", " "))
    return ", ".join(words)


def _other_words(line: LogLine) -> str:
    amount = formats.figure(line.after) if line.after is not None else ""
    forms = {
        "people_here": _("%(n)s people here"),
        "labor_hours": _("%(n)s labor-hours"),
        "deck_sheets": _("%(n)s deck sheets replaced"),
        "dry_reading": _("deck is dry"),
        "rain_here": _("rain here now"),
        "closed": _("closed for the night"),
        "problem": _("problem"),
        "decided": _("verdict"),
        "verdict": _("verdict"),
        "accepted": _("accepted the verdict"),
        "confirmed": _("crew confirmed the sheet"),
        "delay": _("hours lost"),
        "limited": _("limited further"),
        "held": _("held opening"),
        "released": _("released"),
        "job_created": _("job entered"),
        "job_edited": _("job changed"),
        "job_status": _("status changed"),
        "ready_changed": _("checklist changed"),
        "inspection_booked": _("inspection booked"),
        "inspection_state": _("inspection noted"),
        "loads_proposed": _("loads proposed"),
        "photo_stored": _("photo"),
        "plan_published": _("plan published"),
    }
    text = forms.get(line.code, line.code.replace("_", " "))
    return text % {"n": amount} if "%(n)s" in text else text


def need_words(line: TakeoffLine) -> str:
    """Return what the roof needs of one material."""
    value = f"{line.need:,.0f}" if line.need >= 100 else formats.figure(line.need)
    return counted(value, line.need_unit, one=line.need == 1)


def order_words(line: TakeoffLine) -> str:
    """Return what to order of one material."""
    return counted(f"{line.order:,}", line.order_unit, one=line.order == 1)


def item_label(line: TakeoffLine) -> str:
    """Return a material's name with a capital."""
    return line.label[:1].upper() + line.label[1:]


def ready_words(missing: int) -> str:
    """Return whether a job may be published."""
    if not missing:
        return _("Ready: it may be published.")
    return ngettext(
        "%(n)s line is owed. Until then it may be pencilled in, not published.",
        "%(n)s lines are owed. Until then it may be pencilled in, not published.",
        missing,
    ) % {"n": missing}


def hours_label(phase: str) -> str:
    """Return a phase as the table of hours names it."""
    word = phase_word(phase)
    return word[:1].upper() + word[1:]
