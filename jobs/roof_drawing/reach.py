"""How far along a slope a share of its area reaches: what a crew can find with a tape from one end of the slope."""

from dataclasses import dataclass

from jobs.roof_drawing.pieces import Swaths
from jobs.roof_measure import SectionMeasure

SAME_FT = 0.5  # corners closer than this lie on one line, as far as a tape on a roof can tell
# By eighths of the compass from north, clockwise.
ENDS = ("north", "northeast", "east", "southeast", "south", "southwest", "west", "northwest")
LEFT_OF_FALL_DEG = 90.0  # who looks up the slope has on the left what lies this far clockwise of the way the water runs


@dataclass(frozen=True)
class Reach:
    """A place on a slope. feet: from its first end [ft]; end: that end's compass name; along: eave or top."""

    feet: float
    end: str
    along: str


def reach(section: SectionMeasure, squares_into: float) -> Reach | None:
    """Return how far the first `squares_into` squares of a slope reach, in swaths from the end that the drawing begins
    with; None where neither the eave nor the top edge runs from that end past the place, or nobody drew the slope.

    The eave and the top edge are level, so feet in plan are feet on the tape.
    """
    if len(section.outline_ft) < 3 or section.downslope_deg is None:
        return None
    feet, eave, top = Swaths(section.outline_ft, section.downslope_deg).reach_ft(squares_into / section.squares)
    bearing = (section.downslope_deg + LEFT_OF_FALL_DEG) % 360
    end = ENDS[round(bearing / 45) % 8]
    for along, (first, last) in (("eave", eave), ("top", top)):
        if first <= SAME_FT and feet <= last + SAME_FT:
            return Reach(feet, end, along)
    return None
