"""Fetches one cell's forecast: one worker at a time, validated before stored, last good kept."""

import uuid
from datetime import datetime, timedelta
from enum import StrEnum

from django.db.models import Q
from structlog import get_logger

from weather.actions.forecasts import NotPlausible, Stored, note_failure, note_unchanged, store_forecast
from weather.actions.places import resolve_point, resolve_stale_points
from weather.hourly import Hourly
from weather.models import Cell, Point, Source
from weather.parsing import nws
from weather.parsing import points as points_document
from weather.parsing.document import UnreadableForecast
from weather.parsing.soundness import lacking
from weather.sources import recorded
from weather.sources.client import Answer, NwsClient
from weather.sources.errors import FetchFailed, GridMoved, NoContact

logger = get_logger(__name__)

# Longer than all tries of one fetch take together.
LEASE = timedelta(minutes=4)
# The document keeps this many hours from before its issue: what fell this morning may still be wet.
KEEP_PAST_H = 12


class Outcome(StrEnum):
    """What a refresh came to."""

    STORED = "stored"
    SAME = "same"
    OLDER = "older"
    BUSY = "busy"  # another worker is at it
    MOVED = "moved"  # the grid was renumbered; the places' new cells were refreshed instead
    FAILED = "failed"
    OFF = "off"  # no contact is set


def refresh_cell(cell_id: int, now: datetime, client: NwsClient | None = None) -> Outcome:
    """Ask the source for a cell's forecast and store it where it is new and sound.

    Every failure is written on the cell in words; the last good forecast stays. No transaction is open while the
    network is waited for.

    Raises
    ------
    Cell.DoesNotExist
        There is no such cell.
    """
    cell = Cell.objects.get(pk=cell_id)
    token = _take_lease(cell_id, now)
    if token is None:
        return Outcome.BUSY
    try:
        return _refresh_recorded(cell, now) if cell.source == Source.RECORDED else _refresh_nws(cell, now, client)
    except NoContact as error:
        note_failure(cell_id, str(error), now)
        return Outcome.OFF
    except (FetchFailed, UnreadableForecast, NotPlausible) as error:
        note_failure(cell_id, str(error), now)
        logger.warning("forecast_failed", cell=str(cell), reason=str(error))
        return Outcome.FAILED
    finally:
        Cell.objects.filter(pk=cell_id, lease_token=token).update(lease_token=None, lease_until=None)


def _take_lease(cell_id: int, now: datetime) -> uuid.UUID | None:
    """One conditional UPDATE, so that of two workers exactly one gets it; a dead worker's lease runs out."""
    token = uuid.uuid4()
    free = Q(lease_until=None) | Q(lease_until__lte=now)
    taken = Cell.objects.filter(free, pk=cell_id).update(lease_token=token, lease_until=now + LEASE)
    return token if taken else None


def _refresh_recorded(cell: Cell, now: datetime) -> Outcome:
    pattern, _, zone = cell.key.partition("@")
    point = cell.points.order_by("pk").first()
    if point is None:
        raise FetchFailed("No place uses this invented weather.")
    table = recorded.hourly(pattern, point.lat, point.lon, now, zone)
    return _OUTCOME_OF[store_forecast(cell.pk, table, now, recorded.checked_at(pattern, now))]


_OUTCOME_OF = {Stored.NEW: Outcome.STORED, Stored.SAME: Outcome.SAME, Stored.OLDER: Outcome.OLDER}


def _refresh_nws(cell: Cell, now: datetime, client: NwsClient | None) -> Outcome:
    with client or NwsClient() as open_client:
        try:
            # Validators belong to a stored body; without one, everything is asked for.
            has_body = cell.forecasts.exists()
            answer = open_client.grid(cell.key, *((cell.etag, cell.last_modified) if has_body else ("", "")))
        except GridMoved as error:
            moved_to = resolve_stale_points(cell.pk, now, client, all_of_them=True) - {cell.pk}
            note_failure(cell.pk, str(error), now)
            # This cell's lease is still held, so that two cells that name each other do not call in a circle.
            for new_cell_id in sorted(moved_to):
                refresh_cell(new_cell_id, now, client)
            return Outcome.MOVED if moved_to else Outcome.FAILED
    outcome = _take_in(cell, answer, now)
    _ask_for_astray(cell, now, client)
    resolve_stale_points(cell.pk, now, client)
    return outcome


def _take_in(cell: Cell, answer: Answer, now: datetime) -> Outcome:
    if answer.body is None:
        if not note_unchanged(cell.pk, now):
            raise FetchFailed("The weather service says that nothing changed, but nothing was stored.")
        return Outcome.SAME
    table = _sound(nws.read(answer.body, keep_past_h=KEEP_PAST_H))
    stored = store_forecast(cell.pk, table, now)
    if stored is Stored.OLDER:
        note_failure(cell.pk, "The weather service answered with an older copy than the one at hand.", now)
        return Outcome.OLDER
    _remember(cell, answer, now)
    return _OUTCOME_OF[stored]


def _sound(table: Hourly) -> Hourly:
    missing = lacking(table)
    if missing:
        raise UnreadableForecast(f"The forecast holds no {missing[0]} at all.")
    return table


def _remember(cell: Cell, answer: Answer, now: datetime) -> None:
    """Keep the validators, and the outline as the source drew it."""
    corners = points_document.outline(answer.body or b"")
    Cell.objects.filter(pk=cell.pk).update(
        etag=answer.etag[:200], last_modified=answer.last_modified[:80], outline=corners
    )


def _ask_for_astray(cell: Cell, now: datetime, client: NwsClient | None) -> None:
    """Ask again for places that the cell's outline no longer covers: the grid was renumbered under the same name."""
    corners = Cell.objects.values_list("outline", flat=True).get(pk=cell.pk)
    for point in Point.objects.filter(cell_id=cell.pk, recorded_pattern=""):
        if not points_document.covers(corners, point.lat, point.lon):
            logger.warning("cell_covers_another_place", cell=str(cell), point=point.pk)
            resolve_point(point.pk, now, client)
