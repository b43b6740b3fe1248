"""Stores forecasts: one immutable row per issue and content; what failed is written beside the last good one."""

import hashlib
from collections.abc import Collection
from datetime import datetime, timedelta
from enum import StrEnum

from django.db import transaction
from django.db.models import F

from weather.hourly import Hourly
from weather.models import Cell, Forecast
from weather.packing import pack

# A source's clock may run ahead of ours by this much. A time of issue further ahead is a fault: stored, it would hide
# every true forecast until then.
CLOCK_SLACK = timedelta(hours=1)
FAILURE_LENGTH = 300


class Stored(StrEnum):
    """What became of a forecast that was offered."""

    NEW = "new"
    SAME = "same"
    OLDER = "older"  # the source answered with an older copy than the one we hold


class NotPlausible(ValueError):
    """A table that can be read but must not replace the last good one."""


@transaction.atomic
def store_forecast(cell_id: int, hourly: Hourly, now: datetime, checked_at: datetime | None = None) -> Stored:
    """Store a table as the cell's newest forecast, unless it is the one we hold already or older.

    Parameters
    ----------
    checked_at : datetime, optional
        When the source confirmed it; `now` where not given.

    Raises
    ------
    NotPlausible
        It claims to be issued in the future.
    Cell.DoesNotExist
        There is no such cell.
    """
    if hourly.issued_at > now + CLOCK_SLACK:
        raise NotPlausible(f"The forecast claims to be issued at {hourly.issued_at:%Y-%m-%d %H:%M} UTC, in the future.")
    checked_at = now if checked_at is None else checked_at
    # The row lock (or SQLite's single writer) keeps two workers from judging 'newest' on the same picture.
    cell = Cell.objects.select_for_update().get(pk=cell_id)
    newest = cell.forecasts.order_by("-issued_at", "-id").first()
    if newest is not None and hourly.issued_at < newest.issued_at:
        return Stored.OLDER
    table = pack(hourly)
    forecast, is_new = Forecast.objects.get_or_create(
        cell=cell,
        issued_at=hourly.issued_at,
        digest=hashlib.sha256(table).hexdigest(),
        defaults={
            "fetched_at": now,
            "checked_at": checked_at,
            "table": table,
            "attribution": hourly.attribution,
            "flags": sorted(frozenset[str]().union(*hourly.flags)),
        },
    )
    if not is_new:
        _move_check(forecast, checked_at)
    _note_success(cell_id, checked_at)
    return Stored.NEW if is_new else Stored.SAME


@transaction.atomic
def note_unchanged(cell_id: int, now: datetime) -> bool:
    """The source says that nothing changed (304): move the check of the newest forecast. False when there is none."""
    newest = Forecast.objects.filter(cell_id=cell_id).order_by("-issued_at", "-id").first()
    if newest is None:
        return False
    _move_check(newest, now)
    _note_success(cell_id, now)
    return True


def note_failure(cell_id: int, failure: str, now: datetime) -> None:
    """Write down in words why the source gave nothing; the last good forecast stays with its age."""
    Cell.objects.filter(pk=cell_id).update(
        failed_at=now, failure=failure[:FAILURE_LENGTH], failures_in_a_row=F("failures_in_a_row") + 1
    )


def prune_forecasts(before: datetime, kept_ids: Collection[int]) -> int:
    """Delete forecasts fetched before a moment, except those that decisions and records name and each cell's newest.

    Returns how many rows went.
    """
    # Of equal keys the last one stays: each cell's newest issue.
    newest_by_cell = dict(Forecast.objects.order_by("cell_id", "issued_at", "id").values_list("cell_id", "id"))
    kept = set(kept_ids) | set(newest_by_cell.values())
    deleted, _ = Forecast.objects.filter(fetched_at__lt=before).exclude(pk__in=kept).delete()
    return deleted


def _move_check(forecast: Forecast, checked_at: datetime) -> None:
    # Only ever forwards: two workers may finish in the other order.
    Forecast.objects.filter(pk=forecast.pk, checked_at__lt=checked_at).update(checked_at=checked_at)


def _note_success(cell_id: int, checked_at: datetime) -> None:
    Cell.objects.filter(pk=cell_id).update(checked_at=checked_at, failure="", failures_in_a_row=0)
