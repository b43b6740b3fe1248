"""The drawing of a roof: to scale, plates and arrows inside their slopes, states at their share of the area."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Point, Polygon, box
from shapely.ops import unary_union

from jobs.phases import RoofState
from jobs.roof_drawing import Marks, RoofDrawing, draw
from jobs.roof_measure import DetailKind, DetailMeasure, EdgeKind, RoofMeasure, SectionMeasure
from jobs.roof_shape import RoofShape, ell, gable, hip, shed, tee
from tests.factories.roofs import example_gable, measured

SHAPES = [
    gable(40, 28, 6),
    hip(44, 30, 8),
    shed(24, 14, 4),
    ell(44, 30, 22, 16, 6, wing_offset_ft=4),
    tee(46, 28, 28, 14, 9),
]
IDS = ["gable", "hip", "shed", "ell", "tee"]


def in_work(roof: RoofMeasure, shares: tuple[float, float, float]) -> RoofMeasure:
    """The same roof with shares of every section bare, dried-in and shingled."""
    bare, dried_in, shingled = shares
    return replace(
        roof,
        sections=tuple(
            replace(
                s,
                bare_squares=s.squares * bare,
                dried_in_squares=s.squares * dried_in,
                shingled_squares=s.squares * shingled,
                old_squares=s.squares * (1 - bare - dried_in - shingled),
            )
            for s in roof.sections
        ),
    )


@pytest.mark.parametrize("shape", SHAPES, ids=IDS)
@pytest.mark.parametrize("front", [180, 150, 30])
def test_every_plate_and_arrow_lies_in_its_slope(shape: RoofShape, front: float) -> None:
    for slope in draw(measured(shape), width_px=600).slopes:
        polygon = Polygon(slope.outline)
        assert polygon.contains(Point(slope.plate.centre))
        assert slope.arrow is not None
        shaft = LineString([slope.arrow.tail, slope.arrow.head])
        assert polygon.contains(shaft)
        (x, y), w, h = slope.plate.centre, slope.plate.width, slope.plate.height
        assert not shaft.intersects(box(x - w / 2, y - h / 2, x + w / 2, y + h / 2))


def test_a_plate_that_fits_lies_wholly_inside() -> None:
    for slope in draw(example_gable()).slopes:
        assert slope.plate.fits
        (x, y), w, h = slope.plate.centre, slope.plate.width, slope.plate.height
        assert Polygon(slope.outline).contains(box(x - w / 2, y - h / 2, x + w / 2, y + h / 2))


def test_arrows_point_the_way_water_runs_north_up() -> None:
    south, north = draw(example_gable()).slopes
    assert south.arrow is not None
    assert north.arrow is not None
    assert south.arrow.head[1] > south.arrow.tail[1]  # y runs downwards, the front faces south
    assert north.arrow.head[1] < north.arrow.tail[1]
    assert draw(example_gable()).north is not None


def test_the_drawing_is_to_scale() -> None:
    drawing = draw(example_gable(), width_px=600)
    plan = sum(Polygon(slope.outline).area for slope in drawing.slopes) / drawing.px_per_ft**2
    assert plan == pytest.approx(1260, rel=1e-3)
    (x0, _), (x1, _) = drawing.scale_bar.line
    assert (x1 - x0) / drawing.px_per_ft == pytest.approx(drawing.scale_bar.length_ft, rel=1e-3)


@settings(deadline=None, max_examples=40)
@given(st.sampled_from(SHAPES), st.tuples(st.floats(0, 0.3), st.floats(0, 0.3), st.floats(0, 0.3)))
def test_states_fill_the_slope_at_their_share_of_its_area(shape: RoofShape, shares: tuple[float, float, float]) -> None:
    roof = in_work(measured(shape), shares)
    for slope, section in zip(draw(roof).slopes, roof.sections, strict=True):
        whole = Polygon(slope.outline)
        wanted = {
            RoofState.OLD: section.old_squares,
            RoofState.BARE: section.bare_squares,
            RoofState.DRIED_IN: section.dried_in_squares,
            RoofState.SHINGLED: section.shingled_squares,
        }
        drawn: dict[RoofState, float] = dict.fromkeys(wanted, 0.0)
        for piece in slope.pieces:
            drawn[piece.state] += Polygon(piece.outline).area / whole.area * section.squares
        for state, squares in wanted.items():
            assert drawn[state] == pytest.approx(squares, abs=0.03)
        assert unary_union([Polygon(piece.outline).buffer(0.01) for piece in slope.pieces]).area >= whole.area * 0.999


def test_a_cut_runs_from_eave_to_ridge_at_its_true_place() -> None:
    """Half of a gable slope shingled: the cut stands in the middle of the eave and runs its whole depth."""
    drawing = draw(in_work(example_gable(), (0, 0, 0.5)))
    (cut,) = drawing.slopes[0].cuts
    xs = [x for x, _ in drawing.slopes[0].outline]
    assert cut[0][0] == pytest.approx((min(xs) + max(xs)) / 2, abs=0.1)
    assert cut[1][0] == pytest.approx(cut[0][0], abs=0.1)
    assert abs(cut[0][1] - cut[1][1]) == pytest.approx(15 * drawing.px_per_ft, abs=0.1)


def test_the_plate_names_bare_deck_wherever_it_lies() -> None:
    slope = draw(in_work(example_gable(), (0.1, 0, 0.6))).slopes[0]
    assert slope.state is RoofState.BARE
    assert slope.state_squares == pytest.approx(0.70436, abs=1e-4)
    assert draw(example_gable()).slopes[0].state is RoofState.OLD


def test_todays_line_encloses_todays_squares_a_foot_inside() -> None:
    roof = in_work(example_gable(), (0.2, 0, 0.3))
    first, second = draw(roof, marks=Marks({1: 1}, {1: 3.5})).slopes
    (outline,) = first.stop_outlines
    assert first.order == 1
    assert (second.order, second.stop_outlines) == (None, ())
    drawing = draw(roof)
    plan_ft2 = Polygon(outline).buffer(drawing.px_per_ft, join_style="mitre").area / drawing.px_per_ft**2
    assert plan_ft2 * 1.118034 / 100 == pytest.approx(3.5, abs=0.02)


def test_edges_carry_the_symbols_of_their_kind() -> None:
    drawing = draw(measured(ell(44, 30, 22, 16, 6, wing_offset_ft=4)))
    by_kind: dict[EdgeKind, list[object]] = {}
    for edge in drawing.edges:
        by_kind.setdefault(edge.kind, []).append(edge.marks)
    assert all(by_kind[EdgeKind.VALLEY])
    assert all(by_kind[EdgeKind.RAKE])
    assert not any(by_kind[EdgeKind.EAVE])
    assert drawing.edges[-1].kind is EdgeKind.EAVE


def test_rake_ticks_point_inward_and_valley_chevrons_down_the_water() -> None:
    roof = measured(ell(44, 30, 22, 16, 6, wing_offset_ft=4))
    drawing = draw(roof)
    house = unary_union([Polygon(slope.outline).buffer(0.01) for slope in drawing.slopes])
    for edge in drawing.edges:
        if edge.kind is EdgeKind.RAKE:
            assert all(house.contains(Point(tick[1])) for tick in edge.marks)
        if edge.kind is EdgeKind.VALLEY:
            # Both valleys of a wing in front drain to the south: down the page.
            assert all(mark[1][1] > mark[0][1] or mark[1][1] > mark[2][1] for mark in edge.marks)


def test_an_open_ridge_shows_its_gap_behind_what_is_finished() -> None:
    roof = example_gable()
    edges = tuple(replace(e, open_ft=8.0, finished_ft=20.0) if e.kind is EdgeKind.RIDGE else e for e in roof.edges)
    drawing = draw(replace(roof, edges=edges))
    (ridge,) = [edge for edge in drawing.edges if edge.kind is EdgeKind.RIDGE]
    (gap,) = ridge.gaps
    assert LineString(gap).length / drawing.px_per_ft == pytest.approx(8, abs=0.01)
    assert LineString([ridge.line[0], gap[0]]).length / drawing.px_per_ft == pytest.approx(20, abs=0.01)


def test_details_stand_at_their_place() -> None:
    detail = DetailMeasure(1, DetailKind.CHIMNEY, at_ft=(0.0, 0.0))
    drawing = draw(example_gable(details=(detail,)))
    xs = [x for slope in drawing.slopes for x, _ in slope.outline]
    assert drawing.details[0].at[0] == pytest.approx((min(xs) + max(xs)) / 2, abs=0.1)


def test_the_table_beside_it_sums_the_edges() -> None:
    sums = {row.kind: (row.count, row.length_ft) for row in draw(example_gable()).edge_sums}
    assert sums[EdgeKind.EAVE] == (2, pytest.approx(84))
    assert sums[EdgeKind.RAKE] == (4, pytest.approx(67.08, abs=0.005))
    assert EdgeKind.HIP not in sums


def test_a_roof_without_outlines_is_laid_out_from_its_lengths() -> None:
    sections = (
        SectionMeasure(1, "front slope", 6, 7.04, old_squares=7.04, eave_ft=42, run_ft=16.77),
        SectionMeasure(2, "back slope", 6, 7.04, old_squares=7.04, eave_ft=42),
        SectionMeasure(3, "porch", 3, 1.2, old_squares=1.2),
    )
    drawing: RoofDrawing = draw(RoofMeasure(1, sections))
    assert drawing.schematic
    assert drawing.north is None
    assert drawing.edges == ()
    for slope, section in zip(drawing.slopes, sections, strict=True):
        plan = Polygon(slope.outline).area / drawing.px_per_ft**2
        factor = 1.118034 if section.pitch_in_12 == 6 else 1.030776
        assert plan * factor / 100 == pytest.approx(section.squares, rel=1e-3)
    boxes = [Polygon(slope.outline) for slope in drawing.slopes]
    assert all(not a.intersects(b) for i, a in enumerate(boxes) for b in boxes[i + 1 :])


def test_everything_stays_on_the_page() -> None:
    for shape in SHAPES:
        drawing = draw(measured(shape), width_px=320, max_height_px=300)
        assert drawing.height <= 300
        for slope in drawing.slopes:
            assert all(0 <= x <= 320 and 0 <= y <= drawing.height for x, y in slope.outline)


def test_a_page_smaller_than_its_margins_is_refused() -> None:
    with pytest.raises(ValueError, match="too small"):
        draw(example_gable(), width_px=40)
