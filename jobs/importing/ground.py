"""Longitude and latitude of one house as feet to the east and north of its place."""

from math import cos, radians

from jobs.roof_measure import Point

METRES_PER_FOOT = 0.3048  # international foot
FARTHEST_FT = 2000.0  # an outline farther from its house than this is not its roof


def metres_per_degree(lat: float) -> tuple[float, float]:
    """Return the length of one degree of longitude and of latitude at a latitude [m].

    Source: series for the WGS 84 ellipsoid, as in the National Geospatial-Intelligence Agency's length-of-a-degree
    calculator; exact to centimetres per degree, a millionth over a house.
    """
    phi = radians(lat)
    north = 111132.92 - 559.82 * cos(2 * phi) + 1.175 * cos(4 * phi) - 0.0023 * cos(6 * phi)
    east = 111412.84 * cos(phi) - 93.5 * cos(3 * phi) + 0.118 * cos(5 * phi)
    return east, north


def to_feet(lon: float, lat: float, place_lon: float, place_lat: float) -> Point:
    """Return feet to the east and north of a place [ft].

    Raises
    ------
    ValueError
        Not degrees of longitude and latitude, or farther than 2,000 ft from the place: often both are swapped.
    """
    if not -180 <= lon <= 180 or not -90 <= lat <= 90:
        raise ValueError(
            f"[{lon:g}, {lat:g}] is not longitude and latitude; give feet only with “coordinate_units”: “ft”."
        )
    east_m, north_m = metres_per_degree(place_lat)
    x = (lon - place_lon) * east_m / METRES_PER_FOOT
    y = (lat - place_lat) * north_m / METRES_PER_FOOT
    if max(abs(x), abs(y)) > FARTHEST_FT:
        raise ValueError(
            f"[{lon:g}, {lat:g}] lies more than {FARTHEST_FT:g} ft from the house; longitude comes first in GeoJSON."
        )
    return x, y
