"""Small skies and roofs for planner tests, built from plain lists (nothing is fetched, nothing is real)."""

from collections.abc import Iterable, Mapping
from datetime import UTC, datetime, timedelta

from crews.planner.exposure import Sky
from crews.planner.problem import CrewDay, RidgeWork, RoofWork, SectionWork
from jobs.phases import Phase
from weather.work_hours import Kind

# Building construction cost data, CSI 07 31 13.10 / 07 05 05.10: labor-hours per square of section (gable 6/12).
HANDBOOK_HOURS = {
    Phase.TEAR_OFF: 1.257,  # 1.143 tear-off of one layer + 0.114 felt
    Phase.DECK: 0.27,
    Phase.ICE_BARRIER: 0.123,  # 1.73 h of barrier on 14.087 squares
    Phase.UNDERLAYMENT: 0.297,  # 1.17 h underlayment and 3.02 h drip edge on 14.087 squares
    Phase.FIELD: 1.422,
}
DAY_START = datetime(2026, 7, 14, 0, tzinfo=UTC)  # a day of its own: hours below are "wall clock" of that day


def make_sky(
    hours: int = 24,
    wet: Iterable[int] = (),
    danger: Iterable[int] = (),
    unknown: Iterable[int] = (),
    forbidden: Mapping[Kind, Iterable[int]] | None = None,
    pop: Mapping[int, float | None] | None = None,
    light: tuple[int, int] = (6, 21),
    base_pop: float = 0.0,
    start: datetime = DAY_START,
) -> Sky:
    """A sky of so many hours: dry and calm by day but for the hours named; wet hours have a chance of 0.7."""
    wet, danger, unknown = set(wet), set(danger), set(unknown)
    dark = [not light[0] <= hour % 24 < light[1] for hour in range(hours)]
    chances: list[float | None] = [None if h in unknown else 0.7 if h in wet else base_pop for h in range(hours)]
    for hour, chance in (pop or {}).items():
        chances[hour] = chance
    allowed: dict[str, list[bool]] = {}
    for kind in Kind:
        closing = kind in (Kind.UNDERLAYMENT, Kind.TARP)
        never = (
            {h for h in range(hours) if dark[h]}
            if kind not in (Kind.UNDERLAYMENT, Kind.TARP, Kind.ON_ROOF, Kind.GROUND, Kind.DECK)
            else set()
        )
        no = set((forbidden or {}).get(kind, ())) | danger | never
        if not closing and kind not in (Kind.GROUND, Kind.ON_ROOF):
            no |= wet
            if kind in (Kind.TEAR_OFF, Kind.BARE, Kind.OPEN_RIDGE):
                no |= unknown
        allowed[kind.value] = [h not in no for h in range(hours) for _ in range(4)]
    return Sky(
        start=start,
        allowed=allowed,
        wet=[h in wet or h in unknown for h in range(hours) for _ in range(4)],
        danger=[h in danger for h in range(hours) for _ in range(4)],
        dark=[d for d in dark for _ in range(4)],
        known=[h not in unknown for h in range(hours) for _ in range(4)],
        pop=chances,
    )


def at(hour: float, start: datetime = DAY_START) -> datetime:
    """The moment of an hour of the test day."""
    return start + timedelta(hours=hour)


def make_day(begin: float = 7, end: float = 16, people: float = 5, day: int = 0, **changes: object) -> CrewDay:
    """A crew's shift on the test day (or days later), without breaks."""
    return CrewDay(
        crew_id=1,
        start=at(begin + 24 * day),
        end=at(end + 24 * day),
        people=people,
        **changes,  # type: ignore[arg-type]
    )


def make_section(number: int = 1, old: float = 7.0435, **changes: object) -> SectionWork:
    """One slope of the 40 x 28 ft gable at 6/12: eave 42 ft, 16.77 ft from eave to ridge."""
    values: dict[str, object] = {
        "section_id": number,
        "name": f"slope {number}",
        "old_squares": old,
        "bare_squares": 0.0,
        "dried_in_squares": 0.0,
        "shingled_squares": 0.0,
        "eave_ft": 42.0,
        "run_ft": 16.7705,
        "pitch_in_12": 6.0,
        "hours_per_square": dict(HANDBOOK_HOURS),
        "stop_name": f"end of slope {number}",
    }
    return SectionWork(**(values | changes))  # type: ignore[arg-type]


def make_ridge(number: int = 11, sections: tuple[int, ...] = (1, 2), **changes: object) -> RidgeWork:
    """The gable's ridge of 42 ft with a rigid vent: 0.069 labor-hours a foot, cover 2 minutes per 10 ft and person."""
    values: dict[str, object] = {
        "edge_id": number,
        "name": "ridge",
        "length_ft": 42.0,
        "open_ft": 0.0,
        "finished_ft": 0.0,
        "labor_hours_per_ft": 0.089,
        "cover_labor_hours_per_ft": 0.0034,
        "vented": True,
        "section_ids": sections,
    }
    return RidgeWork(**(values | changes))  # type: ignore[arg-type]


def make_roof(*sections: SectionWork, ridges: tuple[RidgeWork, ...] | None = None, **changes: object) -> RoofWork:
    """A gable of two slopes and its ridge, or the sections given."""
    sections = sections or (make_section(1), make_section(2))
    if ridges is None:
        ids = tuple(s.section_id for s in sections)
        ridges = (make_ridge(sections=ids),) if len(ids) == 2 else ()
    return RoofWork(job_id=1, sections=sections, ridges=ridges, **changes)  # type: ignore[arg-type]
