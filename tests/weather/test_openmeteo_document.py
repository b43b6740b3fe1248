"""The Open-Meteo forecast document becomes the same hourly table, one hour earlier where a stamp ends its hour."""

import json
import math
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from weather.hourly import Hourly
from weather.parsing import UnreadableForecast, openmeteo
from weather.sources import recorded

SAVED = Path(__file__).parents[2] / "fixtures" / "weather" / "openmeteo_forecast.json"
NOON = datetime(2026, 5, 4, 12, tzinfo=UTC)
UNITS = {
    "time": "unixtime", "temperature_2m": "°C", "wind_speed_10m": "m/s", "wind_gusts_10m": "m/s", "precipitation": "mm",
    "precipitation_probability": "%", "snowfall": "cm", "weather_code": "wmo code",
}  # fmt: skip


def document(n_stamps: int = 5, units: dict[str, str] | None = None, **variables: Any) -> dict[str, Any]:
    usual = {
        "time": [int(NOON.timestamp()) + 3600 * hour for hour in range(n_stamps)],
        "temperature_2m": [10.0 + hour for hour in range(n_stamps)],
        "wind_speed_10m": [5.0] * n_stamps,
        "wind_gusts_10m": [8.0 + hour for hour in range(n_stamps)],
        "precipitation": [0.1 * hour for hour in range(n_stamps)],
        "precipitation_probability": [10 * hour for hour in range(n_stamps)],
    }
    return {
        "utc_offset_seconds": 0,
        "hourly_units": UNITS | (units or {}),
        "hourly": {name: values for name, values in (usual | variables).items() if values is not None},
    }


def read(n_stamps: int = 5, units: dict[str, str] | None = None, **variables: Any) -> Hourly:
    return openmeteo.read(json.dumps(document(n_stamps, units, **variables)))


def test_a_stamp_that_ends_its_hour_belongs_to_the_hour_before() -> None:
    """Open-Meteo documentation: sums, maxima and probabilities are of the preceding hour, the rest are instants."""
    table = read()
    assert (table.start, table.n_hours) == (NOON, 4)
    assert table.air_temp_c.tolist() == [10, 11, 12, 13]
    assert table.gust_ms.tolist() == [9, 10, 11, 12]
    assert table.pop.tolist() == pytest.approx([0.1, 0.2, 0.3, 0.4])
    assert table.qpf_mm.tolist() == pytest.approx([0.1, 0.2, 0.3, 0.4])


def test_the_saved_document_reads_as_the_weather_it_was_made_from() -> None:
    truth = recorded.hourly("westmere-storm", 44.95, -93.09, NOON, "America/Chicago").rows(7, 7 + 48)
    table = openmeteo.read(SAVED.read_bytes(), NOON)
    for name in ("air_temp_c", "wind_ms", "gust_ms", "pop", "qpf_mm", "sky_cover"):
        assert getattr(table, name) == pytest.approx(getattr(truth, name), abs=1e-3), name
    likely = [row for row in range(48) if truth.pop[row] >= 0.2]
    assert [table.wx[row] for row in likely] == [truth.wx[row] for row in likely]
    assert frozenset({"thunderstorms"}) in table.wx
    assert "Open-Meteo" in table.attribution


def test_beyond_a_day_and_a_half_a_chance_speaks_of_six_hours() -> None:
    period = openmeteo.read(SAVED.read_bytes(), NOON).pop_period_h
    assert period[35] == 1
    assert period[36] == 6


def test_the_table_starts_with_the_hour_that_holds_now() -> None:
    table = openmeteo.read(json.dumps(document()), NOON + timedelta(hours=2, minutes=40))
    assert table.start == NOON + timedelta(hours=2)
    assert table.air_temp_c[0] == 12


def test_local_stamps_have_their_one_offset_taken_off() -> None:
    local = document(units={"time": "iso8601"}, time=[f"2026-05-04T{hour:02}:00" for hour in range(7, 12)])
    assert openmeteo.read(json.dumps(local | {"utc_offset_seconds": -18000})).start == NOON


def test_units_are_checked_and_converted() -> None:
    table = read(
        units={"temperature_2m": "°F", "wind_gusts_10m": "km/h", "precipitation": "inch"},
        temperature_2m=[50.0] * 5, wind_gusts_10m=[36.0] * 5, precipitation=[0.1] * 5, snowfall=[1.0] * 5,
    )  # fmt: skip
    assert (table.air_temp_c[0], table.gust_ms[0]) == (pytest.approx(10), pytest.approx(10))
    assert (table.qpf_mm[0], table.snow_mm[0]) == (pytest.approx(2.54), pytest.approx(10))
    with pytest.raises(UnreadableForecast, match="temperature_2m has the unknown unit 'furlong'"):
        read(units={"temperature_2m": "furlong"})


def test_a_variable_that_the_model_lacks_is_unknown() -> None:
    table = read(units={"wind_gusts_10m": "undefined"}, wind_gusts_10m=[None] * 5)
    assert np.isnan(table.gust_ms).all()
    assert "missing:gust_ms" in table.flags[0]
    assert "missing:thunder_p" in table.flags[0]


def test_nulls_at_the_end_stay_unknown() -> None:
    table = read(precipitation_probability=[0, 10, 20, None, None])
    assert np.isnan(table.pop[2:]).all()
    assert np.isnan(table.pop_period_h[2:]).all()
    assert "null:pop" in table.flags[3]


def test_negative_rain_is_unknown_and_flagged() -> None:
    table = read(precipitation=[0, 0, 0, 0, -0.3])
    assert math.isnan(table.qpf_mm[3])
    assert "negative_rain" in table.flags[3]


def test_a_gust_below_the_wind_is_lifted_to_it() -> None:
    table = read(wind_gusts_10m=[0.0] * 5)
    assert table.gust_ms.tolist() == [5.0] * 4


def test_a_thunder_code_needs_rain_or_a_chance_of_it_beside_it() -> None:
    table = read(
        weather_code=[95, 95, 95, 3, 3], precipitation=[0, 0, 0.4, 0, 0], precipitation_probability=[0, 0, 0, 30, 0]
    )
    assert [bool(words) for words in table.wx] == [False, True, True, False]
    assert "thunder_code_without_rain" in table.flags[0]


def test_an_answer_for_several_places_is_told_by_its_order_and_number() -> None:
    body = json.dumps([document(), document(temperature_2m=[30.0] * 5)])
    assert openmeteo.read(body, location=1, n_locations=2).air_temp_c[0] == 30
    with pytest.raises(UnreadableForecast, match="2 locations instead of 3"):
        openmeteo.read(body, n_locations=3)


@pytest.mark.parametrize(
    ("body", "words"),
    [
        ("", "empty"),
        ('{"error": true, "reason": "Daily API request limit exceeded"}', "Daily API request limit"),
        (json.dumps(document()) + "Unexpected error while streaming data", "cut off"),
        (json.dumps(document(time=[1, 2, 3, 4, 5])), "do not follow"),
        (json.dumps(document(time=None)), "no hours"),
        (json.dumps(document(time=["a"] * 5)), "cannot be read"),
        (json.dumps(document(precipitation=[0.0] * 4)), "precipitation does not hold 5"),
        ("[3]", "no forecast"),
        ('{"hourly": 3}', "no 'hourly'"),
    ],
)
def test_what_is_no_forecast_is_refused_in_words(body: str, words: str) -> None:
    with pytest.raises(UnreadableForecast, match=words):
        openmeteo.read(body)


def test_a_forecast_that_ended_is_refused() -> None:
    with pytest.raises(UnreadableForecast, match="The forecast ended"):
        openmeteo.read(json.dumps(document()), NOON + timedelta(hours=4))
