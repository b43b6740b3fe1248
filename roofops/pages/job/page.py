"""What the templates of one job print."""

from datetime import date

from django.urls import reverse
from django.utils.translation import gettext as _

from crews.boards.job import InspectionLine, JobBoard, ReadyLine
from jobs import queries
from jobs.models import Contact, Job
from jobs.takeoff import Takeoff, takeoff
from roofops.pages.deliveries import load_words
from roofops.pages.drawing.hours_bar import hours_bar
from roofops.pages.drawing.roof import roof_picture
from roofops.pages.drawing.roof_edges import edge_samples
from roofops.pages.forms.inspection import InspectionForm
from roofops.pages.job import words as job_words
from roofops.pages.job.lines import (
    HoldLine,
    HoursLine,
    JobPage,
    LoadItemLine,
    LogRow,
    ReadyTick,
    TakeoffRow,
    Verdict,
)
from roofops.pages.job.photo_words import photo_lines
from roofops.pages.job.ready_words import inspection_state, ready_word
from roofops.pages.strip import draw
from roofops.pages.wording import formats
from roofops.pages.wording.key_line import key_words, verdict_word
from roofops.record.access import Access

LOG_LINES, PHOTOS = 14, 12
PHONE_DRAWING_PX = 328.0


def job_page(
    access: Access, job: Job, board: JobBoard, inspection: tuple[int, InspectionForm] | None = None
) -> JobPage:
    """Return what the job's page prints; inspection: a refused form and the inspection that it belongs to."""
    today = board.today
    quantities, missing = _takeoff(job)
    contact = Contact.objects.filter(job_id=job.pk).first()
    roof = queries.measured_roof(job) if board.sections else None
    owed = sum(1 for line in board.ready if line.needed and line.done_at is None)
    return JobPage(
        sub=job_words.sub_line(job, board),
        verdict=_verdict(board),
        strip=draw(today.strip, "job", _strip_name(board)) if today else None,
        strip_phone=draw(today.strip, "phone", _strip_name(board)) if today else None,
        no_day="" if today else job_words.no_day(board),
        drawing=roof_picture(roof, board.sections) if roof else None,
        drawing_phone=roof_picture(roof, board.sections, width_px=PHONE_DRAWING_PX) if roof else None,
        edges=edge_samples(roof) if roof else (),
        ordered=any(section.order for section in board.sections),
        hours=_hours(board),
        finish_likely=_finish(board, late=False),
        finish_late=_finish(board, late=True),
        speed=job_words.speed_words(board),
        delays=tuple(job_words.delay_words(line) for line in board.delays),
        inspections=tuple(_hold(line, board, inspection) for line in board.inspections),
        inspection_id=inspection[0] if inspection else None,
        ready=tuple(ReadyTick(line, ready_word(line.kind), _ready_note(line, board)) for line in board.ready),
        owed=owed,
        ready_words=job_words.ready_words(owed),
        log=tuple(
            LogRow(
                job_words.moment(line.at, board.zone, board.day), line.who or _("roofops"), job_words.log_words(line)
            )
            for line in board.log[:LOG_LINES]
        ),
        takeoff=_takeoff_rows(quantities, board),
        takeoff_missing=missing,
        takeoff_gap="" if roof is None or roof.edges else _no_edges(),
        debris=_debris(quantities) if quantities else "",
        loads=_loads(board),
        facts=_facts(job, contact),
        phone=contact.phone if contact else "",
        sheet_url=_sheet_url(board),
        reports=_reports(job.pk) if board.may_report else (),
        check=_check(board),
        photos=photo_lines(queries.photos_for(access, [job.pk])[:PHOTOS], board.zone),
    )


def _verdict(board: JobBoard) -> Verdict | None:
    if board.today is None:
        return None
    line = board.today.line
    return Verdict(
        code=line.verdict,
        word=verdict_word(line.verdict, has_closed_work=line.has_closed_work),
        key=key_words(line, board.zone, reasons=board.today.reasons, now=board.now),
    )


def _strip_name(board: JobBoard) -> str:
    verdict = _verdict(board)
    return f"{verdict.word}. {verdict.key}" if verdict else ""


def _hours(board: JobBoard) -> tuple[HoursLine, ...]:
    longest = max((line.planned_labor_hours for line in board.phases), default=0.0)
    return tuple(
        HoursLine(
            label=job_words.hours_label(line.phase),
            bar=hours_bar(line.phase, line.done_labor_hours, line.planned_labor_hours, longest),
            done=line.done_labor_hours,
            planned=line.planned_labor_hours,
        )
        for line in board.phases
    )


def _finish(board: JobBoard, *, late: bool) -> str:
    at = board.finish_p90 if late else board.finish_p50
    if at is None:
        return ""
    return f"{formats.day_short(formats.local(at, board.zone).date())} {formats.clock(at, board.zone)}"


def _hold(line: InspectionLine, board: JobBoard, refused: tuple[int, InspectionForm] | None) -> HoldLine:
    if refused is not None and refused[0] == line.id:
        form = refused[1]
    else:
        start = formats.local(line.window_start, board.zone) if line.window_start else None
        end = formats.local(line.window_end, board.zone) if line.window_end else None
        initial = {
            "day": start.date() if start else None,
            "from_time": start.time() if start else None,
            "until_time": end.time() if end else None,
        }
        form = InspectionForm(initial=initial, zone=board.zone, prefix=f"i{line.id}")
    return HoldLine(
        of=line,
        what=job_words.inspection_what(line),
        when=job_words.inspection_when(line, board.zone, board.day),
        state=inspection_state(line.state),
        open=line.state not in ("passed",),
        form=form,
    )


def _ready_note(line: ReadyLine, board: JobBoard) -> str:
    parts = []
    if not line.needed:
        parts.append(_("not needed"))
    elif line.done_at:
        parts.append(formats.month_day(formats.local(line.done_at, board.zone).date()))
    if line.note:
        parts.append(line.note)
    return ", ".join(parts)


def _takeoff(job: Job) -> tuple[Takeoff | None, str]:
    try:
        return takeoff(queries.measured_roof(job)), ""
    except ValueError as error:
        return None, str(error)


def _takeoff_rows(quantities: Takeoff | None, board: JobBoard) -> tuple[TakeoffRow, ...]:
    if quantities is None:
        return ()
    came: dict[str, float] = {}
    for load in board.loads:
        if load.state in ("came", "short"):
            for item in load.items:
                came[item.item] = came.get(item.item, 0) + item.count
    return tuple(
        TakeoffRow(
            label=job_words.item_label(line),
            need=job_words.need_words(line),
            order=job_words.order_words(line),
            came=formats.figure(came[line.label]) if line.label in came else "0",
            how=line.how,
        )
        for line in quantities.lines
    )


def _no_edges() -> str:
    return _("No edge is measured: starter, ice barrier, drip edge and caps are not counted. Measure before ordering.")


def _debris(quantities: Takeoff) -> str:
    debris = quantities.debris
    words = {
        "debris": f"{debris.weight_lb:,.0f}",
        "size": debris.container_yd3,
        "n": debris.containers,
        "weight": f"{quantities.weight_lb:,.0f}",
    }
    return _("Material %(weight)s lb. Debris %(debris)s lb: %(n)s × %(size)s yd dumpster.") % words


def _loads(board: JobBoard) -> tuple[LoadItemLine, ...]:
    found = []
    for row in board.loads:
        when = row.slot_start or row.need_by or row.not_before
        day = formats.local(when, board.zone).date() if when else board.day
        found.append(
            LoadItemLine(
                title=load_words.title(row),
                when=job_words.moment(when, board.zone, board.day) if when else _("no time yet"),
                state=_lower(load_words.state_words(row)),
                over=load_words.is_over(row),
                url=f"{reverse('deliveries')}?day={day.isoformat()}&load={row.load_id}",
            )
        )
    return tuple(found)


def _lower(words: str) -> str:
    """Return a state as it stands after its clock time."""
    return words[:1].lower() + words[1:]


def _facts(job: Job, contact: Contact | None) -> tuple[tuple[str, str], ...]:
    product = ", ".join(part for part in (job.product_line, job.shingle_color) if part)
    window = ""
    if job.allowed_start and job.allowed_end:
        window = _("%(start)s to %(end)s") % {
            "start": formats.wall_clock(job.allowed_start),
            "end": formats.wall_clock(job.allowed_end),
        }
    pairs = (
        (_("Homeowner"), contact.name if contact else ""),
        (_("Product"), product),
        (_("Hazards"), job.hazards),
        (_("Wishes"), job.wishes),
        (_("Noise allowed"), window),
        (_("Not on"), ", ".join(formats.month_day(day) for day in _dates(job))),
    )
    return tuple(pair for pair in pairs if pair[1])


def _reports(job_id: int) -> tuple[tuple[str, str], ...]:
    address = reverse("report", args=[job_id])
    labels = (
        ("squares", _("Report squares")),
        ("dried_in", _("Section is dried-in")),
        ("closed", _("Closed for the night")),
        ("problem", _("Something is wrong")),
        ("photo", _("Photo")),
    )
    return tuple((label, f"{address}?what={what}") for what, label in labels)


def _check(board: JobBoard) -> str:
    """Return the newest report that says more than was measured; empty where there is none."""
    line = next((line for line in board.log if "more_than_measured" in line.flags), None)
    return "" if line is None else job_words.log_words(line)


def _dates(job: Job) -> list[date]:
    return [date.fromisoformat(day) for day in job.blocked_dates]


def _sheet_url(board: JobBoard) -> str:
    if board.today is None or board.today.job.crew_id is None:
        return ""
    return reverse("day_sheet_print", args=[board.today.job.crew_id, board.day.isoformat()])
