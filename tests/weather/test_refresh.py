"""A cell's forecast is fetched, checked, stored once, and survives everything the source may do."""

import threading
from datetime import datetime, timedelta
from typing import Any

import pytest
from django.db import connection
from pytest_django import Settings

from tests.weather.nws_server import NwsServer, cell_key
from weather.actions import Outcome, point_for, refresh_cell, resolve_point
from weather.models import Cell, Forecast, Point
from weather.queries import cells_of_points, points_without_cell, sky_for_point

pytestmark = pytest.mark.django_db
HOUR = timedelta(hours=1)
LAT, LON = 44.95, -93.09


@pytest.fixture
def point(nws_server: NwsServer, slept: list[float], now: datetime) -> Point:
    """A real place whose cell is known and was never fetched."""
    return resolve_point(point_for(LAT, LON, "", now).pk, now)


def refresh(point: Point, now: datetime) -> Outcome:
    point.refresh_from_db()
    assert point.cell_id is not None
    return refresh_cell(point.cell_id, now)


def test_a_place_learns_its_cell_and_zone_and_then_its_sky(point: Point, now: datetime) -> None:
    assert point.cell is not None
    assert (point.cell.key, point.time_zone) == (cell_key(LAT, LON), "America/Chicago")
    assert refresh(point, now) is Outcome.STORED
    sky = sky_for_point(point.pk, now)
    assert sky.usable_today
    assert sky.hourly is not None
    assert sky.source == "nws"
    assert sky.hourly.pop[sky.hourly.row_at(now + 9 * HOUR)] >= 0.7  # the storm of this afternoon
    assert sky.attribution == "National Weather Service"


def test_hours_before_the_issue_are_kept_so_that_rain_of_this_morning_is_known(point: Point, now: datetime) -> None:
    refresh(point, now)
    hourly = sky_for_point(point.pk, now).hourly
    assert hourly is not None
    assert hourly.start < now - 6 * HOUR


def test_an_unchanged_answer_moves_the_check_and_stores_nothing(
    point: Point, nws_server: NwsServer, now: datetime
) -> None:
    refresh(point, now)
    assert refresh(point, now + HOUR) is Outcome.SAME
    assert nws_server.asked[-1][1]["If-None-Match"]
    forecast = Forecast.objects.get()
    assert (forecast.checked_at, forecast.fetched_at) == (now + HOUR, now)
    assert sky_for_point(point.pk, now + HOUR).checked_hours == 0


def test_an_equal_body_without_a_304_is_not_stored_again(point: Point, now: datetime) -> None:
    refresh(point, now)
    Cell.objects.update(etag="", last_modified="")
    assert refresh(point, now + HOUR) is Outcome.SAME
    assert Forecast.objects.get().checked_at == now + HOUR


def test_a_newer_issue_becomes_a_row_of_its_own_and_the_old_one_stays(
    point: Point, nws_server: NwsServer, now: datetime
) -> None:
    refresh(point, now)
    update(nws_server, updateTime=(now + HOUR).isoformat())
    assert refresh(point, now + HOUR) is Outcome.STORED
    assert Forecast.objects.count() == 2
    assert sky_for_point(point.pk, now + HOUR).issued_at == now + HOUR


def update(server: NwsServer, **properties: Any) -> None:
    server.document(cell_key(LAT, LON))["properties"].update(properties)


def test_an_older_copy_is_ignored_and_does_not_count_as_a_check(
    point: Point, nws_server: NwsServer, now: datetime
) -> None:
    refresh(point, now)
    update(nws_server, updateTime=(now - 3 * HOUR).isoformat())
    assert refresh(point, now + HOUR) is Outcome.OLDER
    assert Forecast.objects.get().checked_at == now
    assert "older copy" in sky_for_point(point.pk, now).failure


def test_a_stale_copy_is_stored_but_not_believed(point: Point, nws_server: NwsServer, now: datetime) -> None:
    """88 hours old with an answer of 200 has been seen."""
    update(nws_server, updateTime=(now - 88 * HOUR).isoformat())
    assert refresh(point, now) is Outcome.STORED
    sky = sky_for_point(point.pk, now)
    assert (sky.usable_today, sky.usable_beyond) == (False, False)
    assert sky.age_hours == pytest.approx(88)


@pytest.mark.parametrize("fault", ["html", "html_as_json", "empty", "truncated", "503", "403", "huge", "loop", "reset"])
def test_whatever_the_source_sends_the_last_good_forecast_stays_with_its_age(
    point: Point, nws_server: NwsServer, now: datetime, fault: str
) -> None:
    refresh(point, now)
    update(nws_server, updateTime=(now + HOUR).isoformat())
    nws_server.break_next(fault, times=1 if fault == "loop" else 4)
    later = now + 3 * HOUR
    assert refresh(point, later) is Outcome.FAILED
    cell = Cell.objects.get()
    assert cell.failure
    assert (cell.failed_at, cell.failures_in_a_row, cell.checked_at) == (later, 1, now)
    sky = sky_for_point(point.pk, later)
    assert sky.hourly is not None
    assert (sky.usable_today, sky.checked_hours, sky.failure) == (True, 3, cell.failure)
    assert not sky_for_point(point.pk, now + 7 * HOUR).usable_today


def test_a_success_clears_the_failure(point: Point, nws_server: NwsServer, now: datetime) -> None:
    nws_server.break_next("403")
    assert refresh(point, now) is Outcome.FAILED
    assert refresh(point, now + HOUR) is Outcome.STORED
    cell = Cell.objects.get()
    assert (cell.failure, cell.failures_in_a_row) == ("", 0)


@pytest.mark.parametrize(
    ("properties", "words"),
    [
        ({"windGust": {"uom": "wmoUnit:furlong", "values": [{"validTime": "NOW/PT6H", "value": 3}]}}, "furlong"),
        ({"windGust": {"values": []}}, "no gusts at all"),
        ({"probabilityOfPrecipitation": {}}, "no chance of rain at all"),
        ({"updateTime": "2026-05-04T23:00:00+00:00"}, "in the future"),
    ],
)
def test_a_document_that_must_not_be_trusted_is_not_stored(
    point: Point, nws_server: NwsServer, now: datetime, properties: dict[str, Any], words: str
) -> None:
    update(nws_server, **properties)
    assert refresh(point, now) is Outcome.FAILED
    assert words in Cell.objects.get().failure
    assert not Forecast.objects.exists()
    assert sky_for_point(point.pk, now).hourly is None


def test_unchanged_without_a_stored_body_is_a_failure(point: Point, nws_server: NwsServer, now: datetime) -> None:
    nws_server.break_next("304")
    assert refresh(point, now) is Outcome.FAILED
    assert "nothing was stored" in Cell.objects.get().failure


def test_a_grid_that_moved_is_asked_for_again_and_the_new_cell_fetched(
    point: Point, nws_server: NwsServer, now: datetime
) -> None:
    refresh(point, now)
    nws_server.moved[cell_key(LAT, LON)] = cell_key(LAT + 0.005, LON + 0.021)
    old_id = point.cell_id
    assert refresh(point, now + HOUR) is Outcome.MOVED
    point.refresh_from_db()
    assert point.cell_id != old_id
    assert sky_for_point(point.pk, now + HOUR).checked_hours == 0


def test_a_place_that_is_no_longer_known_keeps_its_last_good_forecast(
    point: Point, nws_server: NwsServer, now: datetime
) -> None:
    refresh(point, now)
    nws_server.break_next("404", times=2)
    assert refresh(point, now + HOUR) is Outcome.FAILED
    assert sky_for_point(point.pk, now + HOUR).hourly is not None


def test_places_are_asked_for_again_after_a_day(point: Point, nws_server: NwsServer, now: datetime) -> None:
    refresh(point, now)
    asked = len(nws_server.paths("/points/"))
    refresh(point, now + 23 * HOUR)
    assert len(nws_server.paths("/points/")) == asked
    refresh(point, now + 25 * HOUR)
    assert len(nws_server.paths("/points/")) == asked + 1


def test_a_cell_that_now_lies_elsewhere_makes_its_places_ask_again(
    point: Point, nws_server: NwsServer, now: datetime
) -> None:
    far_off = [[-90.0, 40.0], [-90.0, 40.02], [-89.98, 40.02], [-89.98, 40.0], [-90.0, 40.0]]
    nws_server.document(cell_key(LAT, LON))["geometry"]["coordinates"] = [far_off]
    asked = len(nws_server.paths("/points/"))
    refresh(point, now)
    assert len(nws_server.paths("/points/")) == asked + 1


def test_neighbours_share_a_cell_and_one_fetch_serves_them_all(nws_server: NwsServer, now: datetime) -> None:
    points = [resolve_point(point_for(LAT + 0.0001 * n, LON, "", now).pk, now).pk for n in range(5)]
    cells = cells_of_points(points)
    assert len(cells) == 1
    refresh_cell(cells[0], now)
    assert len(nws_server.paths("/gridpoints/")) == 1
    assert all(sky_for_point(pk, now).usable_today for pk in points)
    assert points_without_cell([*points, point_for(10, 10, "", now).pk]) == [Point.objects.get(lat=10).pk]


def test_without_a_contact_the_source_is_off_and_says_so(point: Point, settings: Settings, now: datetime) -> None:
    settings.ROOFOPS_WEATHER_CONTACT = ""
    assert refresh(point, now) is Outcome.OFF
    assert "no contact" in Cell.objects.get().failure
    fresh = resolve_point(point_for(40, -90, "", now).pk, now)
    assert fresh.cell is None
    assert "no contact" in sky_for_point(fresh.pk, now).failure


def test_while_one_worker_asks_another_leaves_it_alone(point: Point, nws_server: NwsServer, now: datetime) -> None:
    Cell.objects.update(lease_until=now + timedelta(seconds=30))
    asked = len(nws_server.asked)
    assert refresh(point, now) is Outcome.BUSY
    assert len(nws_server.asked) == asked


def test_the_lease_of_a_dead_worker_runs_out(point: Point, now: datetime) -> None:
    Cell.objects.update(lease_until=now - timedelta(seconds=1))
    assert refresh(point, now) is Outcome.STORED
    assert Cell.objects.get().lease_until is None


def test_a_failure_gives_the_lease_back(point: Point, nws_server: NwsServer, now: datetime) -> None:
    nws_server.break_next("403")
    refresh(point, now)
    assert Cell.objects.get().lease_token is None


@pytest.mark.django_db(transaction=True)
def test_of_two_workers_at_once_one_asks_and_one_leaves_it(point: Point, nws_server: NwsServer, now: datetime) -> None:
    nws_server.slow_s = 0.3
    cell_id = point.cell_id
    assert cell_id is not None
    outcomes: list[Outcome] = []

    def work() -> None:
        outcomes.append(refresh_cell(cell_id, now))
        connection.close()

    workers = [threading.Thread(target=work) for _ in range(2)]
    for worker in workers:
        worker.start()
    for worker in workers:
        worker.join(timeout=30)
    assert sorted(outcomes) == [Outcome.BUSY, Outcome.STORED]
    assert len(nws_server.paths("/gridpoints/")) == 1
