"""Pitch and hip factors against the printed table of roof framing handbooks."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.roof_shape import hip_factor, measured_pitch_factor, pitch_degrees, pitch_factor

# Roof framing tables as printed in carpentry handbooks: pitch in 12, slope factor, hip or valley factor, degrees,
# inches of rafter per foot of run.
TABLE = [
    (2, 1.0138, 1.4240, 9.46, 12.166),
    (3, 1.0308, 1.4361, 14.04, 12.369),
    (4, 1.0541, 1.4530, 18.43, 12.649),
    (5, 1.0833, 1.4743, 22.62, 13.000),
    (6, 1.1180, 1.5000, 26.57, 13.416),
    (7, 1.1577, 1.5298, 30.26, 13.892),
    (8, 1.2019, 1.5635, 33.69, 14.422),
    (9, 1.2500, 1.6008, 36.87, 15.000),
    (10, 1.3017, 1.6415, 39.81, 15.620),
    (11, 1.3566, 1.6853, 42.51, 16.279),
    (12, 1.4142, 1.7321, 45.00, 16.971),
    (13, 1.4743, 1.7815, 47.29, 17.692),
    (14, 1.5366, 1.8333, 49.40, 18.439),
    (15, 1.6008, 1.8875, 51.34, 19.209),
    (16, 1.6667, 1.9437, 53.13, 20.000),
    (17, 1.7341, 2.0017, 54.78, 20.809),
    (18, 1.8028, 2.0616, 56.31, 21.633),
]


@pytest.mark.parametrize(("pitch", "slope", "hip", "degrees", "inches"), TABLE)
def test_factors_are_those_of_the_printed_table(
    pitch: float, slope: float, hip: float, degrees: float, inches: float
) -> None:
    assert pitch_factor(pitch) == pytest.approx(slope, abs=5e-5)
    assert hip_factor(pitch) == pytest.approx(hip, abs=5e-5)
    assert pitch_degrees(pitch) == pytest.approx(degrees, abs=5e-3)
    assert pitch_factor(pitch) * 12 == pytest.approx(inches, abs=5e-4)


def test_whole_triangles_are_exact() -> None:
    # 5-12-13, 3-4-5 and 12-16-20 triangles.
    assert pitch_factor(5) == pytest.approx(13 / 12, abs=1e-15)
    assert pitch_factor(9) == 1.25
    assert pitch_factor(16) == pytest.approx(5 / 3, abs=1e-15)
    assert hip_factor(6) == 1.5


def test_the_ends_of_the_range_are_roofs() -> None:
    assert pitch_factor(0) == 1.0
    assert pitch_factor(24) == pytest.approx(math.sqrt(5))


@pytest.mark.parametrize("pitch", [40, 24.01, -1, math.nan, math.inf])
def test_what_is_no_roof_is_refused_with_its_pitch(pitch: float) -> None:
    with pytest.raises(ValueError, match=r"/12 is not a roof: it must lie between 0/12 and 24/12"):
        pitch_factor(pitch)


@given(st.floats(0, 24))
def test_the_hip_factor_is_the_diagonal_of_run_and_rafter(pitch: float) -> None:
    assert hip_factor(pitch) == pytest.approx(math.hypot(1, pitch_factor(pitch)))


def test_a_measured_area_gives_its_factor_back() -> None:
    assert measured_pitch_factor(1408.72, 1260) == pytest.approx(pitch_factor(6), abs=5e-5)
    with pytest.raises(ValueError, match="cannot be smaller"):
        measured_pitch_factor(1200, 1260)
