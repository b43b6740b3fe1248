"""The measured roof as plain data: what production, takeoff and the drawing are computed from."""

from dataclasses import dataclass
from enum import StrEnum
from math import isfinite

MAX_PITCH_IN_12 = 24.0
SQUARE_FT2 = 100.0

Point = tuple[float, float]


class EdgeKind(StrEnum):
    """Where two planes, or a plane and the open air or a wall, meet."""

    EAVE = "eave"
    RAKE = "rake"
    RIDGE = "ridge"
    HIP = "hip"
    VALLEY = "valley"
    WALL = "wall"


class DetailKind(StrEnum):
    """A penetration or flashing that costs time of its own."""

    PIPE_BOOT = "pipe_boot"
    CHIMNEY = "chimney"
    STEP_FLASHING = "step_flashing"
    SKYLIGHT = "skylight"


class Underlayment(StrEnum):
    """The sheet that dries a roof in."""

    FELT_15 = "felt15"
    FELT_30 = "felt30"
    SYNTHETIC = "synthetic"


def check_pitch(pitch_in_12: float) -> float:
    """Return the pitch [in 12] as a float.

    Raises
    ------
    ValueError
        Not a number, or outside 0 to 24 in 12: steeper planes are walls, not roofs that a crew shingles from planks.
    """
    if not isfinite(pitch_in_12) or not 0 <= pitch_in_12 <= MAX_PITCH_IN_12:
        raise ValueError(f"A pitch of {pitch_in_12:g}/12 is not a roof: it must lie between 0/12 and 24/12.")
    return float(pitch_in_12)


def check_length(name: str, length_ft: float) -> float:
    """Return a length [ft] that must be above zero.

    Raises
    ------
    ValueError
        Zero, negative or not a number.
    """
    if not isfinite(length_ft) or length_ft <= 0:
        raise ValueError(f"The {name} must be longer than 0 ft, but is {length_ft:g} ft.")
    return float(length_ft)


def check_not_negative(name: str, value: float) -> float:
    """Return a value that may be zero but not negative.

    Raises
    ------
    ValueError
        Negative or not a number.
    """
    if not isfinite(value) or value < 0:
        raise ValueError(f"The {name} must not be negative, but is {value:g}.")
    return float(value)


@dataclass(frozen=True)
class SectionMeasure:
    """One roof plane.

    squares: true slope area [100 sq ft]; the four areas [squares] say what lies on it now and sum to it.
    eave_ft: length along the eave; run_ft: eave to ridge along the slope. downslope_deg: compass bearing the water runs
    to. outline_ft: plan polygon, x to the east, y to the north, without the closing point.
    """

    section_id: int
    name: str
    pitch_in_12: float
    squares: float
    old_squares: float = 0.0
    bare_squares: float = 0.0
    dried_in_squares: float = 0.0
    shingled_squares: float = 0.0
    eave_ft: float = 0.0
    run_ft: float = 0.0
    downslope_deg: float | None = None
    outline_ft: tuple[Point, ...] = ()
    position: int = 0

    def __post_init__(self) -> None:
        check_pitch(self.pitch_in_12)
        if not isfinite(self.squares) or self.squares <= 0:
            raise ValueError(f"Section “{self.name}” must be larger than 0 squares, but is {self.squares:g}.")
        for name in ("old_squares", "bare_squares", "dried_in_squares", "shingled_squares"):
            # A hundredth of a square is rounding in stored totals, not a negative area.
            if getattr(self, name) < -0.01:
                raise ValueError(f"Section “{self.name}”: {name.replace('_', ' ')} must not be negative.")
        check_not_negative("eave", self.eave_ft)
        check_not_negative("run", self.run_ft)


@dataclass(frozen=True)
class EdgeMeasure:
    """One edge with its true length [ft]; open_ft and finished_ft are a ridge's progress."""

    edge_id: int
    kind: EdgeKind
    length_ft: float
    section_id: int | None = None
    other_section_id: int | None = None
    vented: bool = False
    open_ft: float = 0.0
    finished_ft: float = 0.0
    line_ft: tuple[Point, ...] = ()

    def __post_init__(self) -> None:
        check_length(f"{self.kind} edge", self.length_ft)

    @property
    def section_ids(self) -> tuple[int, ...]:
        """The planes that meet here."""
        return tuple(i for i in (self.section_id, self.other_section_id) if i is not None)


@dataclass(frozen=True)
class DetailMeasure:
    """A penetration or flashing; count for pieces, length_ft for what runs along a wall [ft]."""

    detail_id: int
    kind: DetailKind
    count: int = 1
    length_ft: float = 0.0
    section_id: int | None = None
    at_ft: Point | None = None

    def __post_init__(self) -> None:
        check_not_negative("number of details", self.count)
        check_not_negative("length of a detail", self.length_ft)


@dataclass(frozen=True)
class RoofMeasure:
    """One measured roof with what the code and the rates ask about it.

    eave_overhang_in: horizontal, wall face to the lowest roof edge [in]; wall_thickness_in [in].
    cut_up: a key of jobs.production_table.CUT_UP_FACTORS.

    Raises ValueError for a roof without sections.
    """

    job_id: int
    sections: tuple[SectionMeasure, ...]
    edges: tuple[EdgeMeasure, ...] = ()
    details: tuple[DetailMeasure, ...] = ()
    storeys: int = 1
    layers: int = 1
    cut_up: str = "simple"
    debris_carry: bool = False
    code_edition: str = "2018"
    ice_barrier_required: bool = True
    wall_thickness_in: float = 6.5
    eave_overhang_in: float = 12.0
    deck_sheets_allowance: int = 2
    product_line: str = ""
    underlayment: Underlayment = Underlayment.SYNTHETIC

    def __post_init__(self) -> None:
        if not self.sections:
            raise ValueError("A roof needs at least one section.")
        if self.storeys < 1:
            raise ValueError(f"A house has at least one storey, not {self.storeys}.")
        if self.layers < 1:
            raise ValueError(f"A re-roof takes off at least one layer, not {self.layers}.")
        check_not_negative("wall thickness", self.wall_thickness_in)
        check_not_negative("eave overhang", self.eave_overhang_in)
        check_not_negative("allowance of deck sheets", self.deck_sheets_allowance)

    @property
    def squares(self) -> float:
        """True area of all planes [squares]."""
        return sum(section.squares for section in self.sections)

    def edges_of(self, kind: EdgeKind) -> tuple[EdgeMeasure, ...]:
        """All edges of one kind."""
        return tuple(edge for edge in self.edges if edge.kind is kind)

    def length_ft(self, *kinds: EdgeKind) -> float:
        """Total true length of these kinds of edge [ft]."""
        return sum(edge.length_ft for edge in self.edges if edge.kind in kinds)

    def section(self, section_id: int) -> SectionMeasure:
        """The plane with this id; KeyError where there is none."""
        for section in self.sections:
            if section.section_id == section_id:
                return section
        raise KeyError(section_id)
