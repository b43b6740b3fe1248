"""Jobs from one GeoJSON FeatureCollection (RFC 7946).

Coordinates are longitude and latitude, unless the collection carries the foreign member "coordinate_units": "ft": then
they are feet, x to the east and y to the north, from any origin per job. Nothing is guessed. Every feature has the
properties `record` and `job` and those of the CSV columns of its kind:

- job: geometry null, or the house as a Point in longitude and latitude (else properties lat and lon)
- section: a Polygon with pitch_in_12 and downslope_deg (the compass bearing that water runs to); squares, eave_ft and
  run_ft are computed from it
- edge (may be left out): kind, length_ft, section, other_section, vented, geometry null or a LineString. A job without
  edge features gets its edges from the polygons: where planes meet, and how they fall
- detail: kind and count or length_ft, geometry null or a Point
"""

import json
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from jobs.importing.polygons import measured_records, plan_points
from jobs.importing.records import Record, assembled, read_row
from jobs.importing.result import MAX_ROWS, FileRefused, ParsedJobs, RefusedRow

UNITS = ("lonlat", "ft")


def parse_geojson(document: str) -> ParsedJobs:
    """Return the jobs of a GeoJSON document, or every refused feature with number, property and reason.

    Raises
    ------
    FileRefused
        Not JSON, not a FeatureCollection, unknown units, or too many features.
    """
    features, units = _features(document)
    records: list[Record] = []
    geometries: dict[int, Any] = {}
    refused: list[RefusedRow] = []
    doubtful: set[str] = set()
    for number, feature in enumerate(features, start=1):
        record, problems = _feature(number, feature, units)
        refused += problems
        if record:
            records.append(record)
            geometries[number] = feature.get("geometry")
        elif isinstance(feature, dict) and isinstance(feature.get("properties"), dict):
            doubtful.add(str(feature["properties"].get("job", "")).strip())
    records, problems, more_doubtful = measured_records(records, geometries, units, doubtful)
    return assembled(records, [*refused, *problems], doubtful | more_doubtful)


def _features(document: str) -> tuple[Sequence[Any], str]:
    try:
        root = json.loads(document, parse_constant=_no_constant)
    except (ValueError, RecursionError) as error:
        line = error.lineno if isinstance(error, json.JSONDecodeError) else 0
        raise FileRefused(f"This is not JSON ({error}).", line) from error
    if not isinstance(root, dict) or root.get("type") != "FeatureCollection":
        raise FileRefused("The file must be a GeoJSON FeatureCollection.")
    units = root.get("coordinate_units", "lonlat")
    if units not in UNITS:
        raise FileRefused("“coordinate_units” may only be “ft”; without it coordinates are longitude and latitude.")
    features = root.get("features")
    if not isinstance(features, list):
        raise FileRefused("The collection has no list of features.")
    if len(features) > MAX_ROWS:
        raise FileRefused(f"The file holds more than {MAX_ROWS} features.")
    return features, units


def _no_constant(name: str) -> None:
    raise ValueError(f"{name} is not a JSON number")


def _feature(number: int, feature: Any, units: str) -> tuple[Record | None, list[RefusedRow]]:
    def refuse(column: str, reason: str) -> tuple[None, list[RefusedRow]]:
        return None, [RefusedRow(number, column, reason, "feature")]

    if not isinstance(feature, dict) or feature.get("type") != "Feature":
        return refuse("type", "It is not a GeoJSON Feature.")
    properties = feature.get("properties")
    if not isinstance(properties, dict):
        return refuse("properties", "The feature has no properties.")
    cells: dict[str, str] = {}
    for name, value in properties.items():
        if isinstance(value, dict | list):
            return refuse(name, "It must be a text, a number, true or false.")
        cells[name] = "" if value is None else str(value)
    given: list[str] = []
    if cells.get("record") == "section":
        given = ["squares"]
        for name in ("squares", "eave_ft", "run_ft"):
            if cells.get(name):
                return refuse(name, "Areas and lengths of a polygon are computed; leave it out.")
    record, problems = read_row(number, cells, place="feature", optional=(*given, "lat", "lon"))
    if record and record.record == "job":
        return _with_place(record, feature.get("geometry"))
    return record, problems


def _with_place(record: Record, geometry: Any) -> tuple[Record | None, list[RefusedRow]]:
    """Give a job its place from its Point, which is longitude and latitude whatever the outlines' units."""
    values: Mapping[str, Any] = record.values
    try:
        if geometry is not None:
            if "lat" in values or "lon" in values:
                raise ValueError("Give the place either as a Point or as lat and lon, not both.")
            (lon, lat), *_rest = plan_points(geometry, "Point")
            _check_degrees(lon, lat)
            values = {**values, "lat": lat, "lon": lon}
        elif "lat" not in values or "lon" not in values:
            raise ValueError("The job needs its place: a Point, or lat and lon.")
    except ValueError as error:
        return None, [RefusedRow(record.line, "geometry", str(error), "feature")]
    return replace(record, values=values), []


def _check_degrees(lon: float, lat: float) -> None:
    if not -180 <= lon <= 180 or not -90 <= lat <= 90:
        raise ValueError(f"[{lon:g}, {lat:g}] is not longitude and latitude.")
