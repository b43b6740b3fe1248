"""The parts of a day sheet that come from the walk, the roof, the sky and what is to come to the site."""

from collections.abc import Sequence

from crews.boards.sheet_content import Caution, Fastener
from crews.boards.sky_strip import Strip
from crews.day_sheet import SheetHold, SheetLoad, SheetRidge, SheetSlope
from crews.planner.problem import Run, Step, StepKind
from crews.planner.verdict import Word
from crews.progress import SlopeAreas
from crews.queries.day_inputs import DueRoof
from crews.queries.job_page import opening_order
from crews.queries.load_rows import no_place
from crews.queries.roof_places import roof_days
from crews.queries.roof_rows import Judged
from crews.queries.roof_work import ridge_name
from crews.queries.yards import YardDay
from crews.sheet_steps import DETAILS, DayConditions, cautions_for, fasteners_for
from jobs.models import DetailKind, InspectionState, Load, LoadState
from jobs.phases import Phase
from jobs.roof_measure import SectionMeasure

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


def sheet_slopes(one: Judged) -> tuple[SheetSlope, ...]:
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


def sheet_ridges(one: Judged) -> tuple[SheetRidge, ...]:
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


def phases_of(slopes: Sequence[SheetSlope], ridges: Sequence[SheetRidge]) -> tuple[str, ...]:
    found = dict.fromkeys(phase for slope in slopes for phase in slope.phases)
    if any(ridge.today_ft > 0 for ridge in ridges):
        found[Phase.RIDGE.value] = None
    return tuple(found)


def fasteners_of(
    slopes: Sequence[SheetSlope], ridges: Sequence[SheetRidge], phases: tuple[str, ...]
) -> tuple[Fastener, ...]:
    squares = sum(slope.today_squares for slope in slopes if Phase.FIELD.value in slope.phases)
    pitch = max((slope.pitch_in_12 for slope in slopes), default=0.0)
    return fasteners_for(phases, squares, sum(ridge.today_ft for ridge in ridges if ridge.vented), pitch)


def cautions_of(roof: DueRoof, strip: Strip, slopes: Sequence[SheetSlope]) -> tuple[Caution, ...]:
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


def sheet_loads(one: Judged, on: YardDay) -> tuple[SheetLoad, ...]:
    """What is on site, and what comes today or has no slot yet; the soonest first."""
    rows: Sequence[Load] = list(one.roof.job.loads.all())
    roof = roof_days(one.roof.job, one.roof.reports, one.run, on)
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
                SheetLoad(
                    load.kind,
                    load.placement,
                    items,
                    load.state,
                    load.slot_start,
                    here,
                    load.container_yd3,
                    no_place(load, load.slot_start, roof),
                )
            )
    return tuple(sorted(found, key=lambda one: (one.slot_start is None, one.slot_start)))


def sheet_holds(roof: DueRoof, on: YardDay) -> tuple[SheetHold, ...]:
    return tuple(
        SheetHold(v.kind, v.section.name if v.section else "", v.window_start, v.window_end, v.state)
        for v in roof.job.inspections.all()
        if v.state != InspectionState.PASSED and (v.window_start is None or on.start <= v.window_start < on.end)
    )
