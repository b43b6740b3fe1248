"""The day sheet of one crew: what to open, until when, with what, and what to watch for."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime

from crews.day_sheet import DaySheet, SheetHold, SheetJob, SheetLoad, SheetRidge, SheetSlope
from crews.day_verdict import DayResult, judge_day
from crews.forecast_note import ForecastNote
from crews.key_line import KeyLine
from crews.planner.problem import Run, Step, StepKind
from crews.planner.verdict import Word
from crews.progress import SlopeAreas
from crews.queries.day_inputs import DueRoof, due_roofs
from crews.queries.decisions import DayDecisions
from crews.queries.due import Due, due_on
from crews.queries.job_page import opening_order
from crews.queries.lines import key_line
from crews.queries.roof_rows import Judged, job_line, judged_today, leads_of, no_verdict
from crews.queries.roof_work import ridge_name
from crews.queries.rosters import crew_seen, roster, works_here
from crews.queries.skies import SkyReader
from crews.queries.strips import axis_of, strip_of
from crews.queries.tomorrow import line_of
from crews.queries.yards import YardDay, local_day, on_day
from crews.roster import CrewRoster, names_on
from crews.sheet_content import Caution, Fastener, PhaseSteps
from crews.sheet_steps import DETAILS, SOURCES, DayConditions, cautions_for, fasteners_for, steps_for
from crews.sky_strip import Strip
from jobs.models import DetailKind, InspectionState, Load, LoadState
from jobs.phases import Phase
from jobs.roof_measure import SectionMeasure
from roofops.record.access import Access

PHASE_OF_STEP = {
    StepKind.TEAR_OFF: Phase.TEAR_OFF.value,
    StepKind.DECK: Phase.DECK.value,
    StepKind.ICE_BARRIER: Phase.ICE_BARRIER.value,
    StepKind.UNDERLAYMENT: Phase.UNDERLAYMENT.value,
    StepKind.TIE_IN: Phase.UNDERLAYMENT.value,
    StepKind.TARP: Phase.UNDERLAYMENT.value,
    StepKind.DETAIL: DETAILS,
    StepKind.FIELD: Phase.FIELD.value,
    StepKind.RIDGE: Phase.RIDGE.value,
}
GONE = (LoadState.CAME, LoadState.CANCELLED)
SMALL = 0.05


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
    roofs = due_roofs(yard, sorted(found, key=_start), day, now, reader)
    is_today = local_day(now, yard.time_zone) == day
    judged = judged_today(roofs, day) if is_today else [_judged_ahead(roof) for roof in roofs]
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
    if roof.inputs is None:
        return Judged(roof, DayDecisions(), None, None, None)
    result = judge_day(roof.inputs)
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
    slopes = _slopes(one)
    ridges = _ridges(one)
    phases = _phases(slopes, ridges)
    loads = _loads(roof, on, now)
    seen = [version for version in one.decisions.versions if version.confirmed_at is not None]
    replaced = max((v.version for v in seen if row is not None and v.version < row.version), default=None)
    return SheetJob(
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
        steps=_steps(phases),
        fasteners=_fasteners(slopes, ridges, phases),
        cautions=_cautions(roof, strip, slopes),
        loads=loads,
        next_load=next((load for load in loads if not load.on_site), None),
        holds=_holds(roof, on),
        permit_number=job.permit_number,
        product_line=job.product_line,
        shingle_color=job.shingle_color,
        metal_color=job.metal_color,
        hazards=job.hazards,
        wishes=job.wishes,
        confirmed=row is not None and row.confirmed_at is not None,
        changed_at=row.computed_at if row is not None and replaced is not None and row.confirmed_at is None else None,
        replaces_version=replaced if row is not None and row.confirmed_at is None else None,
        closed_at=roof.reports.closed.at if roof.reports.closed else None,
        rain_here_at=roof.reports.rain_here_at,
        people_here=roof.reports.people_here,
    )


def _line(one: Judged, now: datetime) -> KeyLine:
    if one.row is not None and one.verdict is not None and one.run is not None:
        return key_line(one.roof, one.row, one.verdict, one.run, now)
    if one.verdict is not None and one.run is not None:
        return line_of(one.roof, DayResult(one.verdict, one.run))
    return no_verdict(one.roof)


def _slopes(one: Judged) -> tuple[SheetSlope, ...]:
    """Slopes of today in opening order, then those that only get closed work; the others are left out."""
    if one.roof.work is None or one.run is None:
        return ()
    roof, run = one.roof.work.roof, one.run
    opens = one.verdict is not None and one.verdict.verdict is Word.TEAR_OFF
    order = opening_order(roof, run) if opens else [s.section_id for s in roof.sections if s.bare_squares > SMALL]
    worked = [step.section_id for step in run.steps if step.section_id is not None]
    ids = list(dict.fromkeys([*order, *worked]))
    return tuple(_slope(roof.section(pk), run, order) for pk in ids)


def _slope(section: SectionMeasure, run: Run, order: Sequence[int]) -> SheetSlope:
    steps = [step for step in run.steps if step.section_id == section.section_id and step.kind in PHASE_OF_STEP]
    place = order.index(section.section_id) + 1 if section.section_id in order else None
    torn = sum(step.squares for step in steps if step.kind is StepKind.TEAR_OFF)
    field = sum(step.squares for step in steps if step.kind is StepKind.FIELD)
    stop = run.stop_squares_into_section if run.stop_section_id == section.section_id else None
    areas = SlopeAreas(section.old_squares, section.bare_squares, section.dried_in_squares, section.shingled_squares)
    return SheetSlope(
        section_id=section.section_id,
        name=section.name,
        order=place,
        squares=section.squares,
        old_squares=section.old_squares,
        bare_squares=section.bare_squares,
        dried_in_squares=section.dried_in_squares,
        shingled_squares=section.shingled_squares,
        state=areas.state,
        pitch_in_12=section.pitch_in_12,
        today_squares=(torn + max(0.0, section.bare_squares)) if place is not None else field,
        phases=tuple(dict.fromkeys(PHASE_OF_STEP[step.kind] for step in steps)),
        target_labor_hours=sum(step.labor_hours for step in steps),
        starts_at=steps[0].start if steps else None,
        stop_squares=stop,
        after=place - 1 if place is not None and place > 1 else None,
    )


def _ridges(one: Judged) -> tuple[SheetRidge, ...]:
    if one.roof.work is None or one.run is None:
        return ()
    roof = one.roof.work.roof
    found = []
    for edge in roof.edges:
        steps: list[Step] = [s for s in one.run.steps if s.edge_id == edge.edge_id and s.kind is StepKind.RIDGE]
        if steps or edge.open_ft > 0:
            found.append(
                SheetRidge(
                    edge.edge_id,
                    ridge_name(roof, edge.edge_id),
                    edge.length_ft,
                    edge.open_ft,
                    edge.finished_ft,
                    edge.vented,
                    sum(step.feet for step in steps),
                )
            )
    return tuple(found)


def _phases(slopes: Sequence[SheetSlope], ridges: Sequence[SheetRidge]) -> tuple[str, ...]:
    found = dict.fromkeys(phase for slope in slopes for phase in slope.phases)
    if any(ridge.today_ft > 0 for ridge in ridges):
        found[Phase.RIDGE.value] = None
    return tuple(found)


def _steps(phases: tuple[str, ...]) -> tuple[PhaseSteps, ...]:
    return steps_for(phases)


def _fasteners(
    slopes: Sequence[SheetSlope], ridges: Sequence[SheetRidge], phases: tuple[str, ...]
) -> tuple[Fastener, ...]:
    squares = sum(slope.today_squares for slope in slopes if Phase.FIELD.value in slope.phases)
    pitch = max((slope.pitch_in_12 for slope in slopes), default=0.0)
    return fasteners_for(phases, squares, sum(ridge.today_ft for ridge in ridges if ridge.vented), pitch)


def _cautions(roof: DueRoof, strip: Strip, slopes: Sequence[SheetSlope]) -> tuple[Caution, ...]:
    job, limits = roof.job, roof.sky.limits
    shift = roof.crew_day
    hours = [
        h for h in strip.hours if shift is None or (h.start < shift.end and h.start >= shift.start.replace(minute=0))
    ]
    gusts = [hour.gust_mph for hour in hours if hour.gust_mph is not None]
    temps = [hour.temp_f for hour in hours if hour.temp_f is not None]
    heat = [hour.heat_index_f for hour in hours if hour.heat_index_f is not None]
    pitches = [slope.pitch_in_12 for slope in slopes] or [s.pitch_in_12 for s in job.sections.all()]
    day = DayConditions(
        pitch_in_12=max(pitches, default=0.0),
        storeys=job.storeys,
        thunder_first=any(hour.thunder for hour in hours),
        gust_max_mph=max(gusts, default=None),
        gust_limit_mph=limits.off_roof_gust_mph,
        temp_min_f=min(temps, default=None),
        heat_index_max_f=max(heat, default=None),
        frost=any(hour.frost for hour in hours),
        hazards=job.hazards,
        skylights=sum(d.count for d in job.details.all() if d.kind == DetailKind.SKYLIGHT),
    )
    return cautions_for(day)


def _loads(roof: DueRoof, on: YardDay, now: datetime) -> tuple[SheetLoad, ...]:
    """What is on site, and what comes today or has no slot yet; the soonest first."""
    rows: Sequence[Load] = list(roof.job.loads.all())
    found = []
    for load in rows:
        here = load.state == LoadState.CAME
        due = load.state not in GONE and (load.slot_start is None or load.slot_start < on.end)
        if here or due:
            items = tuple(
                (str(item.get("item", "")), float(item.get("count", 0)), str(item.get("unit", "")))
                for item in load.contents
            )
            found.append(
                SheetLoad(load.kind, load.placement, items, load.state, load.slot_start, here, load.container_yd3)
            )
    return tuple(sorted(found, key=lambda one: (one.slot_start is None, one.slot_start)))


def _holds(roof: DueRoof, on: YardDay) -> tuple[SheetHold, ...]:
    return tuple(
        SheetHold(v.kind, v.section.name if v.section else "", v.window_start, v.window_end, v.state)
        for v in roof.job.inspections.all()
        if v.state != InspectionState.PASSED and (v.window_start is None or on.start <= v.window_start < on.end)
    )


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
