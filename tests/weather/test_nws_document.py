"""The weather service's raw grid document becomes an hourly table, or is refused in words. All documents invented."""

import math
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from tests.weather.grid_documents import as_bytes, from_hourly, grid, layer
from weather.hourly import Hourly
from weather.parsing import UnreadableForecast, nws
from weather.sources import recorded

FIXTURES = Path(__file__).parents[2] / "fixtures" / "weather"
ISSUED = datetime(2026, 5, 4, 12, tzinfo=UTC)
DAY = "2026-05-04T"


def at(hour: int, length: str) -> str:
    return f"{DAY}{hour:02}:00:00+00:00/{length}"


def document(**layers: Any) -> dict[str, Any]:
    """Ten mild hours from noon UTC; keyword arguments replace layers, None leaves one out."""
    holds = at(12, "PT10H")
    usual = {
        "temperature": layer("temperature", [(holds, 15.0)]),
        "windSpeed": layer("windSpeed", [(holds, 18.52)]),
        "windGust": layer("windGust", [(holds, 37.04)]),
        "probabilityOfPrecipitation": layer("probabilityOfPrecipitation", [(holds, 20)]),
        "quantitativePrecipitation": layer("quantitativePrecipitation", [(at(12, "PT6H"), 3.0)]),
    }
    return grid({name: body for name, body in (usual | layers).items() if body is not None})


def read(now: datetime | None = None, **layers: Any) -> Hourly:
    return nws.read(as_bytes(document(**layers)), now)


def pop_layer(*values: tuple[str, Any]) -> dict[str, Any]:
    return layer("probabilityOfPrecipitation", values)


def test_units_become_those_of_the_table() -> None:
    table = read()
    assert table.n_hours == 10
    assert table.start == table.issued_at == ISSUED
    assert table.air_temp_c[0] == 15
    assert table.wind_ms[0] == pytest.approx(5.1444, abs=1e-4)  # 10 kt
    assert table.gust_ms[0] == pytest.approx(10.2889, abs=1e-4)  # 20 kt
    assert table.pop[0] == pytest.approx(0.2)


def test_the_saved_storm_reads_as_the_weather_it_was_made_from() -> None:
    now = datetime(2026, 5, 4, 12, 10, tzinfo=UTC)
    truth = recorded.hourly("westmere-storm", 44.95, -93.09, now, "America/Chicago")
    table = nws.read((FIXTURES / "nws_grid_storm.json").read_bytes(), now)
    ours = truth.rows(7, truth.n_hours)
    assert (table.start, table.n_hours) == (ours.start, ours.n_hours)
    for name in ("air_temp_c", "dew_point_c", "wind_ms", "gust_ms", "pop", "thunder_p", "sky_cover"):
        assert getattr(table, name) == pytest.approx(getattr(ours, name), abs=1e-4), name
    assert table.wx == ours.wx
    assert np.isnan(table.qpf_mm[80:]).all()  # the office's rain amounts end half way
    assert np.isnan(table.ice_mm).all()


def test_a_document_written_from_a_table_reads_back_with_the_same_rain_in_all() -> None:
    truth = recorded.hourly("westmere-frost", 44.95, -93.09, ISSUED, "America/Chicago")
    table = nws.read(as_bytes(from_hourly(truth)), keep_past_h=12)
    assert table.qpf_mm.sum() == pytest.approx(truth.qpf_mm[-table.n_hours :].sum())


def test_rain_amounts_end_before_the_chance_and_are_unknown_after_not_zero() -> None:
    table = read()
    assert table.qpf_mm[:6].tolist() == pytest.approx([0.5] * 6)
    assert np.isnan(table.qpf_mm[6:]).all()
    assert all("ends_early:qpf_mm" in words for words in table.flags[6:])


def test_a_stretch_that_began_hours_ago_is_clipped_pro_rata() -> None:
    table = read(
        quantitativePrecipitation=layer("quantitativePrecipitation", [(at(8, "PT6H"), 6.0), (at(14, "PT8H"), 0.0)]),
        temperature=layer("temperature", [(at(3, "PT19H"), 11.0)]),
    )
    assert table.start == ISSUED
    assert table.qpf_mm[:3].tolist() == [1.0, 1.0, 0.0]


def test_hours_of_the_past_are_kept_only_where_asked_for() -> None:
    layers = {"temperature": layer("temperature", [(at(3, "PT19H"), 11.0)])}
    assert nws.read(as_bytes(document(**layers))).start == ISSUED
    assert nws.read(as_bytes(document(**layers)), keep_past_h=12).start == ISSUED - timedelta(hours=9)
    assert nws.read(as_bytes(document(**layers)), ISSUED + timedelta(hours=4, minutes=20)).start == ISSUED + timedelta(
        hours=4
    )


def test_a_forecast_that_lies_wholly_in_the_past_is_refused() -> None:
    with pytest.raises(UnreadableForecast, match="The forecast ended at 2026-05-04 22:00 UTC"):
        read(ISSUED + timedelta(hours=10))


@pytest.mark.parametrize("name", ["windGust", "probabilityOfPrecipitation", "temperature"])
@pytest.mark.parametrize("body", [None, {"values": []}, {}], ids=["absent", "empty", "no values"])
def test_a_missing_or_empty_layer_is_unknown_and_flagged(name: str, body: dict[str, Any] | None) -> None:
    column = {"windGust": "gust_ms", "probabilityOfPrecipitation": "pop", "temperature": "air_temp_c"}[name]
    table = read(**{name: body})
    assert np.isnan(getattr(table, column)).all()
    assert all(f"missing:{column}" in words for words in table.flags)


def test_a_null_in_the_middle_is_one_unknown_stretch() -> None:
    table = read(
        probabilityOfPrecipitation=pop_layer((at(12, "PT2H"), 10), (at(14, "PT2H"), None), (at(16, "PT6H"), 0))
    )
    assert np.flatnonzero(np.isnan(table.pop)).tolist() == [2, 3]
    assert "null:pop" in table.flags[2]


def test_gaps_overlaps_and_disorder_are_read_and_flagged() -> None:
    table = read(
        probabilityOfPrecipitation=pop_layer(
            (at(18, "PT4H"), 40), (at(12, "PT4H"), 10), (at(13, "PT1H"), 70)
        )  # 16 and 17 are missing, 13 is said twice
    )
    assert table.pop[[0, 1, 2]].tolist() == pytest.approx([0.1, 0.7, 0.1])
    assert np.flatnonzero(np.isnan(table.pop)).tolist() == [4, 5]
    assert [row for row in range(10) if "gap:pop" in table.flags[row]] == [4, 5]
    assert [row for row in range(10) if "overlap:pop" in table.flags[row]] == [1]


def test_intervals_may_be_written_in_every_form() -> None:
    table = read(
        probabilityOfPrecipitation=pop_layer(
            (f"NOW/{DAY}14:00:00+00:00", 10), (f"PT2H/{DAY}16:00:00+00:00", 20), (at(16, "P1DT6H"), 30)
        )
    )
    assert table.pop[[0, 1, 2, 3, 4, 9]].tolist() == pytest.approx([0.1, 0.1, 0.2, 0.2, 0.3, 0.3])
    assert table.n_hours == 34


def test_half_hours_take_the_higher_gust() -> None:
    half = [(f"{DAY}12:00:00+00:00/PT30M", 20.0), (f"{DAY}12:30:00+00:00/PT30M", 54.0), (at(13, "PT9H"), 20.0)]
    assert read(windGust=layer("windGust", half)).gust_ms[0] == pytest.approx(15)


@pytest.mark.parametrize(
    ("hours", "day", "expected"), [("PT3H", 4, 3), ("PT7H", 4, 6), ("PT12H", 4, 6), ("PT12H", 8, 12), ("P2D", 8, 12)]
)
def test_the_block_of_a_chance_is_capped_because_equal_blocks_come_merged(hours: str, day: int, expected: int) -> None:
    """Six hours inside the third day, twelve after."""
    when = f"2026-05-{day:02}T12:00:00+00:00/{hours}"
    table = read(probabilityOfPrecipitation=pop_layer((when, 30)))
    row = table.row_at(datetime(2026, 5, day, 12, tzinfo=UTC))
    assert table.pop_period_h[row] == expected


@pytest.mark.parametrize(
    ("uom", "value", "meters_per_second"),
    [
        ("wmoUnit:km_h-1", 36, 10),
        ("unit:km_h-1", 36, 10),
        ("wmoUnit:m_s-1", 10, 10),
        ("https://codes.wmo.int/common/unit:m_s-1", 10, 10),
        ("wmoUnit:kt", 20, 10.2889),
    ],
)
def test_units_are_told_by_what_stands_behind_the_colon(uom: str, value: float, meters_per_second: float) -> None:
    table = read(windGust=layer("windGust", [(at(12, "PT10H"), value)], uom))
    assert table.gust_ms[0] == pytest.approx(meters_per_second, abs=1e-4)


def test_fahrenheit_is_converted() -> None:
    table = read(temperature=layer("temperature", [(at(12, "PT10H"), 50)], "wmoUnit:degF"))
    assert table.air_temp_c[0] == pytest.approx(10)


@pytest.mark.parametrize("uom", ["wmoUnit:furlong", "wmoUnit:degC", "", 7])
def test_an_unknown_unit_is_refused_by_name(uom: Any) -> None:
    with pytest.raises(UnreadableForecast, match="The layer windGust has the unknown unit"):
        read(windGust={"uom": uom, "values": [{"validTime": at(12, "PT10H"), "value": 30}]})


def test_chances_of_thunder_come_without_a_unit_and_are_percent() -> None:
    table = read(probabilityOfThunder={"values": [{"validTime": at(12, "PT10H"), "value": 15}]})
    assert table.thunder_p[0] == pytest.approx(0.15)
    assert np.isnan(read().thunder_p).all()


@pytest.mark.parametrize(
    ("name", "value", "column"),
    [
        ("temperature", 1000, "air_temp_c"),
        ("windGust", 5000, "gust_ms"),
        ("windSpeed", -1, "wind_ms"),
        ("probabilityOfPrecipitation", 130, "pop"),
        ("quantitativePrecipitation", -2, "qpf_mm"),
    ],
)
def test_a_wild_value_becomes_unknown_and_is_flagged(name: str, value: float, column: str) -> None:
    table = read(**{name: layer(name, [(at(12, "PT1H"), value), (at(13, "PT9H"), 10)])})
    assert math.isnan(getattr(table, column)[0])
    assert f"out_of_range:{column}" in table.flags[0]
    assert not math.isnan(getattr(table, column)[1])


def test_a_gust_below_the_wind_is_lifted_to_it_and_flagged() -> None:
    table = read(windGust=layer("windGust", [(at(12, "PT10H"), 0)]))
    assert table.gust_ms[0] == table.wind_ms[0]
    assert "gust_below_wind" in table.flags[0]


def test_numbers_written_as_text_are_numbers_and_other_texts_unknown() -> None:
    table = read(windGust=layer("windGust", [(at(12, "PT1H"), "36"), (at(13, "PT9H"), "strong")]))
    assert table.gust_ms[0] == pytest.approx(10)
    assert math.isnan(table.gust_ms[1])


def test_words_of_the_weather_layer_stand_in_their_hours() -> None:
    items = [{"weather": "thunderstorms"}, {"weather": "rain_showers"}, {"weather": None}]
    table = read(weather={"values": [{"validTime": at(13, "PT2H"), "value": items}]})
    assert table.wx[:4] == (
        frozenset(), frozenset({"thunderstorms", "rain_showers"}), frozenset({"thunderstorms", "rain_showers"}),
        frozenset(),
    )  # fmt: skip


def test_rain_without_a_chance_of_rain_is_flagged() -> None:
    table = read(probabilityOfPrecipitation=pop_layer((at(12, "PT10H"), 0)))
    assert "rain_without_chance" in table.flags[0]


def test_layers_that_are_not_known_here_are_ignored() -> None:
    strange = {
        "heatRisk": {"values": [{"validTime": "?", "value": {}}]},
        "heatIndex": layer("heatIndex", [("?", None)]),
    }
    assert read(**strange).n_hours == 10


def test_json_ld_is_read_like_geojson() -> None:
    flat = document()["properties"] | {"@context": [], "geometry": "POLYGON((0 0,0 1,1 1,0 0))"}
    assert nws.read(as_bytes(flat)).gust_ms == pytest.approx(read().gust_ms)


@pytest.mark.parametrize(
    ("body", "words"),
    [
        (b"", "empty"),
        (b"   \n", "empty"),
        (b"\xef\xbb\xbf", "empty"),
        (b"<!DOCTYPE html><html></html>", "web page"),
        (b"\xff\xfe{", "not UTF-8"),
        (b"[]", "no JSON object"),
        (b"null", "no JSON object"),
        (b'{"properties": {}}', "no time of issue"),
        (b'{"properties": {"updateTime": "2026-05-04T12:00:00+00:00"}}', "no layer"),
        (b'{"properties": {"updateTime": 5, "temperature": {}}}', "no moment"),
        (b'{"properties": {"updateTime": "NOW", "temperature": {}}}', "no moment"),
        (b'{"properties": {"updateTime": "2026-05-04T12:00:00", "temperature": {}}}', "no time zone"),
        (b'{"properties": {"updateTime": "2026-05-04T12:00:00Z", "temperature": {"values": []}}}', "Every layer"),
        (b'{"properties": {"updateTime": "2026-05-04T12:00:00Z", "temperature": {"values": 3}}}', "no list"),
        (b'{"type":"urn:noaa:nws:api:X","title":"Forecast Grid Expired","status":503}', "Forecast Grid Expired"),
        (b'{"a": NaN}', "NaN"),
        (b"[" * 100_000, "nested too deeply|cut off"),
    ],
)
def test_what_is_no_forecast_is_refused_in_words(body: bytes, words: str) -> None:
    with pytest.raises(UnreadableForecast, match=words):
        nws.read(body)


@pytest.mark.parametrize("keep", [0.1, 0.5, 0.9, 0.99999])
def test_a_document_that_is_cut_off_anywhere_is_refused(keep: float) -> None:
    body = as_bytes(document())
    with pytest.raises(UnreadableForecast, match="cut off"):
        nws.read(body[: int(len(body) * keep)])


def test_text_behind_the_document_is_refused() -> None:
    with pytest.raises(UnreadableForecast, match="cut off or no JSON"):
        nws.read(as_bytes(document()) + b"Unexpected error")


def test_a_byte_order_mark_is_no_fault() -> None:
    assert nws.read(b"\xef\xbb\xbf" + as_bytes(document())).n_hours == 10


@pytest.mark.parametrize("value", [{"value": 3}, {"validTime": "never", "value": 3}, {"validTime": None, "value": 3}])
def test_a_value_without_a_readable_time_is_refused(value: dict[str, Any]) -> None:
    with pytest.raises(UnreadableForecast):
        read(windGust={"uom": "wmoUnit:km_h-1", "values": [value]})


def test_an_endless_forecast_is_cut_to_sixteen_days() -> None:
    assert read(temperature=layer("temperature", [(at(12, "P39D"), 10)])).n_hours == 16 * 24
