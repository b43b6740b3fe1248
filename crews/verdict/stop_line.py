"""What the crew would call the far edge of a slope: the valley, hip or ridge where the day's opening ends."""

from dataclasses import dataclass, replace
from math import floor

from jobs.roof_drawing.reach import reach
from jobs.roof_measure import EdgeKind, RoofMeasure

# Edges by how plainly a crew sees them, the plainest first.
PLAINEST = (EdgeKind.VALLEY, EdgeKind.HIP, EdgeKind.RIDGE, EdgeKind.WALL, EdgeKind.RAKE)
TAPE_STEP_FT = 0.5  # a stop inside a slope is given to this, rounded towards what is already open
WHOLE_SLACK = 0.05  # squares: a slope is done to its far edge when no more than this is left


@dataclass(frozen=True)
class StopPlace:
    """Where the day's opening ends: an edge kind with the slope behind it, or so many squares into a slope.

    edge: valley, hip, ridge, wall, rake, or empty where the stop lies inside the slope. slope: the slope that is opened
    last; beyond: the slope at the other side of the edge, empty where there is none. squares_in: opened of the slope.
    feet, end, along: the same place by tape [ft], from the slope's end of that compass name, along its eave or its top;
    0 and empty where the stop is an edge or the slope was not drawn.
    """

    edge: str
    slope: str
    beyond: str = ""
    squares_in: float = 0.0
    squares: float = 0.0
    feet: float = 0.0
    end: str = ""
    along: str = ""


def stop_place(roof: RoofMeasure, section_id: int, squares_into: float) -> StopPlace:
    """The stop of a day that opens a slope up to so many of its squares.

    squares_into: torn off in all on this slope when the day's opening ends [squares].

    Raises KeyError for a slope that the roof does not have.
    """
    section = roof.section(section_id)
    if squares_into < section.squares - WHOLE_SLACK:
        place = StopPlace("", section.name, squares_in=squares_into, squares=section.squares)
        found = reach(section, squares_into)
        if found is None or found.feet < TAPE_STEP_FT:
            return place
        feet = floor(found.feet / TAPE_STEP_FT + 1e-6) * TAPE_STEP_FT
        return replace(place, feet=feet, end=found.end, along=found.along)
    edge, beyond = far_edge(roof, section_id)
    return StopPlace(edge, section.name, beyond, section.squares, section.squares)


def far_edge(roof: RoofMeasure, section_id: int) -> tuple[str, str]:
    """Kind of the plainest edge of a slope and the name of the slope behind it; ('', '') where no edge is known.

    An edge towards a slope that comes later in the opening order is plainer than one towards an earlier slope.
    """
    order = {section.section_id: place for place, section in enumerate(roof.sections)}
    own = order[section_id]
    best: tuple[int, int, str, str] | None = None
    for edge in roof.edges:
        if section_id not in edge.section_ids or edge.kind not in PLAINEST:
            continue
        others = [other for other in edge.section_ids if other != section_id and other in order]
        later = 0 if others and order[others[0]] > own else 1
        name = roof.section(others[0]).name if others else ""
        found = (later, PLAINEST.index(edge.kind), edge.kind.value, name)
        best = found if best is None or found < best else best
    return (best[2], best[3]) if best else ("", "")


def plain_words(place: StopPlace) -> str:
    """The stop in English, for the log and the command line; pages word it for translation."""
    if place.feet:
        along = " along the top" if place.along == "top" else ""
        return f"{place.feet:g} ft from the {place.end} end of the {place.slope}{along}"
    if not place.edge:
        return f"{place.squares_in:.1f} of {place.squares:.1f} squares of the {place.slope}"
    if place.beyond:
        return f"the {place.edge} to the {place.beyond}"
    return f"the {place.edge} of the {place.slope}"
