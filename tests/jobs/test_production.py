"""Labor-hours of a worked example, line by line, and how the multipliers act."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.phases import Phase
from jobs.production import barrier_squares, phase_hours
from jobs.production_table import (
    CUT_UP_FACTORS,
    DEFAULT_RATES,
    ESTIMATE_SET_UP_SHARE,
    RATES,
    Rate,
    RateTable,
    pitch_labor_factor,
)
from jobs.roof_measure import DetailKind, DetailMeasure, EdgeKind, Underlayment
from jobs.roof_shape import ell, gable, hip
from tests.factories.roofs import example_gable, measured

# The worked example counts no slot cut; the slot rate is common practice and comes on top.
BOOK_RATES = DEFAULT_RATES.with_rates(slot_cut=0.0)


def test_the_worked_example_line_by_line() -> None:
    """14.087 sq gable at 6/12, one layer, nail gun, felt #15, two deck sheets.

    Rates: building construction cost data, CSI 07 05 05.10 / 07 31 13.10 / 07 72 26.10 / 06 16 36.10, and the national
    home-improvement estimating book 2018; deck check: common practice, no source.
    """
    roof = example_gable(underlayment=Underlayment.FELT_15)
    hours = phase_hours(roof, BOOK_RATES)
    by_label: dict[str, float] = {}
    for section in hours.sections:
        for line in (line for lines in section.lines.values() for line in lines):
            by_label[line.label] = by_label.get(line.label, 0.0) + line.labor_hours
    assert by_label["old shingles"] == pytest.approx(16.10, abs=0.005)
    assert by_label["old felt"] == pytest.approx(1.61, abs=0.005)
    assert by_label["old ridge vent"] == pytest.approx(1.09, abs=0.005)
    assert by_label["old drip edge"] == pytest.approx(1.21, abs=0.005)
    assert by_label["sweep, re-nail, check"] + by_label["sheets allowance"] == pytest.approx(3.84, abs=0.005)
    assert by_label["ice barrier"] == pytest.approx(1.73, abs=0.005)
    assert by_label["drip edge"] == pytest.approx(3.02, abs=0.005)
    assert by_label["underlayment"] == pytest.approx(1.17, abs=0.005)
    assert by_label["shingles"] == pytest.approx(20.03, abs=0.005)
    ridge = {line.label: line.labor_hours for line in hours.ridges[0].lines}
    assert ridge["ridge vent"] == pytest.approx(2.10, abs=0.005)
    assert ridge["caps"] == pytest.approx(0.80, abs=0.005)
    assert hours.labor_hours == pytest.approx(52.70, abs=0.005)
    assert hours.labor_hours / roof.squares == pytest.approx(3.741, abs=0.0005)


def test_the_worked_example_with_the_estimators_share_for_set_up() -> None:
    """+15 % (common practice, no source) is a check of an estimate; the plan counts set-up and clean-up as steps."""
    hours = phase_hours(example_gable(underlayment=Underlayment.FELT_15), BOOK_RATES).labor_hours
    assert hours * (1 + ESTIMATE_SET_UP_SHARE) == pytest.approx(60.60, abs=0.01)


def test_opening_and_closing_a_square_of_the_example() -> None:
    """Tear-off through dry-in without the old vent: 2.036 h per square, with it 2.113."""
    roof = example_gable(underlayment=Underlayment.FELT_15)
    hours = phase_hours(roof, BOOK_RATES)
    opening = (Phase.TEAR_OFF, Phase.DECK, Phase.ICE_BARRIER, Phase.UNDERLAYMENT)
    per_square = sum(hours.phase_labor_hours(phase) for phase in opening) / roof.squares
    assert per_square == pytest.approx(2.113, abs=0.001)
    without_vent = phase_hours(roof, BOOK_RATES.with_rates(remove_ridge_vent=0.0))
    assert sum(without_vent.phase_labor_hours(p) for p in opening) / roof.squares == pytest.approx(2.036, abs=0.001)


def test_two_layers_take_the_published_rate() -> None:
    """1750 sq ft a day for five: 2.286 h per square (CSI 07 05 05.10), felt on top."""
    one, two = (phase_hours(example_gable(layers=n)).phase_labor_hours(Phase.TEAR_OFF) for n in (1, 2))
    assert two - one == pytest.approx(1.143 * 14.0872, abs=0.001)


@pytest.mark.parametrize(
    ("pitch", "factor"),
    [
        (0, 1),
        (6, 1),
        (6.5, 1.125),
        (7, 1.25),
        (8, 1.35),
        (9, 1.5),
        (10, 1.6),
        (11, 1.75),
        (12, 1.9),
        (12.1, 2.2),
        (24, 2.2),
    ],
)
def test_pitch_multiplies_labor_by_the_table(pitch: float, factor: float) -> None:
    assert pitch_labor_factor(pitch) == pytest.approx(factor)


def test_the_mean_from_7_to_12_is_the_published_step() -> None:
    """The books add 50 % at 7/12 and steeper (CSI 07 31 13.10); our finer table has a mean of 1.56."""
    assert sum(pitch_labor_factor(p) for p in range(7, 13)) / 6 == pytest.approx(1.56, abs=0.005)


@given(st.floats(0, 24), st.floats(0, 24))
def test_a_steeper_roof_never_takes_less_labor(a: float, b: float) -> None:
    low, high = sorted((a, b))
    assert pitch_labor_factor(low) <= pitch_labor_factor(high) + 1e-12


def test_storeys_and_cut_up_multiply_everything_up_there() -> None:
    base = phase_hours(example_gable()).labor_hours
    assert phase_hours(example_gable(storeys=2)).labor_hours == pytest.approx(base * 1.08)
    assert phase_hours(example_gable(cut_up="very_cut_up")).labor_hours == pytest.approx(base * 1.4)


def test_carried_debris_slows_the_tear_off_only() -> None:
    base, carried = phase_hours(example_gable()), phase_hours(example_gable(debris_carry=True))
    assert carried.phase_labor_hours(Phase.TEAR_OFF) == pytest.approx(base.phase_labor_hours(Phase.TEAR_OFF) * 1.25)
    assert carried.phase_labor_hours(Phase.FIELD) == base.phase_labor_hours(Phase.FIELD)


def test_the_ice_barrier_counts_by_what_it_covers() -> None:
    """2 courses cover 68 in of 84 ft of eave: 4.76 squares."""
    roof = example_gable()
    assert sum(barrier_squares(roof, s) for s in roof.sections) == pytest.approx(4.76)
    none = example_gable(ice_barrier_required=False)
    assert phase_hours(none).phase_labor_hours(Phase.ICE_BARRIER) == 0


def test_below_4_in_12_the_underlayment_is_laid_twice() -> None:
    low, steep = measured(gable(40, 28, 3.9)), measured(gable(40, 28, 4.0))

    def papered(roof: object) -> float:
        hours = phase_hours(roof)  # type: ignore[arg-type]
        lines = [line for s in hours.sections for line in s.lines[Phase.UNDERLAYMENT] if line.label == "underlayment"]
        return sum(line.quantity for line in lines)

    assert papered(low) == pytest.approx(2 * papered(steep), rel=0.01)


def test_details_are_owed_before_dried_in_or_made_with_the_shingles() -> None:
    roof = measured(
        ell(40, 28, 20, 16, 6),
        details=(
            DetailMeasure(1, DetailKind.CHIMNEY, 1, section_id=2),
            DetailMeasure(2, DetailKind.PIPE_BOOT, 2, section_id=2),
            DetailMeasure(3, DetailKind.STEP_FLASHING, 1, 10.0),
        ),
    )
    hours = phase_hours(roof)
    back, wing = hours.section(2), hours.section(3)
    # Back slope: seals of three pieces before rain; chimney 4 h and boots 2 x 0.5 h with the shingles.
    assert back.detail_closing_labor_hours == pytest.approx(0.3)
    assert back.detail_field_labor_hours == pytest.approx(5.0 + 0.6 * roof.section(2).squares / roof.squares)
    # Half of one valley belongs to each plane at it.
    assert wing.detail_closing_labor_hours == pytest.approx(16.5 / 2 * 0.03)
    assert sum(s.detail_field_labor_hours for s in hours.sections) == pytest.approx(5.6)


def test_hips_get_caps_and_no_vent() -> None:
    roof = measured(hip(40, 28, 6))
    by_id = {edge.edge_id: edge.kind for edge in roof.edges}
    per_ft = {by_id[ridge.edge_id]: ridge.labor_hours_per_ft for ridge in phase_hours(roof).ridges}
    assert per_ft[EdgeKind.HIP] == pytest.approx(0.019)
    assert per_ft[EdgeKind.RIDGE] == pytest.approx(0.050 + 0.019 + 0.020)


def test_an_open_slot_is_covered_in_two_minutes_a_10_ft_by_two_people() -> None:
    ridge = phase_hours(example_gable()).ridges[0]
    assert ridge.cover_labor_hours_per_ft * 10 * 60 == pytest.approx(4.0)


def test_hours_of_the_roof_are_those_of_its_parts() -> None:
    hours = phase_hours(measured(ell(40, 28, 20, 16, 9), storeys=2, cut_up="cut_up"))
    by_phase = sum(hours.phase_labor_hours(phase) for phase in Phase)
    by_part = sum(s.labor_hours for s in hours.sections) + sum(r.labor_hours for r in hours.ridges)
    assert by_phase == pytest.approx(by_part)
    assert hours.labor_hours == pytest.approx(by_part)


def test_every_rate_names_its_source() -> None:
    for name, rate in RATES.items():
        assert any(word in rate.source for word in ("CSI", "estimating book", "common practice")), name
    assert DEFAULT_RATES.with_rates(field=1.6).rates["field"].source == "contractor's own figure"


def test_nonsense_rates_are_refused() -> None:
    with pytest.raises(ValueError, match="must not be negative"):
        Rate(-1, "sq", "")
    with pytest.raises(ValueError, match="lacks"):
        RateTable({}, {1: 1.0}, CUT_UP_FACTORS)
    with pytest.raises(ValueError, match="“wild” is not a cut-up"):
        phase_hours(example_gable(cut_up="wild"))
