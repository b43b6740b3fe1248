"""A measured roof as it is handed in to be saved: from a form, a shape or an import."""

from dataclasses import dataclass
from math import isfinite

from jobs.roof_measure import (
    DetailKind,
    EdgeKind,
    Point,
    check_length,
    check_not_negative,
    check_pitch,
)
from jobs.roof_shape import RoofShape, pitch_factor

MAX_SECTIONS = 200
MAX_SQUARES = 500.0  # one plane of a house; more is a slip of the decimal point
MAX_LENGTH_FT = 2000.0


@dataclass(frozen=True)
class SectionData:
    """One plane: true area [squares], pitch [in 12], eave, run along the slope [ft], fall [degrees], plan outline [ft].

    Raises ValueError for an empty or too long name, a pitch outside 0/12 to 24/12, no area, negative lengths.
    """

    name: str
    pitch_in_12: float
    squares: float
    eave_ft: float = 0.0
    run_ft: float = 0.0
    downslope_deg: float | None = None
    outline_ft: tuple[Point, ...] = ()

    def __post_init__(self) -> None:
        if not self.name.strip():
            raise ValueError("Every section needs a name, such as “front slope”.")
        if len(self.name) > 60:
            raise ValueError(f"The section name “{self.name[:20]}…” is longer than 60 letters.")
        check_pitch(self.pitch_in_12)
        if not isfinite(self.squares) or not 0 < self.squares <= MAX_SQUARES:
            raise ValueError(
                f"Section “{self.name}” must measure more than 0 and at most {MAX_SQUARES:g} squares, "
                f"but measures {self.squares:g}."
            )
        check_not_negative(f"eave of “{self.name}”", self.eave_ft)
        check_not_negative(f"run of “{self.name}”", self.run_ft)
        if max(self.eave_ft, self.run_ft) > MAX_LENGTH_FT:
            raise ValueError(f"Section “{self.name}” has a length over {MAX_LENGTH_FT:g} ft.")
        if self.downslope_deg is not None and not (isfinite(self.downslope_deg) and 0 <= self.downslope_deg <= 360):
            raise ValueError(f"The fall direction of “{self.name}” is a compass bearing from 0 to 360 degrees.")


@dataclass(frozen=True)
class EdgeData:
    """One edge: kind, true length [ft], the planes at it by name, its plan line [ft]; only a ridge can be vented."""

    kind: EdgeKind
    length_ft: float
    section: str | None = None
    other_section: str | None = None
    vented: bool = False
    line_ft: tuple[Point, ...] = ()

    def __post_init__(self) -> None:
        check_length(f"{self.kind} edge", self.length_ft)
        if self.length_ft > MAX_LENGTH_FT:
            raise ValueError(f"An edge of {self.length_ft:g} ft is longer than {MAX_LENGTH_FT:g} ft.")
        if self.vented and self.kind is not EdgeKind.RIDGE:
            raise ValueError("Only a ridge can have a vent.")


@dataclass(frozen=True)
class DetailData:
    """A penetration or flashing: count of pieces, or length along a wall [ft] for step flashing."""

    kind: DetailKind
    count: int = 1
    length_ft: float = 0.0
    section: str | None = None
    at_ft: Point | None = None

    def __post_init__(self) -> None:
        if not 0 <= self.count <= 1000:
            raise ValueError(f"The number of details must lie between 0 and 1000, but is {self.count}.")
        check_not_negative("length of a detail", self.length_ft)
        if self.kind is DetailKind.STEP_FLASHING and self.length_ft <= 0:
            raise ValueError("Step flashing needs its length in feet.")
        if self.kind is not DetailKind.STEP_FLASHING and self.count < 1:
            raise ValueError("A detail needs a count of at least 1.")


@dataclass(frozen=True)
class RoofData:
    """Sections with edges and details that refer to them by name.

    Raises ValueError for no section, two sections of one name, or an edge or detail at a section that is not there.
    """

    sections: tuple[SectionData, ...]
    edges: tuple[EdgeData, ...] = ()
    details: tuple[DetailData, ...] = ()

    def __post_init__(self) -> None:
        if not self.sections:
            raise ValueError("A job needs at least one roof section.")
        if len(self.sections) > MAX_SECTIONS:
            raise ValueError(f"A roof of more than {MAX_SECTIONS} sections is not one house.")
        names = [section.name for section in self.sections]
        for name in names:
            if names.count(name) > 1:
                raise ValueError(f"Two sections are named “{name}”; name each by its side of the house.")
        for edge in self.edges:
            for at in (edge.section, edge.other_section):
                if at is not None and at not in names:
                    raise ValueError(f"The {edge.kind} edge lies at “{at}”, but no section has this name.")
        for detail in self.details:
            if detail.section is not None and detail.section not in names:
                raise ValueError(f"A detail lies on “{detail.section}”, but no section has this name.")


def roof_data(shape: RoofShape, details: tuple[DetailData, ...] = ()) -> RoofData:
    """Return the roof of a shape, ready to be saved."""
    names = [section.name for section in shape.sections]
    return RoofData(
        sections=tuple(
            SectionData(
                name=section.name,
                pitch_in_12=section.pitch_in_12,
                squares=section.squares,
                eave_ft=section.eave_ft,
                run_ft=section.run_ft,
                downslope_deg=section.downslope_deg,
                outline_ft=_rounded(section.outline_ft),
            )
            for section in shape.sections
        ),
        edges=tuple(
            EdgeData(
                kind=edge.kind,
                length_ft=edge.length_ft,
                section=names[edge.section],
                other_section=None if edge.other_section is None else names[edge.other_section],
                vented=edge.vented,
                line_ft=_rounded(edge.line_ft),
            )
            for edge in shape.edges
        ),
        details=details,
    )


def plain_section(
    name: str, pitch_in_12: float, *, squares: float | None = None, eave_ft: float = 0.0, run_plan_ft: float = 0.0
) -> SectionData:
    """Return a plane from what a tape gives: squares, or eave and horizontal run [ft] of a rectangle.

    Where only squares and the eave are known, the run is that of the rectangle of this area.

    Raises ValueError where neither squares nor both lengths are given.
    """
    factor = pitch_factor(pitch_in_12)
    check_not_negative(f"eave of “{name}”", eave_ft)
    check_not_negative(f"run of “{name}”", run_plan_ft)
    if squares is None:
        if not eave_ft or not run_plan_ft:
            raise ValueError(f"Give section “{name}” its squares, or its eave and its run.")
        squares = eave_ft * run_plan_ft * factor / 100
    run_ft = run_plan_ft * factor
    if eave_ft and not run_ft:
        run_ft = squares * 100 / eave_ft
    return SectionData(name, pitch_in_12, squares, eave_ft, run_ft)


def _rounded(points: tuple[Point, ...]) -> tuple[Point, ...]:
    """Points to a hundred-thousandth of a foot: turning a shape leaves 1e-15 where 0 is meant."""
    return tuple((round(x, 5) + 0.0, round(y, 5) + 0.0) for x, y in points)
