"""A measured roof turned into its drawing."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from jobs.phases import RoofState
from jobs.roof_drawing.edge_marks import edge_line
from jobs.roof_drawing.model import (
    Arrow,
    DetailMark,
    EdgeLine,
    EdgeSum,
    Frame,
    Line,
    Piece,
    RoofDrawing,
    ScaleBar,
    Slope,
)
from jobs.roof_drawing.pieces import SMALLEST_SQUARES, Swaths, areas_by_state, word_state
from jobs.roof_drawing.placing import place_arrow, place_plate
from jobs.roof_drawing.schematic import schematic_outlines
from jobs.roof_measure import EdgeKind, Point, RoofMeasure, SectionMeasure

MARGIN_PX = 26.0
FOOTER_PX = 64.0  # scale bar and north stand below the roof
NORTH_PX = 40.0
BAR_LENGTHS_FT = (100.0, 50.0, 20.0, 10.0, 5.0, 2.0, 1.0)
BAR_SHARE = 0.3  # the scale bar takes at most this share of the width
LETTER_PX = 7.2  # a letter of the plate's name, when nobody measured it
PLATE_LINE_PX = 16.0


@dataclass(frozen=True)
class Marks:
    """What today adds to the roof.

    order_by_section: opening order today, from 1. today_squares: how much of a section lies within today's line, what
    is bare already included [squares]. plate_sizes: width and height of a section's plate as measured [px].
    """

    order_by_section: Mapping[int, int] = field(default_factory=dict)
    today_squares: Mapping[int, float] = field(default_factory=dict)
    plate_sizes: Mapping[int, tuple[float, float]] = field(default_factory=dict)


def draw(
    roof: RoofMeasure, *, width_px: float = 600.0, max_height_px: float = 520.0, marks: Marks | None = None
) -> RoofDrawing:
    """Return the drawing of a roof, north up.

    A roof of which any section lacks its outline is laid out schematically: slopes as rectangles of their true size.

    Raises ValueError for a drawing too small to hold its margins.
    """
    if width_px <= 2 * MARGIN_PX or max_height_px <= 2 * MARGIN_PX + FOOTER_PX:
        raise ValueError("The drawing is too small for its margins.")
    marks = marks or Marks()
    schematic = not all(len(section.outline_ft) >= 3 for section in roof.sections)
    if schematic:
        outlines = schematic_outlines(roof.sections)
    else:
        outlines = tuple(section.outline_ft for section in roof.sections)
    frame, height_px = _frame(outlines, width_px, max_height_px)
    slopes = tuple(
        _slope(section, outline, frame, marks, schematic)
        for section, outline in zip(roof.sections, outlines, strict=True)
    )
    north_at = (width_px - MARGIN_PX, height_px - 12.0)
    return RoofDrawing(
        width=width_px,
        height=height_px,
        px_per_ft=frame.px_per_ft,
        slopes=slopes,
        edges=() if schematic else _edges(roof, frame, slopes),
        details=() if schematic else _details(roof, frame),
        edge_sums=edge_sums(roof),
        scale_bar=_scale_bar(frame, width_px, height_px),
        north=None if schematic else Arrow(north_at, (north_at[0], north_at[1] - NORTH_PX)),
        schematic=schematic,
    )


def edge_sums(roof: RoofMeasure) -> tuple[EdgeSum, ...]:
    """Return the table of edges by kind, without kinds that the roof does not have."""
    return tuple(
        EdgeSum(kind, len(roof.edges_of(kind)), roof.length_ft(kind)) for kind in EdgeKind if roof.edges_of(kind)
    )


def _frame(outlines: Sequence[tuple[Point, ...]], width_px: float, max_height_px: float) -> tuple[Frame, float]:
    xs = [x for outline in outlines for x, _ in outline]
    ys = [y for outline in outlines for _, y in outline]
    wide_ft, deep_ft = max(max(xs) - min(xs), 1.0), max(max(ys) - min(ys), 1.0)
    scale = min((width_px - 2 * MARGIN_PX) / wide_ft, (max_height_px - 2 * MARGIN_PX - FOOTER_PX) / deep_ft)
    # The roof stands in the middle of the width.
    shift_ft = ((width_px - 2 * MARGIN_PX) / scale - wide_ft) / 2
    return Frame(min(xs) - shift_ft, max(ys), scale, MARGIN_PX), round(deep_ft * scale + 2 * MARGIN_PX + FOOTER_PX, 2)


def _slope(
    section: SectionMeasure, outline_ft: tuple[Point, ...], frame: Frame, marks: Marks, schematic: bool
) -> Slope:
    downslope_deg = None if schematic else section.downslope_deg
    swaths = Swaths(outline_ft, downslope_deg)
    pieces, cuts = _pieces(section, swaths, frame)
    outline = frame.outline(outline_ft)
    plate = place_plate(outline, *marks.plate_sizes.get(section.section_id, _plate_size(section.name)))
    falls = schematic or section.downslope_deg is not None
    state, state_squares = word_state(section)
    return Slope(
        section_id=section.section_id,
        name=section.name,
        pitch_in_12=section.pitch_in_12,
        squares=section.squares,
        state=state,
        state_squares=state_squares,
        order=marks.order_by_section.get(section.section_id),
        outline=outline,
        pieces=pieces,
        cuts=cuts,
        plate=plate,
        arrow=place_arrow(outline, downslope_deg, plate) if falls else None,
        stop_outlines=_stop_outlines(section, swaths, frame, marks.today_squares.get(section.section_id, 0.0)),
    )


def _pieces(section: SectionMeasure, swaths: Swaths, frame: Frame) -> tuple[tuple[Piece, ...], tuple[Line, ...]]:
    areas = areas_by_state(section)
    whole = sum(squares for _, squares in areas)
    pieces: list[Piece] = []
    cuts: list[Line] = []
    low = 0.0
    for state, squares in areas:
        high = low + squares / whole
        parts = swaths.between(low, high)
        pieces += [Piece(state, frame.outline(part), squares / len(parts)) for part in parts]
        cut = swaths.cut(high) if high < 1 - 1e-9 else None
        if cut is not None:
            cuts.append((frame.px(cut[0]), frame.px(cut[1])))
        low = high
    return tuple(pieces), tuple(cuts)


def _stop_outlines(
    section: SectionMeasure, swaths: Swaths, frame: Frame, today_squares: float
) -> tuple[tuple[Point, ...], ...]:
    """Today's line: around what is bare and the old roof behind it that may still come off today."""
    if today_squares <= SMALLEST_SQUARES:
        return ()
    closed = {RoofState.SHINGLED, RoofState.DRIED_IN}
    start = sum(squares for state, squares in areas_by_state(section) if state in closed) / section.squares
    end = min(1.0, start + today_squares / section.squares)
    return tuple(frame.outline(part) for part in swaths.inset_between(start, end))


def _edges(roof: RoofMeasure, frame: Frame, slopes: Sequence[Slope]) -> tuple[EdgeLine, ...]:
    outlines = {slope.section_id: slope.outline for slope in slopes}
    drawn = [edge_line(roof, edge, frame, outlines) for edge in roof.edges if len(edge.line_ft) == 2]
    # Eaves last: they are the heaviest and close the outline.
    return tuple(sorted(drawn, key=lambda edge: edge.kind is EdgeKind.EAVE))


def _details(roof: RoofMeasure, frame: Frame) -> tuple[DetailMark, ...]:
    return tuple(
        DetailMark(detail.detail_id, detail.kind, frame.px(detail.at_ft))
        for detail in roof.details
        if detail.at_ft is not None
    )


def _scale_bar(frame: Frame, width_px: float, height_px: float) -> ScaleBar:
    fits = [feet for feet in BAR_LENGTHS_FT if feet * frame.px_per_ft <= width_px * BAR_SHARE]
    feet = fits[0] if fits else BAR_LENGTHS_FT[-1]
    left, y = MARGIN_PX, height_px - 16.0
    return ScaleBar(((left, y), (round(left + feet * frame.px_per_ft, 2), y)), feet)


def _plate_size(name: str) -> tuple[float, float]:
    """A size for a plate that nobody measured: the name broken at its comma, and a line for squares and state."""
    lines = name.split(", ")
    return max(max(len(line) for line in lines), 12) * LETTER_PX + 16, PLATE_LINE_PX * (len(lines) + 1) + 8
