"""The rows of roofs under way, as Today, Job and the day sheet show them."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from django.contrib.auth.models import User

from crews.boards.job_line import JobLine
from crews.boards.key_line import Cause, KeyLine
from crews.boards.sky_strip import Band
from crews.boards.today import ChangeNote, ClosedNote, TodayRow, Told
from crews.models import Decision, ProgressEntry
from crews.planner.problem import Run
from crews.planner.verdict import Because, DayVerdict
from crews.queries.day_inputs import DueRoof, OfficeOrder
from crews.queries.decisions import DayDecisions, run_of_row, verdict_of_row
from crews.queries.lines import cause_of, key_line, unknown_cause
from crews.queries.rows_read import RowsRead
from crews.queries.strips import strip_of
from crews.queries.yards import YardDay
from crews.verdict.day_verdict import as_of_hour, as_unknown, expired
from crews.verdict.ruling import tightens
from jobs.models import Photo, PhotoKind
from roofops.record.models import Notice

ANSWER_WITHIN = timedelta(minutes=5)


@dataclass(frozen=True)
class Judged:
    """One due roof with the verdict that is in force, as it is shown."""

    roof: DueRoof
    decisions: DayDecisions
    row: Decision | None
    verdict: DayVerdict | None
    run: Run | None


def judged_today(roofs: Sequence[DueRoof], day: date, now: datetime, read: RowsRead | None = None) -> list[Judged]:
    """The roofs with what is stored of their verdicts; one that has outlived its forecast opens nothing any more."""
    stored = (read or RowsRead()).decisions([roof.job.pk for roof in roofs], day)
    found = []
    for roof in roofs:
        decisions = stored[roof.job.pk]
        row = decisions.in_force
        if row is None:
            found.append(Judged(roof, decisions, None, None, None))
        else:
            found.append(Judged(roof, decisions, row, *_as_it_holds(row, now)))
    return found


def _as_it_holds(row: Decision, now: datetime) -> tuple[DayVerdict, Run]:
    verdict, run = replace(verdict_of_row(row), valid_until=row.valid_until), run_of_row(row)
    if not expired(verdict, now):
        return as_of_hour(verdict, now), run
    return as_unknown(verdict, now), replace(run, steps=(), areas=(), exposures=(), opened_section_ids=())


def today_row(
    one: Judged,
    day: date,
    axis: tuple[datetime, datetime],
    now: datetime,
    *,
    leads: Mapping[int, tuple[str, str]],
    notices: Mapping[tuple[int, str], Notice],
    photos: Mapping[int, int],
) -> TodayRow:
    """One row of the page."""
    roof, row = one.roof, one.row
    line = _line(one, now)
    change = change_note(one, now)
    waiting = one.decisions.waiting
    unaccepted = row is not None and row.accepted_at is None and change is not None
    was = change.old_dry_in_by if change and unaccepted and change.old_dry_in_by != line.dry_in_by else None
    strip = replace(strip_of(roof, day, axis, now, row, one.verdict, one.run, was), dry_in_by=line.dry_in_by)
    return TodayRow(
        job=job_line(roof, leads),
        decision_id=row.pk if row else None,
        version=row.version if row else 0,
        line=line,
        strip=strip,
        forecast=roof.sky.note,
        change=change,
        told=told(row, notices, now, at_work=roof.crew_day is not None and roof.crew_day.start <= now),
        accepted_at=row.accepted_at if row else None,
        accepted_by=name_of(row.accepted_by) if row else "",
        waiting_decision_id=waiting.pk if waiting else None,
        waiting=key_line(roof, waiting, verdict_of_row(waiting), run_of_row(waiting), now) if waiting else None,
        closed=_closed(roof.reports.closed, photos.get(roof.job.pk)),
        rain_here_at=roof.reports.rain_here_at,
        due_at=_due_at(line, strip.bands, now),
        reasons=reasons_of(one),
        not_ready=roof.work.missing if roof.work else ("measurement",),
    )


def _line(one: Judged, now: datetime) -> KeyLine:
    if one.row is None or one.verdict is None or one.run is None:
        return no_verdict(one.roof)
    return key_line(one.roof, one.row, one.verdict, one.run, now)


def no_verdict(roof: DueRoof) -> KeyLine:
    """The line of a roof for which nothing is computed yet: keep it closed."""
    sections = roof.work.work.sections if roof.work else ()
    return KeyLine(
        verdict="unknown",
        bare_at_once_squares=0.0,
        in_all_today_squares=0.0,
        stop_line="",
        dry_in_by=None,
        cause=unknown_cause(roof.sky.note),
        bare_now_squares=sum(s.bare_squares - s.tarped_squares for s in sections),
        open_ridge_now_ft=sum(ridge.open_ft for ridge in roof.work.work.ridges) if roof.work else 0.0,
        old_squares=sum(s.old_squares for s in sections),
    )


def change_note(one: Judged, now: datetime) -> ChangeNote | None:
    """What is different from the version that was accepted last, else from the day's first."""
    base, row = one.decisions.baseline, one.row
    if base is None or row is None or one.verdict is None:
        return None
    old = verdict_of_row(base)
    return ChangeNote(
        since=base.accepted_at or base.computed_at,
        old_verdict=base.verdict,
        new_verdict=one.verdict.verdict.value,
        old_at_once_squares=base.bare_at_once_squares,
        new_at_once_squares=one.verdict.bare_at_once_squares,
        old_in_all_squares=base.in_all_today_squares,
        new_in_all_squares=one.verdict.in_all_today_squares,
        old_dry_in_by=base.dry_in_by,
        new_dry_in_by=row.dry_in_by,
        old_p_wet=base.p_wet,
        new_p_wet=row.p_wet,
        cause=cause_of(one.verdict.because, one.roof, OfficeOrder.of(row)),
        tighter=tightens(one.verdict, old, now),
    )


def reasons_of(one: Judged) -> tuple[Cause, ...]:
    """Every reason that the walk noted, in the page's codes."""
    if one.verdict is None or one.row is None:
        return ()
    order = OfficeOrder.of(one.row)
    causes = [
        cause_of(Because(code, value, limit, hour), one.roof, order) for hour, code, value, limit in one.verdict.reasons
    ]
    return tuple(cause for cause in causes if cause is not None)


def told(row: Decision | None, notices: Mapping[tuple[int, str], Notice], now: datetime, *, at_work: bool) -> Told:
    """When the version in force went onto the crew's sheet, and whether the lead has seen it.

    at_work: the crew's shift has begun; before it nobody need answer within minutes.
    """
    if row is None or row.crew_id is None:
        return Told()
    notice = notices.get((row.job_id, f"{row.day.isoformat()}:{row.version}"))
    at = notice.created_at if notice else None
    return Told(
        at=at,
        state=notice.state if notice else "",
        confirmed_at=row.confirmed_at,
        confirmed_by=name_of(row.confirmed_by),
        overdue=at_work and at is not None and row.confirmed_at is None and now - at > ANSWER_WITHIN,
    )


def job_line(roof: DueRoof, leads: Mapping[int, tuple[str, str]]) -> JobLine:
    """The line under the verdict."""
    job, measure = roof.job, roof.work.roof if roof.work else None
    name, phone = leads.get(roof.due.crew_id or 0, ("", ""))
    planned = roof.roster.people(roof.day) if roof.roster else ()
    return JobLine(
        job_id=job.pk,
        number=job.number,
        short_name=job.short_name,
        street=job.street,
        city=job.city,
        squares=measure.squares if measure else 0.0,
        pitch_in_12=max((s.pitch_in_12 for s in measure.sections), default=0.0) if measure else 0.0,
        storeys=job.storeys,
        layers=job.layers,
        slopes=len(measure.sections) if measure else 0,
        old_squares=sum(s.old_squares for s in roof.work.work.sections) if roof.work else 0.0,
        crew_id=roof.due.crew_id,
        crew_name=roof.roster.name if roof.roster else "",
        subcontract=bool(roof.roster and roof.roster.subcontract),
        people_planned=float(len(planned)),
        people_here=roof.reports.people_here,
        lead_name=name,
        lead_phone=phone,
        zone=job.time_zone if job.time_zone and job.time_zone != job.yard.time_zone else "",
    )


def leads_of(roofs: Sequence[DueRoof]) -> dict[int, tuple[str, str]]:
    """Name and phone of each crew's lead, by crew."""
    return {roof.due.crew_id: roof.lead for roof in roofs if roof.due.crew_id is not None and roof.lead is not None}


def name_of(user: User | None) -> str:
    """How a person is shown: full name, else the sign-in name."""
    return "" if user is None else user.get_full_name() or user.username


def notices_of(rows: Sequence[Decision]) -> dict[tuple[int, str], Notice]:
    """The notices of some versions, by job and version."""
    versions = {f"{row.day.isoformat()}:{row.version}" for row in rows}
    jobs = {str(row.job_id) for row in rows}
    found = Notice.objects.filter(subject_type="decision", subject_id__in=jobs, verdict_version__in=versions)
    return {(int(notice.subject_id), notice.verdict_version): notice for notice in found}


def photos_of(job_ids: Sequence[int], today: YardDay) -> dict[int, int]:
    """The day's last 'closed' photo of each job."""
    rows = Photo.objects.filter(
        job_id__in=job_ids, kind=PhotoKind.CLOSED, taken_at__gte=today.start, taken_at__lt=today.end
    )
    return dict(rows.order_by("taken_at").values_list("job_id", "pk"))


def _closed(entry: ProgressEntry | None, photo_id: int | None) -> ClosedNote | None:
    if entry is None:
        return None
    return ClosedNote(entry.at, entry.by_name or name_of(entry.by), entry.photo_id or photo_id)


def _due_at(line: KeyLine, bands: Sequence[Band], now: datetime) -> datetime | None:
    """When the next limit bites: the dry-in time, or the first change of what is allowed."""
    moments = [line.dry_in_by] if line.dry_in_by is not None else []
    moments += [b.start for b in bands if b.start > now and b.kind in ("stay_off", "no_tear_off") and b.code != "dark"]
    ahead = [moment for moment in moments if moment > now]
    return min(ahead, default=None)
