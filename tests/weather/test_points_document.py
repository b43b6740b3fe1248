"""Which grid cell a place lies in, and where a cell lies."""

from pathlib import Path
from typing import Any

import pytest

from tests.weather.grid_documents import as_bytes
from weather.parsing import UnreadableForecast, points

SAVED = Path(__file__).parents[2] / "fixtures" / "weather" / "nws_point.json"
PLACE = {"gridId": "ABC", "gridX": 10, "gridY": 20, "cwa": "XYZ", "timeZone": "America/Chicago"}
SQUARE = [[-93.10, 44.94], [-93.10, 44.96], [-93.08, 44.96], [-93.08, 44.94], [-93.10, 44.94]]


def test_the_office_of_the_grid_counts_not_the_one_that_answers() -> None:
    assert points.read(SAVED.read_bytes()) == points.PointInfo("ABC/10,20", "America/Chicago")


def test_json_ld_is_read_too() -> None:
    assert points.read(as_bytes(PLACE | {"@context": []})).cell_key == "ABC/10,20"


@pytest.mark.parametrize(
    "spoilt", [{"gridId": None}, {"gridX": None}, {"gridY": "20"}, {"gridX": True}, {"gridId": "../alerts"}]
)
def test_a_place_without_a_grid_cell_is_refused(spoilt: dict[str, Any]) -> None:
    with pytest.raises(UnreadableForecast, match="no grid cell"):
        points.read(as_bytes({"properties": PLACE | spoilt}))


def test_an_error_answer_is_refused_in_its_own_words() -> None:
    with pytest.raises(UnreadableForecast, match="Data Unavailable"):
        points.read(b'{"title": "Data Unavailable For Requested Point", "status": 404}')


@pytest.mark.parametrize(
    ("lat", "lon", "inside"), [(44.95, -93.09, True), (44.965, -93.09, True), (45.05, -93.09, False)]
)
def test_a_cell_covers_its_outline_and_a_hair_around(lat: float, lon: float, inside: bool) -> None:
    corners = points.outline(as_bytes({"geometry": {"type": "Polygon", "coordinates": [SQUARE]}}))
    assert points.covers(corners, lat, lon) is inside


@pytest.mark.parametrize(
    "geometry", [None, "POLYGON((0 0))", {"type": "Point"}, {"type": "Polygon", "coordinates": [["a"]]},
                 {"type": "Polygon"}]
)  # fmt: skip
def test_a_cell_without_an_outline_is_believed(geometry: Any) -> None:
    corners = points.outline(as_bytes({"geometry": geometry}))
    assert corners == []
    assert points.covers(corners, 44.95, -93.09)
