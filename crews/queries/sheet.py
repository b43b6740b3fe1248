"""The day sheet of one crew: what to open, until when, with what, and what to watch for."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime

from crews.boards.forecast_note import ForecastNote
from crews.boards.key_line import KeyLine
from crews.day_sheet import DaySheet, SheetJob
from crews.queries.day_inputs import DueRoof, judged_or_none
from crews.queries.decisions import DayDecisions
from crews.queries.due import Due, due_on
from crews.queries.lines import key_line
from crews.queries.roof_rows import Judged, job_line, judged_today, leads_of, no_verdict
from crews.queries.roofs_ahead import roofs_on
from crews.queries.rosters import crew_seen, roster, works_here
from crews.queries.sheet_parts import (
    cautions_of,
    fasteners_of,
    phases_of,
    sheet_holds,
    sheet_loads,
    sheet_ridges,
    sheet_slopes,
)
from crews.queries.skies import SkyReader
from crews.queries.strips import axis_of, strip_of
from crews.queries.tomorrow import line_of
from crews.queries.yards import YardDay, local_day, on_day
from crews.roster import CrewRoster, names_on
from crews.sheet_steps import SOURCES, steps_for
from crews.verdict.day_verdict import DayResult
from roofops.record.access import Access


def day_sheet(access: Access, crew_id: int, day: date, now: datetime) -> DaySheet:
    """The sheet of one crew and day; a crew lead sees the own crew's only.

    For another day than today the verdict is computed on the spot and not stored. Raises NotFound.
    """
    crew = crew_seen(access, crew_id)
    yard = crew.yard
    on = on_day(yard, day)
    people = roster(crew)
    found = [due for due in due_on(yard.pk, day, today=local_day(now, yard.time_zone)) if due.crew_id == crew_id]
    reader = SkyReader(yard, now)
    roofs = roofs_on(yard, sorted(found, key=_start), day, now, reader)
    is_today = local_day(now, yard.time_zone) == day
    judged = judged_today(roofs, day, now) if is_today else [_judged_ahead(roof) for roof in roofs]
    axis = axis_of(roofs, day, on.axis())
    leads = leads_of(roofs)
    jobs = tuple(_sheet_job(one, on, axis, now, people, leads, is_today=is_today) for one in judged)
    lead = crew.lead
    return DaySheet(
        crew_id=crew.pk,
        crew_name=crew.name,
        lead_name=lead.name if lead else "",
        yard_id=yard.pk,
        yard_name=yard.name,
        company=yard.company,
        zone=yard.time_zone,
        day=day,
        now=now,
        people=_people_here(roofs, people, day),
        jobs=jobs,
        forecast=_note(roofs, reader, on),
        valid_until=_valid_until(judged),
        call_name=yard.company,
        call_phone=yard.phone,
        may_report=works_here(access, crew) and is_today,
        sources=SOURCES,
    )


def _start(due: Due) -> tuple[bool, datetime | None, int]:
    return due.start is None, due.start, due.job_id


def _judged_ahead(roof: DueRoof) -> Judged:
    result = judged_or_none(roof)
    if result is None:
        return Judged(roof, DayDecisions(), None, None, None)
    return Judged(roof, DayDecisions(), None, result.verdict, result.run)


def _sheet_job(
    one: Judged,
    on: YardDay,
    axis: tuple[datetime, datetime],
    now: datetime,
    people: CrewRoster,
    leads: dict[int, tuple[str, str]],
    *,
    is_today: bool,
) -> SheetJob:
    roof, row, run, job = one.roof, one.row, one.run, one.roof.job
    line = _line(one, now)
    strip = replace(strip_of(roof, on.day, axis, now, row, one.verdict, run), dry_in_by=line.dry_in_by)
    slopes = sheet_slopes(one)
    ridges = sheet_ridges(one)
    phases = phases_of(slopes, ridges)
    loads = sheet_loads(one, on)
    sheet = SheetJob(
        job=job_line(roof, leads),
        decision_id=row.pk if row else None,
        version=row.version if row else 0,
        line=line,
        strip=strip,
        lat=job.lat,
        lon=job.lon,
        starts_at=roof.crew_day.start if roof.crew_day else None,
        leaves_at=roof.crew_day.end if roof.crew_day else None,
        people=names_on(people.people(on.day), on.day),
        slopes=slopes,
        ridges=ridges,
        stop_line=line.stop_line,
        steps=steps_for(phases),
        fasteners=fasteners_of(slopes, ridges, phases),
        cautions=cautions_of(roof, strip, slopes),
        loads=loads,
        next_load=next((load for load in loads if not load.on_site), None),
        holds=sheet_holds(roof, on),
    )
    return _with_facts(sheet, one)


def _with_facts(sheet: SheetJob, one: Judged) -> SheetJob:
    """The sheet with what the job's paper and the crew's reports say."""
    job, row, reports = one.roof.job, one.row, one.roof.reports
    replaced = _replaced(one)
    return replace(
        sheet,
        permit_number=job.permit_number,
        product_line=job.product_line,
        shingle_color=job.shingle_color,
        metal_color=job.metal_color,
        hazards=job.hazards,
        wishes=job.wishes,
        confirmed=row is not None and row.confirmed_at is not None,
        changed_at=row.computed_at if row is not None and replaced is not None else None,
        replaces_version=replaced,
        closed_at=reports.closed.at if reports.closed else None,
        rain_here_at=reports.rain_here_at,
        people_here=reports.people_here,
    )


def _replaced(one: Judged) -> int | None:
    """The newest version that the lead has seen, where the one in force is newer and not seen yet."""
    if one.row is None or one.row.confirmed_at is not None:
        return None
    seen = [v.version for v in one.decisions.versions if v.confirmed_at is not None and v.version < one.row.version]
    return max(seen, default=None)


def _line(one: Judged, now: datetime) -> KeyLine:
    if one.row is not None and one.verdict is not None and one.run is not None:
        return key_line(one.roof, one.row, one.verdict, one.run, now)
    if one.verdict is not None and one.run is not None:
        return line_of(one.roof, DayResult(one.verdict, one.run))
    return no_verdict(one.roof)


def _people_here(roofs: Sequence[DueRoof], people: CrewRoster, day: date) -> float:
    said = [roof.reports.people_here for roof in roofs if roof.reports.people_here is not None]
    return said[-1] if said else float(len(people.people(day)))


def _note(roofs: Sequence[DueRoof], reader: SkyReader, on: YardDay) -> ForecastNote:
    return roofs[0].sky.note if roofs else reader.over_yard(on.day, 1).note


def _valid_until(judged: Sequence[Judged]) -> datetime | None:
    """The sheet is good for opening as long as the first of its verdicts is."""
    moments = [one.row.valid_until if one.row else (one.verdict.valid_until if one.verdict else None) for one in judged]
    known = [moment for moment in moments if moment is not None]
    return min(known, default=None)
