"""Places for which a forecast is wanted, and which grid cell serves each."""

from datetime import datetime, timedelta

from weather.models import Cell, Point, Source
from weather.parsing import points as points_document
from weather.parsing.document import UnreadableForecast
from weather.sources import recorded
from weather.sources.client import NwsClient
from weather.sources.day_shapes import PATTERNS
from weather.sources.errors import FetchFailed, NoContact

# Grid numbers shift without notice; the service itself lets an answer be kept for a day.
RESOLVE_EVERY = timedelta(hours=24)
FAILURE_LENGTH = 300


def point_for(lat: float, lon: float, recorded_pattern: str, now: datetime, time_zone: str = "") -> Point:
    """The row of a place, made where it is new; a demo place gets its invented cell at once, without any network.

    Parameters
    ----------
    lat, lon : float
        North and east positive; rounded to four decimals, about 10 m. [deg]
    recorded_pattern : str
        The invented weather of a demo place, '' for a real one.
    time_zone : str
        The zone of its clocks, where known.

    Raises
    ------
    ValueError
        The place is not on the globe, or there is no such pattern.
    """
    if not (-90 <= lat <= 90 and -180 <= lon <= 180):
        raise ValueError(f"There is no place at {lat}, {lon}.")
    if recorded_pattern and recorded_pattern not in PATTERNS:
        raise ValueError(f"There is no invented weather called '{recorded_pattern}'.")
    point, _ = Point.objects.get_or_create(
        lat=round(lat, 4), lon=round(lon, 4), recorded_pattern=recorded_pattern, defaults={"time_zone": time_zone}
    )
    if recorded_pattern and point.cell_id is None:
        zone = point.time_zone or recorded.zone_of(point.lon)
        point.cell, _ = Cell.objects.get_or_create(source=Source.RECORDED, key=f"{recorded_pattern}@{zone}")
        point.resolved_at = now
        point.save(update_fields=["cell", "resolved_at"])
    return point


def resolve_point(point_id: int, now: datetime, client: NwsClient | None = None) -> Point:
    """Ask which cell serves a place, and remember it.

    A failure is written on the point in words and leaves its old cell in place. Demo places are never asked for.

    Raises
    ------
    Point.DoesNotExist
        There is no such place.
    """
    point = Point.objects.get(pk=point_id)
    if point.recorded_pattern:
        return point
    try:
        # No transaction is open while the network is waited for.
        with client or NwsClient() as open_client:
            info = points_document.read(open_client.point(point.lat, point.lon).body or b"")
    except (FetchFailed, UnreadableForecast, NoContact) as error:
        Point.objects.filter(pk=point_id).update(failure=str(error)[:FAILURE_LENGTH])
    else:
        cell, _ = Cell.objects.get_or_create(source=Source.NWS, key=info.cell_key)
        Point.objects.filter(pk=point_id).update(
            cell=cell, resolved_at=now, failure="", time_zone=info.time_zone or point.time_zone
        )
    point.refresh_from_db()
    return point


def resolve_stale_points(
    cell_id: int, now: datetime, client: NwsClient | None = None, *, all_of_them: bool = False
) -> set[int]:
    """Ask again for the places of a cell that were last asked for a day ago; returns the cells they have now."""
    stale = Point.objects.filter(cell_id=cell_id, recorded_pattern="")
    if not all_of_them:
        stale = stale.filter(resolved_at__lt=now - RESOLVE_EVERY)
    cells = (resolve_point(point_id, now, client).cell_id for point_id in stale.values_list("pk", flat=True))
    return {cell for cell in cells if cell is not None}
