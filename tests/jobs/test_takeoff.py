"""The takeoff of a worked example, the ridge vent of a 40 ft ridge, and rules that hold for every roof."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.material_table import CONTAINERS, shingle_of
from jobs.roof_measure import (
    DetailKind,
    DetailMeasure,
    EdgeKind,
    EdgeMeasure,
    RoofMeasure,
    SectionMeasure,
    Underlayment,
)
from jobs.roof_shape import ell, gable, hip
from jobs.takeoff import ridge_vent, takeoff
from tests.factories.roofs import example_gable, measured


@pytest.mark.parametrize(("waste", "bundles"), [(0.05, 45), (0.10, 47), (0.12, 48), (0.15, 49)])
def test_bundles_of_the_worked_example(waste: float, bundles: int) -> None:
    """14.087 sq, 3 bundles a square (Estimating in Building Construction), rounded up to whole bundles."""
    line = takeoff(example_gable(), waste).line("shingles")
    assert line.order == bundles
    assert line.need == pytest.approx(14.0872 * (1 + waste), abs=0.0005)


def test_waste_follows_the_shape() -> None:
    """Gable 8-10 %, hip 12-15 %, cut-up 15-20 %: common practice, no source."""
    assert takeoff(example_gable()).waste_share == pytest.approx(0.10)
    assert 0.12 <= takeoff(measured(hip(40, 28, 6))).waste_share <= 0.15
    assert 0.15 <= takeoff(measured(ell(40, 28, 20, 16, 6), cut_up="cut_up")).waste_share <= 0.20
    assert takeoff(example_gable()).line("shingles").need == pytest.approx(15.496, abs=0.0005)


def test_drip_edge_is_counted_run_by_run() -> None:
    """2 eaves of 42 ft take 5 sticks each and 4 rakes of 16.77 ft take 2 each; the sum divided would say 16.

    Laps of 2 in: 2018 IRC R905.2.8.5.
    """
    line = takeoff(example_gable()).line("drip_edge")
    assert line.order == 18
    assert line.need == pytest.approx(151.08, abs=0.005)


def test_ice_barrier_of_the_worked_example() -> None:
    """12 in overhang and 6.5 in wall: 2 courses x 2 eaves = 168 ft of 36 in roll (2018 IRC R905.1.2)."""
    line = takeoff(example_gable()).line("ice_barrier")
    assert line.need == pytest.approx(168)
    assert line.order == 3


@pytest.mark.parametrize(
    ("kind", "rolls"), [(Underlayment.FELT_15, 3), (Underlayment.FELT_30, 5), (Underlayment.SYNTHETIC, 2)]
)
def test_underlayment_of_the_worked_example(kind: Underlayment, rolls: int) -> None:
    """1408.72 less 476 sq ft of ice barrier = 932.7 sq ft."""
    line = takeoff(example_gable(underlayment=kind)).line("underlayment")
    assert line.need == pytest.approx(932.7, abs=0.05)
    assert line.order == rolls


def test_field_nails_of_the_worked_example() -> None:
    """Strip shingles of 12 x 36 in: 80 a square, 4 nails each (2018 IRC R905.2.6), 10 % waste: 4959."""
    line = takeoff(example_gable(product_line="strip, invented")).line("nails_field")
    drip_edge_nails = 2 * (42 + 1) + 4 * (17 + 1)
    assert line.need == 4959 + drip_edge_nails
    assert line.order == 1


def test_metric_laminates_take_260_nails_a_square() -> None:
    """39-3/8 in wide with 5-5/8 in exposure: 65.02 a square."""
    kind = shingle_of("laminate 30, invented")
    assert kind.pieces_per_square == pytest.approx(65.02, abs=0.005)
    assert round(kind.pieces_per_square * 4) == 260


@pytest.mark.parametrize(
    ("ridge_ft", "sections", "last_in", "nails"),
    [(24, 6, 47.375, 60), (36, 9, 47.0, 90), (40, 10, 46.875, 100), (42, 11, 22.75, 110)],
)
def test_ridge_vent(ridge_ft: float, sections: int, last_in: float, nails: int) -> None:
    """4 ft sections, 1/8 in gaps, 10 nails each: 40 ft take 10 sections, 100 nails, the last cut to 46-7/8 in.

    Common practice, no source.
    """
    vent = ridge_vent(ridge_ft)
    assert (vent.sections, vent.nails) == (sections, nails)
    assert vent.last_section_in == pytest.approx(last_in)


@given(st.floats(0.5, 400))
def test_vent_sections_and_gaps_fill_the_ridge(ridge_ft: float) -> None:
    vent = ridge_vent(ridge_ft)
    assert 0 < vent.last_section_in <= 48 + 1e-6
    # What is left at the end is at most one gap.
    left_in = ridge_ft * 12 - ((vent.sections - 1) * 48.125 + vent.last_section_in)
    assert -1e-6 <= left_in <= 0.125 + 1e-6


def test_a_rest_of_less_than_a_gap_takes_no_section_of_its_own() -> None:
    assert ridge_vent(3 * 48.125 / 12).sections == 3


@pytest.mark.parametrize(("ridge_ft", "caps", "nails"), [(24, 58, 232), (36, 87, 348), (40, 96, 384), (42, 101, 404)])
def test_caps_and_their_nails(ridge_ft: float, caps: int, nails: int) -> None:
    """5 in exposure, 4 nails a cap: common practice, no source."""
    roof = measured(gable(ridge_ft - 2, 28, 6))
    lines = takeoff(roof)
    assert lines.line("nails_caps").need == nails
    assert f"{caps} pieces" in lines.line("caps").how


def test_nails_of_field_caps_and_vent_are_never_mixed() -> None:
    lines = takeoff(example_gable())
    kinds = [lines.line(item).label for item in ("nails_field", "nails_caps", "nails_vent")]
    assert len(set(kinds)) == 3
    assert lines.line("nails_vent").label.startswith("3 in")


def test_debris_of_the_worked_example() -> None:
    """300 lb per square and layer (published range 250-400)."""
    one, two = takeoff(example_gable()), takeoff(example_gable(layers=2))
    assert one.debris_lb == pytest.approx(14.0872 * 300, abs=0.05)
    assert two.debris_lb == pytest.approx(2 * one.debris_lb)
    assert 5.6 <= one.debris.volume_yd3 <= 7.05
    assert one.container_yd3 == 15


def test_weight_governs_the_container() -> None:
    """25 squares fit a 20 yd container of one layer; two layers weigh twice as much and need more."""
    roof = RoofMeasure(1, (SectionMeasure(1, "front slope", 6, 24.0),))
    heavy = RoofMeasure(1, (SectionMeasure(1, "front slope", 6, 24.0),), layers=3)
    assert takeoff(roof).debris.containers == 1
    debris = takeoff(heavy).debris
    assert debris.containers == 2
    assert debris.weight_lb / debris.containers <= CONTAINERS[-1].lb


@given(st.floats(0.5, 300), st.integers(1, 5))
def test_debris_always_fits_its_containers(squares: float, layers: int) -> None:
    debris = takeoff(RoofMeasure(1, (SectionMeasure(1, "s", 6, squares),), layers=layers)).debris
    limit = next(c for c in CONTAINERS if c.yd3 == debris.container_yd3)
    assert debris.weight_lb <= limit.lb * debris.containers + 1e-6
    assert debris.volume_yd3 <= limit.yd3 * debris.containers + 1e-6
    assert debris.container_yd3 <= 30


def edges_with(eave: float, rake: float, ridge: float, valley: float) -> tuple[EdgeMeasure, ...]:
    wanted = ((EdgeKind.EAVE, eave), (EdgeKind.RAKE, rake), (EdgeKind.RIDGE, ridge), (EdgeKind.VALLEY, valley))
    return tuple(
        EdgeMeasure(i, kind, length, 1, vented=kind is EdgeKind.RIDGE) for i, (kind, length) in enumerate(wanted, 1)
    )


feet = st.floats(1, 150)


def roof_of(squares: float, edges: tuple[EdgeMeasure, ...], pitch: float = 6) -> RoofMeasure:
    return RoofMeasure(1, (SectionMeasure(1, "front slope", pitch, squares, eave_ft=10, run_ft=10),), edges)


@given(st.floats(1, 80), st.floats(0, 40), feet, feet, feet, feet, st.floats(2, 24))
def test_with_edges_fixed_no_line_falls_as_the_area_grows(
    squares: float, more: float, eave: float, rake: float, ridge: float, valley: float, pitch: float
) -> None:
    edges = edges_with(eave, rake, ridge, valley)
    small, large = takeoff(roof_of(squares, edges, pitch)), takeoff(roof_of(squares + more, edges, pitch))
    for line in small.lines:
        assert large.line(line.item).order >= line.order
        assert large.line(line.item).need >= line.need - 1e-9
    assert large.debris_lb >= small.debris_lb


EDGE_LINES = ("starter", "caps", "ice_barrier", "valley_lining", "drip_edge", "ridge_vent", "nails_caps", "nails_vent")


@given(st.floats(1, 80), st.tuples(feet, feet, feet, feet), st.integers(0, 3), st.floats(0, 60))
def test_with_the_area_fixed_no_edge_line_falls_as_its_edge_grows(
    squares: float, lengths: tuple[float, float, float, float], which: int, more: float
) -> None:
    longer = [length + (more if i == which else 0) for i, length in enumerate(lengths)]
    before, after = takeoff(roof_of(squares, edges_with(*lengths))), takeoff(roof_of(squares, edges_with(*longer)))
    for item in EDGE_LINES:
        assert after.line(item).order >= before.line(item).order


def test_details_are_ordered_by_the_piece() -> None:
    roof = measured(
        gable(40, 28, 6),
        details=(
            DetailMeasure(1, DetailKind.PIPE_BOOT, 3),
            DetailMeasure(2, DetailKind.STEP_FLASHING, 1, 10.0),
        ),
    )
    lines = takeoff(roof)
    assert lines.line("pipe_boots").order == 3
    assert lines.line("step_flashing").order == 24
    with pytest.raises(KeyError):
        lines.line("skylight_flashing")


def test_a_roof_of_plain_quantities_uses_the_eaves_of_its_sections() -> None:
    roof = RoofMeasure(1, (SectionMeasure(1, "front slope", 6, 7.0, eave_ft=42, run_ft=16.8),))
    lines = takeoff(roof)
    assert lines.line("ice_barrier").need == pytest.approx(84)
    assert lines.line("drip_edge").order == 5


def test_every_line_says_how_it_was_computed_and_weighs_something_if_ordered() -> None:
    result = takeoff(measured(ell(40, 28, 20, 16, 6)))
    assert all(line.how for line in result.lines)
    assert all(line.weight_lb > 0 for line in result.lines if line.order)
    # 18.02 sq of laminate at 250 lb alone weigh 4500 lb.
    assert 4500 < result.weight_lb < 7000
    assert result.pallets == 2


def test_a_negative_waste_is_refused() -> None:
    with pytest.raises(ValueError, match="The waste must not be negative"):
        takeoff(example_gable(), -0.1)
