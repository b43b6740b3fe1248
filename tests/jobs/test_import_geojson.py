"""Jobs from GeoJSON: degrees by RFC 7946 or feet by their foreign member, never guessed."""

import json
import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from jobs.importing import ParsedJobs, parse
from jobs.importing.ground import metres_per_degree, to_feet
from jobs.roof_measure import EdgeKind
from jobs.roof_shape import hip

EXAMPLES = Path(__file__).parents[2] / "fixtures" / "import"


def example(name: str) -> dict[str, Any]:
    document: dict[str, Any] = json.loads((EXAMPLES / name).read_text())
    return document


def read(document: Any) -> ParsedJobs:
    return parse(json.dumps(document).encode())


def test_polygons_in_degrees_give_the_roof_they_were_drawn_from() -> None:
    """The example is a hip of 38 x 26 ft at 5/12, written in degrees to 8 places (about 1 mm)."""
    parsed = read(example("invented-house-degrees.geojson"))
    assert parsed.ok
    roof, wanted = parsed.jobs[0].data.roof, hip(38, 26, 5, front_deg=200)
    assert [s.name for s in roof.sections] == [s.name for s in wanted.sections]
    assert sum(s.squares for s in roof.sections) == pytest.approx(wanted.squares, rel=1e-4)
    for kind in (EdgeKind.EAVE, EdgeKind.HIP, EdgeKind.RIDGE):
        found = sum(edge.length_ft for edge in roof.edges if edge.kind is kind)
        assert found == pytest.approx(wanted.length_ft(kind), abs=0.05)
    assert parsed.jobs[0].data.lat == pytest.approx(44.9551)


def test_polygons_in_feet_are_taken_as_feet() -> None:
    parsed = read(example("invented-house-feet.geojson"))
    assert parsed.ok
    kinds = [edge.kind for edge in parsed.jobs[0].data.roof.edges]
    assert kinds.count(EdgeKind.VALLEY) == 2
    assert [edge.vented for edge in parsed.jobs[0].data.roof.edges].count(True) == 2


def test_edges_that_are_given_replace_those_that_would_be_found() -> None:
    document = example("invented-house-feet.geojson")
    edge = {"record": "edge", "job": "X-202", "kind": "eave", "length_ft": 38, "section": "back slope"}
    document["features"].append({"type": "Feature", "geometry": None, "properties": edge})
    roof = read(document).jobs[0].data.roof
    assert [(edge.kind, edge.length_ft) for edge in roof.edges] == [(EdgeKind.EAVE, 38)]


def test_feet_without_their_foreign_member_are_refused() -> None:
    document = example("invented-house-feet.geojson")
    del document["coordinate_units"]
    parsed = read(document)
    assert parsed.jobs == ()
    assert parsed.refused[0].place == "feature"
    assert "ft" in parsed.refused[0].reason


def test_degrees_far_from_the_house_are_refused() -> None:
    document = example("invented-house-degrees.geojson")
    document["features"][0]["geometry"]["coordinates"] = [-93.2, 44.9551]
    parsed = read(document)
    assert (parsed.refused[0].line, parsed.refused[0].column) == (2, "geometry")
    assert "more than 2000 ft from the house" in parsed.refused[0].reason


def section(document: dict[str, Any], index: int = 1) -> dict[str, Any]:
    feature: dict[str, Any] = document["features"][index]
    return feature


def open_ring(document: dict[str, Any]) -> None:
    section(document)["geometry"]["coordinates"][0].pop()


def crossing(document: dict[str, Any]) -> None:
    ring = section(document, 2)["geometry"]["coordinates"][0]
    ring[1], ring[2] = ring[2], ring[1]


def hole(document: dict[str, Any]) -> None:
    section(document)["geometry"]["coordinates"].append([[1, -1], [2, -1], [2, -2], [1, -1]])


def multi(document: dict[str, Any]) -> None:
    section(document)["geometry"]["type"] = "MultiPolygon"


def text_corner(document: dict[str, Any]) -> None:
    section(document)["geometry"]["coordinates"][0][1] = ["a", "b"]


def no_fall(document: dict[str, Any]) -> None:
    del section(document)["properties"]["downslope_deg"]


def steep(document: dict[str, Any]) -> None:
    section(document)["properties"]["pitch_in_12"] = 40


def overlapping(document: dict[str, Any]) -> None:
    section(document, 2)["geometry"] = section(document, 1)["geometry"]


def wrong_way(document: dict[str, Any]) -> None:
    section(document, 3)["properties"]["downslope_deg"] = 45


def given_area(document: dict[str, Any]) -> None:
    section(document)["properties"]["squares"] = 9


def no_place(document: dict[str, Any]) -> None:
    del section(document, 0)["properties"]["lat"]


def nested(document: dict[str, Any]) -> None:
    section(document)["properties"]["section"] = {"en": "front"}


@pytest.mark.parametrize(
    ("spoil", "feature", "column", "reason"),
    [
        (open_ring, 2, "geometry", "The ring is open"),
        (crossing, 3, "geometry", "crosses itself"),
        (hole, 2, "geometry", "no holes"),
        (multi, 2, "geometry", "must be a Polygon, but is MultiPolygon"),
        (text_corner, 2, "geometry", "pair of numbers"),
        (no_fall, 2, "geometry", "downslope_deg"),
        (steep, 2, "pitch_in_12", "A pitch of 40/12 is not a roof"),
        (overlapping, 2, "geometry", "overlap by"),
        (wrong_way, 2, "geometry", "do not meet"),
        (given_area, 2, "squares", "are computed"),
        (no_place, 1, "geometry", "needs its place"),
        (nested, 2, "section", "must be a text, a number"),
    ],
)
def test_a_wrong_feature_is_named_by_number_and_property(
    spoil: Callable[[dict[str, Any]], None], feature: int, column: str, reason: str
) -> None:
    document = example("invented-house-feet.geojson")
    spoil(document)
    parsed = read(document)
    assert parsed.jobs == ()
    assert [(row.line, row.column, row.place) for row in parsed.refused] == [(feature, column, "feature")]
    assert reason in parsed.refused[0].reason


@pytest.mark.parametrize(
    ("document", "reason"),
    [
        (b"{", "This is not JSON"),
        (b"[]", "must be a GeoJSON FeatureCollection"),
        (b'{"type": "FeatureCollection"}', "no list of features"),
        (b'{"type": "FeatureCollection", "features": []}', "holds no job"),
        (b'{"type": "FeatureCollection", "features": [], "coordinate_units": "m"}', "may only be “ft”"),
        (b'{"type": "FeatureCollection", "features": [{"x": NaN}]}', "not JSON"),
        (b'{"type": "FeatureCollection", "features": [7]}', "not a GeoJSON Feature"),
        (b'{"a":' * 20000, "not JSON"),
    ],
)
def test_a_document_that_is_none_is_refused(document: bytes, reason: str) -> None:
    parsed = parse(document)
    assert parsed.jobs == ()
    assert reason in parsed.refused[0].reason


@pytest.mark.parametrize("lat", [0.0, 30.0, 44.95, 60.0])
def test_degrees_become_feet_as_the_wgs_84_ellipsoid_says(lat: float) -> None:
    """Radii of curvature of the WGS 84 ellipsoid, a = 6378137 m, 1/f = 298.257223563."""
    a, f = 6378137.0, 1 / 298.257223563
    e2 = f * (2 - f)
    phi = math.radians(lat)
    w = math.sqrt(1 - e2 * math.sin(phi) ** 2)
    east, north = a / w * math.cos(phi) * math.pi / 180, a * (1 - e2) / w**3 * math.pi / 180
    assert metres_per_degree(lat) == pytest.approx((east, north), rel=1e-6)
    x, y = to_feet(-93.0 + 1e-4, lat + 1e-4, -93.0, lat)
    assert (x * 0.3048, y * 0.3048) == pytest.approx((east * 1e-4, north * 1e-4), rel=1e-6)
