"""Outlines of a GeoJSON file turned into measured sections and edges."""

from collections.abc import Container, Mapping, Sequence
from dataclasses import replace
from math import isfinite
from typing import Any

from jobs.importing.ground import to_feet
from jobs.importing.records import Record
from jobs.importing.result import RefusedRow
from jobs.roof_measure import Point
from jobs.roof_shape import Plane, RoofShape, roof_from_planes

MAX_CORNERS = 500
MEET_TOLERANCE_FT = 0.25  # outlines drawn from a picture or a tape meet within 3 in


def measured_records(
    records: Sequence[Record], geometries: Mapping[int, Any], units: str, doubtful: Container[str]
) -> tuple[list[Record], list[RefusedRow], set[str]]:
    """Return records that carry their measures, refused features, and the jobs that are in doubt by them."""
    done: list[Record] = [record for record in records if record.record == "job"]
    refused: list[RefusedRow] = []
    in_doubt: set[str] = set()
    for job in list(done):
        rows = [record for record in records if record.job == job.job and record.record != "job"]
        place = (job.values["lon"], job.values["lat"])
        try:
            done += _job_rows(job, rows, geometries, place if units == "lonlat" else None)
        except FeatureRefused as error:
            if job.job not in doubtful:
                refused.append(error.row)
            in_doubt.add(job.job)
    numbers = {job.job for job in done}
    # What belongs to no job is refused by name later.
    done += [record for record in records if record.job not in numbers]
    return sorted(done, key=lambda record: record.line), refused, in_doubt


class FeatureRefused(ValueError):
    """A feature whose geometry cannot be read."""

    def __init__(self, line: int, reason: str) -> None:
        super().__init__(reason)
        self.row = RefusedRow(line, "geometry", reason, "feature")


def _job_rows(job: Record, rows: Sequence[Record], geometries: Mapping[int, Any], place: Point | None) -> list[Record]:
    sections = [record for record in rows if record.record == "section"]
    planes = [_plane(record, geometries[record.line], place) for record in sections]
    if not planes:
        return list(rows)
    try:
        shape = roof_from_planes(planes, tolerance_ft=MEET_TOLERANCE_FT)
    except ValueError as error:
        raise FeatureRefused(sections[0].line, str(error)) from error
    done = [_measured(record, shape, i) for i, record in enumerate(sections)]
    edges = [record for record in rows if record.record == "edge"]
    if edges:
        done += [_located(record, geometries[record.line], place, "LineString", "line_ft") for record in edges]
    else:
        done += _found_edges(job, sections, shape)
    details = [record for record in rows if record.record == "detail"]
    return done + [_located(record, geometries[record.line], place, "Point", "at_ft") for record in details]


def _plane(record: Record, geometry: Any, place: Point | None) -> Plane:
    if "downslope_deg" not in record.values:
        raise FeatureRefused(record.line, "A polygon needs downslope_deg, the compass bearing that water runs to.")
    try:
        outline = plan_points(geometry, "Polygon", place)
        return Plane(record.values["section"], record.values["pitch_in_12"], record.values["downslope_deg"], outline)
    except ValueError as error:
        raise FeatureRefused(record.line, str(error)) from error


def _measured(record: Record, shape: RoofShape, index: int) -> Record:
    section = shape.sections[index]
    measures = {
        "squares": section.squares,
        "eave_ft": section.eave_ft,
        "run_ft": section.run_ft,
        "outline_ft": section.outline_ft,
    }
    return replace(record, values={**record.values, **measures})


def _found_edges(job: Record, sections: Sequence[Record], shape: RoofShape) -> list[Record]:
    found = []
    for edge in shape.edges:
        values: dict[str, Any] = {
            "kind": edge.kind.value,
            "length_ft": edge.length_ft,
            "section": shape.sections[edge.section].name,
            "vented": edge.vented,
            "line_ft": edge.line_ft,
        }
        if edge.other_section is not None:
            values["other_section"] = shape.sections[edge.other_section].name
        found.append(Record(sections[edge.section].line, "edge", job.job, values, "feature"))
    return found


def _located(record: Record, geometry: Any, place: Point | None, kind: str, name: str) -> Record:
    """Give an edge its plan line or a detail its point, where the feature has a geometry."""
    if geometry is None:
        return record
    try:
        points = plan_points(geometry, kind, place)
    except ValueError as error:
        raise FeatureRefused(record.line, str(error)) from error
    return replace(record, values={**record.values, name: points[0] if kind == "Point" else points})


def plan_points(geometry: Any, kind: str, place: Point | None = None) -> tuple[Point, ...]:
    """Return the corners of a Point, LineString or Polygon, without the closing one [ft, or degrees where no place].

    Parameters
    ----------
    geometry
        The GeoJSON geometry.
    kind
        The type it must have.
    place
        Longitude and latitude of the house to turn degrees into feet; None leaves the numbers as they are.

    Raises
    ------
    ValueError
        Another type, a hole, an open ring, too few or many corners, or what is no pair of numbers.
    """
    if not isinstance(geometry, dict) or geometry.get("type") != kind:
        found = geometry.get("type") if isinstance(geometry, dict) else "nothing"
        raise ValueError(f"It must be a {kind}, but is {found}.")
    positions = geometry.get("coordinates")
    if kind == "Point":
        positions = [positions]
    if kind == "Polygon":
        positions = _ring(positions)
    if not isinstance(positions, list) or not positions or len(positions) > MAX_CORNERS:
        raise ValueError(f"A {kind} needs a list of at most {MAX_CORNERS} corners.")
    if kind == "LineString" and len(positions) != 2:
        raise ValueError("An edge is a straight line with two ends.")
    points = tuple(_position(position) for position in positions)
    return points if place is None else tuple(to_feet(lon, lat, *place) for lon, lat in points)


def _ring(rings: Any) -> list[Any]:
    if not isinstance(rings, list) or not rings or not isinstance(rings[0], list):
        raise ValueError("A Polygon needs a ring of corners.")
    if len(rings) > 1:
        raise ValueError("A section has no holes; small openings are not deducted, large ones divide the plane.")
    ring = rings[0]
    if len(ring) < 4:
        raise ValueError("A Polygon needs at least three corners and the first one again at its end.")
    if ring[0] != ring[-1]:
        raise ValueError("The ring is open: its last corner must be its first.")
    return ring[:-1]


def _position(position: Any) -> Point:
    if not isinstance(position, list) or len(position) < 2:
        raise ValueError("A corner is a pair of numbers.")
    x, y = position[0], position[1]
    for value in (x, y):
        if isinstance(value, bool) or not isinstance(value, int | float) or not isfinite(value):
            raise ValueError("A corner is a pair of numbers.")
    return float(x), float(y)
