"""Heat index, wind chill and dew point against published tables and MetPy."""

import math

import numpy as np
import pytest
from metpy.calc import dewpoint_from_relative_humidity, heat_index, windchill
from metpy.units import units

from weather.comfort import NWS_BANDS, OSHA_BANDS, band_of, dew_point_c, heat_index_f, wind_chill_f

# NWS heat index table (whole degrees): air F, humidity %, printed index. The table is the regression without its two
# adjustments. At 90 F and 45 % it prints 93 where the regression gives 92.49: allowed to differ by one.
NWS_HEAT_TABLE = [
    (80, 40, 80), (80, 90, 86), (82, 90, 91), (84, 95, 100), (88, 75, 103), (90, 50, 95), (90, 60, 100),
    (90, 70, 106), (90, 80, 113), (96, 65, 121), (100, 40, 109), (110, 40, 136),
]  # fmt: skip

# NWS wind chill chart 2001: air F, wind mph, printed wind chill.
NWS_CHILL_CHART = [
    (40, 5, 36), (40, 20, 30), (35, 15, 25), (30, 10, 21), (30, 20, 17), (30, 50, 12), (20, 10, 9), (20, 20, 4),
    (15, 30, -5), (10, 15, -7), (0, 5, -11), (0, 15, -19), (0, 30, -26), (-10, 20, -35), (-20, 15, -45), (-45, 60, -98),
]  # fmt: skip


@pytest.mark.parametrize(("air_f", "humidity", "printed"), NWS_HEAT_TABLE)
def test_the_heat_index_prints_as_the_nws_table(air_f: float, humidity: float, printed: int) -> None:
    assert round(float(heat_index_f(air_f, humidity / 100, adjusted=False))) == printed


def test_the_one_cell_of_the_nws_table_that_its_own_equation_misses_is_within_one_degree() -> None:
    assert float(heat_index_f(90.0, 0.45)) == pytest.approx(93, abs=1.0)


def test_the_heat_index_equals_metpy_with_both_adjustments() -> None:
    """MetPy 1.7.1 switches to the regression from 79 F of the simple form; both agree elsewhere."""
    for air_f, humidity in [(70, 50), (75, 60), (82, 90), (84, 95), (86, 88), (95, 10), (104, 12), (90, 70), (110, 40)]:
        theirs = heat_index(air_f * units.degF, humidity * units.percent, mask_undefined=False).to("degF").magnitude
        assert float(heat_index_f(air_f, humidity / 100)) == pytest.approx(float(np.ravel(theirs)[0]), abs=1e-3)


def test_the_adjustments_work_in_opposite_directions() -> None:
    """NWS WPC: below 13 % humidity the regression is lowered, above 85 % raised."""
    assert heat_index_f(95.0, 0.10) < heat_index_f(95.0, 0.10, adjusted=False)
    assert float(heat_index_f(82.0, 0.90) - heat_index_f(82.0, 0.90, adjusted=False)) == pytest.approx(0.5)


@pytest.mark.parametrize(("air_f", "wind_mph", "printed"), NWS_CHILL_CHART)
def test_the_wind_chill_prints_as_the_nws_chart(air_f: float, wind_mph: float, printed: int) -> None:
    assert round(float(wind_chill_f(air_f, wind_mph))) == printed


def test_the_wind_chill_lies_within_a_tenth_of_metpys_metric_form() -> None:
    for air_f, wind_mph, _ in NWS_CHILL_CHART:
        theirs = windchill(air_f * units.degF, wind_mph * units.mph, mask_undefined=False).to("degF").magnitude
        assert float(wind_chill_f(air_f, wind_mph)) == pytest.approx(float(np.ravel(theirs)[0]), abs=0.1)


@pytest.mark.parametrize(("air_f", "wind_mph"), [(55, 10), (40, 3), (40, 0), (math.nan, 10), (30, math.nan)])
def test_outside_its_range_there_is_no_wind_chill(air_f: float, wind_mph: float) -> None:
    assert math.isnan(float(wind_chill_f(air_f, wind_mph)))


@pytest.mark.parametrize(("air_f", "humidity"), [(30, 80), (40, 90), (50, 95), (60, 85), (70, 50), (80, 60), (90, 70)])
def test_the_dew_point_lies_within_a_tenth_of_metpy(air_f: float, humidity: float) -> None:
    theirs = dewpoint_from_relative_humidity(air_f * units.degF, humidity * units.percent).to("degF").magnitude
    ours_f = float(dew_point_c((air_f - 32) / 1.8, humidity / 100)) * 1.8 + 32
    assert ours_f == pytest.approx(float(np.ravel(theirs)[0]), abs=0.1)


def test_an_unknown_humidity_gives_no_dew_point_and_no_heat_index() -> None:
    assert math.isnan(float(dew_point_c(10.0, math.nan)))
    assert math.isnan(float(dew_point_c(10.0, 0.0)))
    assert math.isnan(float(heat_index_f(90.0, math.nan)))


def test_bands_are_named_by_their_own_scale() -> None:
    """NWS 80/90/103/125; OSHA employer guide 91/103/115."""
    assert [band_of(value, NWS_BANDS).name for value in (80, 90, 103, 125)] == [  # type: ignore[union-attr]
        "caution", "extreme caution", "danger", "extreme danger",
    ]  # fmt: skip
    assert [band_of(value, OSHA_BANDS).name for value in (85, 91, 103, 116)] == [  # type: ignore[union-attr]
        "lower", "moderate", "high", "very high",
    ]  # fmt: skip
    assert band_of(79.9, NWS_BANDS) is None
    assert band_of(math.nan, OSHA_BANDS) is None
