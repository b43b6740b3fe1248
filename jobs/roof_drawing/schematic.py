"""Outlines for a roof whose outlines nobody drew: slopes as rectangles of their true size, side by side."""

from collections.abc import Sequence
from math import sqrt

from jobs.roof_measure import SQUARE_FT2, Point, SectionMeasure
from jobs.roof_shape.pitch import pitch_factor

GAP_FT = 4.0
ROW_FT = 90.0  # a row of slopes is not made longer than this


def schematic_outlines(sections: Sequence[SectionMeasure]) -> tuple[tuple[Point, ...], ...]:
    """Return one rectangle per section [ft], eave at its foot, in rows from left to right; plan area is kept."""
    sizes = [_plan_size(section) for section in sections]
    outlines: list[tuple[Point, ...]] = []
    x = top = row_height = 0.0
    for width, height in sizes:
        if outlines and x > 0 and x + width > ROW_FT:
            x, top, row_height = 0.0, top - row_height - GAP_FT, 0.0
        outlines.append(((x, top - height), (x + width, top - height), (x + width, top), (x, top)))
        x, row_height = x + width + GAP_FT, max(row_height, height)
    return tuple(outlines)


def _plan_size(section: SectionMeasure) -> tuple[float, float]:
    """Width along the eave and depth in plan [ft], from whichever lengths are known."""
    factor = pitch_factor(section.pitch_in_12)
    plan_ft2 = section.squares * SQUARE_FT2 / factor
    if section.run_ft > 0:
        depth = section.run_ft / factor
        return plan_ft2 / depth, depth
    width = section.eave_ft if section.eave_ft > 0 else sqrt(plan_ft2 * 1.6)
    return width, plan_ft2 / width
