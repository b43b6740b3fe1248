"""The roof seen from above as SVG: slopes by what lies on them, edges in their symbols, plates, arrows, stop line."""

from collections.abc import Iterable

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from crews.boards.job import SectionLine
from jobs.phases import RoofState
from jobs.roof_drawing import Arrow, DetailMark, Marks, Plate, RoofDrawing, Slope, draw
from jobs.roof_drawing.pieces import word_state
from jobs.roof_measure import DetailKind, Point, RoofMeasure, SectionMeasure
from roofops.pages.drawing.lettering import text_width
from roofops.pages.drawing.roof_edges import edge_shapes
from roofops.pages.drawing.svg import el, joined, label, number, picture
from roofops.pages.job.ready_words import area_state
from roofops.pages.wording import formats

WIDTH_PX, MAX_HEIGHT_PX = 576.0, 480.0
NAME_PX, WORDS_PX, ORDER_PX = 13.5, 12.5, 25.0
LINE_PX, ORDER_ROOM_PX, PADDING_PX = 15.0, 24.0, 8.0
STOP_PX, CASING_PX = 3.4, 6.4
PATTERNS = {
    RoofState.OLD: "p-old",
    RoofState.BARE: "p-bare",
    RoofState.TARPED: "p-tarp",
    RoofState.DRIED_IN: "p-dried",
    RoofState.SHINGLED: "p-shingled",
}


def roof_picture(
    roof: RoofMeasure,
    lines: Iterable[SectionLine],
    *,
    width_px: float = WIDTH_PX,
    max_height_px: float = MAX_HEIGHT_PX,
) -> SafeString:
    """Return the drawing with today's order and stop line; the table of slopes below says the same in words."""
    by_id = {line.section_id: line for line in lines}
    order = {i: line.order for i, line in by_id.items() if line.order is not None}
    today = {i: today_squares(line) for i, line in by_id.items()}
    sizes = {
        section.section_id: _plate_size(section, has_order=section.section_id in order) for section in roof.sections
    }
    drawing = draw(roof, width_px=width_px, max_height_px=max_height_px, marks=Marks(order, today, sizes))
    small = frozenset(slope.section_id for slope in drawing.slopes if not slope.plate.fits)
    if small:
        # A slope too narrow for its words keeps the figure (else the name); the words stand in the table of slopes.
        sizes |= {slope.section_id: _small_plate_size(slope) for slope in drawing.slopes if slope.section_id in small}
        drawing = draw(roof, width_px=width_px, max_height_px=max_height_px, marks=Marks(order, today, sizes))
    return picture(drawing.width, drawing.height, _name(drawing), *_layers(drawing, small), class_="roof")


def today_squares(line: SectionLine) -> float:
    """Return how much of a slope lies within today's line [squares], what is bare already included."""
    if line.order is None:
        return 0.0
    if line.stop_squares is None:
        return line.old_squares + line.bare_squares
    return max(0.0, line.stop_squares - line.dried_in_squares - line.shingled_squares)


def _layers(drawing: RoofDrawing, small: frozenset[int]) -> list[SafeString]:
    parts = []
    for slope in drawing.slopes:
        parts += [
            el("path", d=closed(piece.outline), fill=f"url(#{PATTERNS[piece.state]})", class_="slope-area")
            for piece in slope.pieces
        ]
        parts += [el("path", d=f"M{_at(a)}L{_at(b)}", class_="line-ink dash", stroke_width=2.4) for a, b in slope.cuts]
        if drawing.schematic:
            parts.append(el("path", d=closed(slope.outline), class_="line-ink", stroke_width=2))
    parts += edge_shapes(drawing.edges)
    parts += [_detail(mark) for mark in drawing.details]
    for slope in drawing.slopes:
        for outline in slope.stop_outlines:
            parts.append(el("path", d=closed(outline), class_="line-sheet round", stroke_width=CASING_PX))
            parts.append(el("path", d=closed(outline), class_="line-chalk round", stroke_width=STOP_PX))
    parts += [_arrow(slope.arrow) for slope in drawing.slopes if slope.arrow is not None]
    parts += [_plate(slope, small=slope.section_id in small) for slope in drawing.slopes]
    parts.append(_scale(drawing))
    if drawing.north is not None:
        parts.append(_north(drawing.north))
    return parts


def closed(points: tuple[Point, ...]) -> str:
    """Return path data around the points."""
    return "M" + "L".join(_at(point) for point in points) + "z"


def _at(point: Point) -> str:
    return f"{number(point[0])} {number(point[1])}"


def _plate_size(section: SectionMeasure, *, has_order: bool) -> tuple[float, float]:
    names = _name_lines(section.name)
    widths = [text_width(line, NAME_PX, bold=True) for line in names]
    widths.append(text_width(_state_words(*word_state(section)), WORDS_PX))
    return max(widths) + 2 * PADDING_PX + (ORDER_ROOM_PX if has_order else 0), LINE_PX * (len(names) + 1) + 9


def _small_plate_size(slope: Slope) -> tuple[float, float]:
    if slope.order is not None:
        return text_width(str(slope.order), ORDER_PX, bold=True) + 2 * PADDING_PX, ORDER_PX + 6
    names = _name_lines(slope.name)
    widest = max(text_width(line, NAME_PX, bold=True) for line in names)
    return widest + 2 * PADDING_PX, LINE_PX * len(names) + 7


def _state_words(state: RoofState, squares: float) -> str:
    return f"{formats.measured(squares, 'sq')}, {area_state(state.value)}"


def _name_lines(name: str) -> list[str]:
    head, comma, rest = name.partition(", ")
    return [f"{head},", rest] if comma else [head]


def _plate(slope: Slope, *, small: bool) -> SafeString:
    plate: Plate = slope.plate
    left, top = plate.centre[0] - plate.width / 2, plate.centre[1] - plate.height / 2
    parts = [
        el("rect", x=left, y=top, width=plate.width, height=plate.height, class_="ground-sheet slope-plate"),
    ]
    x = left + PADDING_PX
    if slope.order is not None:
        parts.append(label(x, plate.centre[1] + ORDER_PX * 0.36, str(slope.order), ORDER_PX, "bold"))
        if small:
            return joined(parts)
        x += ORDER_ROOM_PX
    y = top + LINE_PX
    for line in _name_lines(slope.name):
        parts.append(label(x, y, line, NAME_PX, "bold"))
        y += LINE_PX
    if not small:
        parts.append(label(x, y, _state_words(slope.state, slope.state_squares), WORDS_PX))
    return joined(parts)


def _arrow(arrow: Arrow) -> SafeString:
    (x1, y1), (x2, y2) = arrow.tail, arrow.head
    length = max(1e-6, ((x2 - x1) ** 2 + (y2 - y1) ** 2) ** 0.5)
    ux, uy = (x2 - x1) / length, (y2 - y1) / length
    neck = (x2 - ux * 9, y2 - uy * 9)
    head = f"M{_at((x2, y2))}L{_at((neck[0] - uy * 5, neck[1] + ux * 5))}L{_at((neck[0] + uy * 5, neck[1] - ux * 5))}z"
    shaft = f"M{_at((x1, y1))}L{_at(neck)}"
    return joined(
        [
            el("path", d=shaft + head, class_="line-sheet round", stroke_width=6),
            el("path", d=shaft, class_="line-ink", stroke_width=2),
            el("path", d=head, class_="fill-ink"),
        ]
    )


def _detail(mark: DetailMark) -> SafeString:
    x, y = mark.at
    if mark.kind is DetailKind.PIPE_BOOT:
        return el("circle", cx=x, cy=y, r=6, class_="ground-sheet slope-plate")
    if mark.kind is DetailKind.STEP_FLASHING:
        return el("path", d=f"M{number(x - 8)} {number(y)}h5v4h5v4h5", class_="line-ink", stroke_width=2)
    box = el("rect", x=x - 9, y=y - 9, width=18, height=18, class_="ground-sheet slope-plate")
    if mark.kind is DetailKind.SKYLIGHT:
        return joined([box, el("rect", x=x - 5, y=y - 5, width=10, height=10, class_="line-ink", stroke_width=1.2)])
    cross = f"M{number(x - 9)} {number(y - 9)}l18 18m0-18l-18 18"
    return joined([box, el("path", d=cross, class_="line-ink", stroke_width=1.2)])


def _scale(drawing: RoofDrawing) -> SafeString:
    (x1, y), (x2, _y) = drawing.scale_bar.line
    middle = (x1 + x2) / 2
    ticks = f"M{number(x1)} {number(y - 5)}v5H{number(x2)}v-5M{number(middle)} {number(y)}v-4"
    feet = f"{formats.figure(drawing.scale_bar.length_ft)}{formats.NBSP}ft"
    return joined(
        [
            el("path", d=ticks, class_="line-ink", stroke_width=1.4),
            label(x1, y - 9, "0", WORDS_PX, "", "middle"),
            label(x2, y - 9, feet, WORDS_PX, "", "middle"),
        ]
    )


def _north(arrow: Arrow) -> SafeString:
    (x, y1), (_x, y2) = arrow.tail, arrow.head
    head = f"M{number(x - 5)} {number(y2 + 9)}L{number(x)} {number(y2)}L{number(x + 5)} {number(y2 + 9)}"
    return joined(
        [
            el("path", d=f"M{number(x)} {number(y1)}V{number(y2)}{head}", class_="line-ink", stroke_width=1.6),
            label(x, y2 - 5, _("N"), NAME_PX, "bold", "middle"),
        ]
    )


def _name(drawing: RoofDrawing) -> str:
    slopes = [
        _("%(name)s %(squares)s %(state)s")
        % {
            "name": slope.name,
            "squares": formats.measured(slope.state_squares, "sq"),
            "state": area_state(slope.state.value),
        }
        for slope in drawing.slopes
    ]
    return _("Roof from above: %(slopes)s") % {"slopes": "; ".join(slopes)}
