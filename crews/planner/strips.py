"""How a roof plane is divided into strips, and what one strip costs."""

from dataclasses import dataclass

from crews.planner.problem import AREA_SLACK, Policy, RoofWork, SectionWork
from jobs.phases import Phase

SQUARE_FT2 = 100.0


@dataclass(frozen=True, slots=True)
class Plane:
    """One section as the walk needs it: labor-hours per square as plain floats, and the least strip.

    closing: everything after tear-off that each square needs before it is dried-in, without the ice barrier.
    least_squares: a full eave-to-ridge swath of the least width; a smaller plane is opened whole. swath_squares_per_ft:
    mean area of one foot of width. side_tie_in_labor_hours: sealing one side of a strip to the old shingles.
    across: planes on the other side of a ridge or hip, over which the underlayment must be lapped.
    """

    section: SectionWork
    tear: float
    deck: float
    ice: float
    underlayment: float
    closing_detail: float
    field: float
    least_squares: float
    swath_squares_per_ft: float
    side_tie_in_labor_hours: float
    across: tuple[int, ...]

    @property
    def closing(self) -> float:
        """Labor-hours per square from bare to dried-in, ice barrier left out."""
        return self.deck + self.underlayment + self.closing_detail


def plane_of(section: SectionWork, across: tuple[int, ...], policy: Policy) -> Plane:
    """The plane of one section; details are spread evenly over the squares that still need them."""
    hours = section.hours_per_square
    to_close = section.old_squares + section.bare_squares
    to_shingle = to_close + section.dried_in_squares
    swath = section.squares / section.eave_ft if section.eave_ft > 0 else section.squares
    return Plane(
        section=section,
        tear=hours.get(Phase.TEAR_OFF, 0.0),
        deck=hours.get(Phase.DECK, 0.0),
        ice=hours.get(Phase.ICE_BARRIER, 0.0) if section.has_ice_barrier else 0.0,
        underlayment=hours.get(Phase.UNDERLAYMENT, 0.0),
        closing_detail=section.detail_closing_labor_hours / to_close if to_close > AREA_SLACK else 0.0,
        field=hours.get(Phase.FIELD, 0.0)
        + (section.detail_field_labor_hours / to_shingle if to_shingle > AREA_SLACK else 0.0),
        least_squares=policy.strip_min_ft * swath,
        swath_squares_per_ft=swath,
        side_tie_in_labor_hours=section.run_ft * policy.tie_in_labor_hours_per_ft,
        across=across,
    )


def planes_of(work: RoofWork, policy: Policy) -> tuple[Plane, ...]:
    """The planes of a roof in opening order, each with those it shares a ridge with."""
    index = {section.section_id: i for i, section in enumerate(work.sections)}
    across: list[set[int]] = [set() for _ in work.sections]
    for ridge in work.ridges:
        sides = [index[i] for i in ridge.section_ids if i in index]
        for side in sides:
            across[side].update(other for other in sides if other != side)
    return tuple(plane_of(s, tuple(sorted(a)), policy) for s, a in zip(work.sections, across, strict=True))


def strip_squares(old_squares: float, least_squares: float, most_squares: float) -> float:
    """Squares of the next strip of a plane, or 0 when no permitted strip fits.

    A plane (or its rest) that fits is opened whole; else it is divided into even swaths, none larger than
    `most_squares` and none narrower than `least_squares`; only the last piece of a plane may be narrower.
    """
    if old_squares <= most_squares + 1e-9:
        return old_squares
    if most_squares < min(least_squares, old_squares) - 1e-9:
        return 0.0
    even = old_squares / int(-(-old_squares // most_squares))
    # Where even swaths would be too narrow, full ones are cut and the last piece of the plane is the narrow one.
    return max(even, least_squares)
