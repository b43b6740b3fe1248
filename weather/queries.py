"""Reads of the sky: rows in, tables and limits out."""

from collections.abc import Iterable, Mapping
from datetime import datetime

from django.db.models import OuterRef, Q, Subquery

from weather.chain import Chosen, Held, choose
from weather.limits import Limits
from weather.models import Cell, Forecast, Point, Source, WorkLimit
from weather.packing import unpack


def sky_for_point(point_id: int | None, now: datetime, limits: Limits | None = None) -> Chosen:
    """The forecast to work with at one place; unknown where the place has none (or is None)."""
    if point_id is None:
        return choose((), now)
    return skies_for_points([point_id], now, limits)[point_id]


def skies_for_points(point_ids: Iterable[int], now: datetime, limits: Limits | None = None) -> dict[int, Chosen]:
    """The forecast to work with at each place, in two queries however many places there are.

    A demo place sees only invented weather, a real place only real forecasts; whatever else is unknown.
    """
    wanted = set(point_ids)
    points = list(Point.objects.filter(pk__in=wanted).select_related("cell"))
    held = _newest_by_cell({point.cell_id for point in points if point.cell_id is not None})
    skies = {point_id: choose((), now) for point_id in wanted}
    for point in points:
        cell = point.cell
        if cell is None:
            skies[point.pk] = choose((), now, failure=point.failure)
        elif (cell.source == Source.RECORDED) == bool(point.recorded_pattern):
            newest = held.get(cell.pk)
            failure = cell.failure or point.failure
            skies[point.pk] = choose(() if newest is None else (newest,), now, limits, failure)
    return skies


def _newest_by_cell(cell_ids: set[int]) -> Mapping[int, Held]:
    newest = Forecast.objects.filter(cell=OuterRef("pk")).order_by("-issued_at", "-id").values("pk")[:1]
    picked = Cell.objects.filter(pk__in=cell_ids).annotate(newest=Subquery(newest)).values("newest")
    forecasts = Forecast.objects.filter(pk__in=picked).select_related("cell")
    return {forecast.cell_id: _held(forecast) for forecast in forecasts}


def _held(forecast: Forecast) -> Held:
    return Held(
        hourly=unpack(forecast.table),
        source=forecast.cell.source,
        issued_at=forecast.issued_at,
        checked_at=forecast.checked_at,
        forecast_id=forecast.pk,
    )


def cells_of_points(point_ids: Iterable[int]) -> list[int]:
    """The cells that serve these places, each once: one fetch serves all places in a cell."""
    cells = Cell.objects.filter(points__in=set(point_ids)).order_by("pk").distinct()
    return list(cells.values_list("pk", flat=True))


def points_without_cell(point_ids: Iterable[int]) -> list[int]:
    """Those of the places whose cell nobody has asked for yet, or was lost when the grid moved."""
    return list(Point.objects.filter(pk__in=set(point_ids), cell=None).order_by("pk").values_list("pk", flat=True))


def company_limits(yard_id: int | None = None) -> dict[str, float]:
    """The values that the company set, latest first; a yard's own value goes before one for every yard.

    Returns only what was set: hand it to `Limits.from_values`.
    """
    values: dict[str, float] = {}
    for_yard: dict[str, float] = {}
    rows = WorkLimit.objects.filter(Q(yard_id_number=None) | Q(yard_id_number=yard_id)).order_by("set_at", "pk")
    for row in rows:
        (values if row.yard_id_number is None else for_yard)[row.key] = row.value
    return values | for_yard


def limits_for(yard_id: int | None = None, overrides: Mapping[str, float] | None = None) -> Limits:
    """The limits in force: defaults, then the company's, the yard's, and at last the given ones of one job."""
    return Limits.from_values(company_limits(yard_id) | dict(overrides or {}))
