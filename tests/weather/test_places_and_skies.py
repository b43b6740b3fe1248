"""Places of the demonstration and real places, the skies over them, and the company's limits."""

from datetime import datetime, timedelta

import pytest
from django.contrib.auth.models import User
from pytest_django import DjangoAssertNumQueries

from roofops.record.access import Access, Forbidden, NotFound, Role
from roofops.record.models import LogEntry
from tests.weather.tables import START, mild
from weather.actions import (
    Outcome,
    Stored,
    note_failure,
    note_unchanged,
    point_for,
    prune_forecasts,
    refresh_cell,
    resolve_point,
    set_limit,
    store_forecast,
)
from weather.models import Cell, Forecast, Point, WorkLimit
from weather.queries import company_limits, limits_for, skies_for_points, sky_for_point

pytestmark = pytest.mark.django_db
HOUR = timedelta(hours=1)


def demo_point(now: datetime, pattern: str = "westmere-dry", lat: float = 44.95) -> Point:
    return point_for(lat, -93.09, pattern, now, "America/Chicago")


def cell_of(point: Point) -> Cell:
    assert point.cell is not None
    return point.cell


def test_a_demo_place_has_its_sky_without_any_network(now: datetime) -> None:
    point = demo_point(now)
    assert refresh_cell(cell_of(point).pk, now) is Outcome.STORED
    sky = sky_for_point(point.pk, now)
    assert (sky.source, sky.usable_today, sky.attribution) == (
        "recorded", True, "invented weather for the demonstration",
    )  # fmt: skip
    assert resolve_point(point.pk, now) == point  # asks nobody


def test_the_invented_weather_is_stored_once_per_issue(now: datetime) -> None:
    cell_id = cell_of(demo_point(now)).pk
    assert refresh_cell(cell_id, now) is Outcome.STORED
    assert refresh_cell(cell_id, now + HOUR) is Outcome.SAME
    assert Forecast.objects.get().checked_at == now + HOUR
    assert refresh_cell(cell_id, now + 24 * HOUR) is Outcome.STORED


def test_the_silent_office_stays_unknown_however_often_it_is_asked(now: datetime) -> None:
    point = demo_point(now, "westmere-silent")
    for hour in range(5):
        refresh_cell(cell_of(point).pk, now + hour * HOUR)
        sky = sky_for_point(point.pk, now + hour * HOUR)
        assert not sky.usable_today
        assert sky.checked_hours is not None
        assert 9 <= sky.checked_hours < 10


def test_a_place_is_one_row_to_four_decimals(now: datetime) -> None:
    assert point_for(44.95001, -93.09, "", now) == point_for(44.95, -93.090001, "", now)
    assert demo_point(now) != point_for(44.95, -93.09, "", now)
    with pytest.raises(ValueError, match="no place at 95"):
        point_for(95, 0, "", now)
    with pytest.raises(ValueError, match="no invented weather called 'sunny'"):
        point_for(45, 0, "sunny", now)


def test_a_real_place_never_sees_invented_weather_and_a_demo_place_never_a_real_forecast(now: datetime) -> None:
    demo = demo_point(now)
    refresh_cell(cell_of(demo).pk, now)
    real = point_for(44.95, -93.09, "", now)
    Point.objects.filter(pk=real.pk).update(cell=cell_of(demo))
    assert sky_for_point(real.pk, now).hourly is None
    nws_cell = Cell.objects.create(source="nws", key="ABC/1,1")
    store_forecast(nws_cell.pk, mild(), START)
    Point.objects.filter(pk=demo.pk).update(cell=nws_cell)
    assert sky_for_point(demo.pk, START).hourly is None


def test_skies_of_many_places_take_two_queries(
    now: datetime, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    points = [
        demo_point(now, pattern, 44 + n / 100) for n, pattern in enumerate(["westmere-dry", "westmere-storm"] * 4)
    ]
    for cell in Cell.objects.all():
        refresh_cell(cell.pk, now)
    with django_assert_num_queries(2):
        skies = skies_for_points([point.pk for point in points], now)
    assert len(skies) == 8
    assert all(sky.usable_today for sky in skies.values())


def test_a_place_that_does_not_exist_is_unknown(now: datetime) -> None:
    assert sky_for_point(None, now).hourly is None
    assert sky_for_point(12345, now).hourly is None


def test_the_check_of_a_forecast_moves_only_forwards(now: datetime) -> None:
    cell = Cell.objects.create(source="nws", key="ABC/1,1")
    assert not note_unchanged(cell.pk, now)
    assert store_forecast(cell.pk, mild(), now) is Stored.NEW
    assert note_unchanged(cell.pk, now + 2 * HOUR)
    assert note_unchanged(cell.pk, now + HOUR)
    assert Forecast.objects.get().checked_at == now + 2 * HOUR
    note_failure(cell.pk, "x" * 1000, now)
    assert len(Cell.objects.get(pk=cell.pk).failure) == 300


def test_old_forecasts_go_except_those_that_are_named_and_the_newest(now: datetime) -> None:
    cell = Cell.objects.create(source="nws", key="ABC/1,1")
    for n in range(4):
        table = mild(start=START + n * HOUR)
        store_forecast(cell.pk, table, START + n * HOUR)
    ids = list(Forecast.objects.order_by("issued_at").values_list("pk", flat=True))
    assert prune_forecasts(START + 100 * HOUR, kept_ids=[ids[1]]) == 2
    assert set(Forecast.objects.values_list("pk", flat=True)) == {ids[1], ids[3]}


@pytest.fixture
def manager() -> Access:
    return Access(User.objects.create_user("manager"), {1: Role.MANAGER, 2: Role.CREW_LEAD})


def test_the_company_sets_a_limit_and_the_latest_counts(manager: Access, now: datetime) -> None:
    set_limit(manager, "closing_gust_mph", 22, now)
    set_limit(manager, "closing_gust_mph", 21, now + HOUR)
    assert company_limits() == {"closing_gust_mph": 21}
    assert limits_for(1, {"shingle_min_f": 45}).closing_gust_mph == 21
    assert limits_for(1, {"shingle_min_f": 45}).shingle_min_f == 45


def test_a_yards_own_limit_goes_before_the_companys(manager: Access, now: datetime) -> None:
    set_limit(manager, "closing_gust_mph", 18, now, yard_id=1)
    set_limit(manager, "closing_gust_mph", 22, now + HOUR)
    assert company_limits(1) == {"closing_gust_mph": 18}
    assert company_limits(2) == {"closing_gust_mph": 22}


def test_a_safety_limit_is_tightened_freely_and_loosened_only_with_a_reason_that_is_logged(
    manager: Access, now: datetime
) -> None:
    set_limit(manager, "off_roof_gust_mph", 25, now)
    with pytest.raises(ValueError, match="only with a reason"):
        set_limit(manager, "off_roof_gust_mph", 28, now, reason="  ")
    set_limit(manager, "off_roof_gust_mph", 28, now + HOUR, reason="new anchors")
    assert WorkLimit.objects.count() == 2
    entry = LogEntry.objects.latest("pk")
    assert (entry.verb, entry.data["old"], entry.data["new"], entry.data["reason"]) == (
        "limit_set", 25, 28, "new anchors",
    )  # fmt: skip


def test_only_a_manager_sets_limits(manager: Access, now: datetime) -> None:
    with pytest.raises(Forbidden):
        set_limit(manager, "closing_gust_mph", 20, now, yard_id=2)
    with pytest.raises(NotFound):
        set_limit(manager, "closing_gust_mph", 20, now, yard_id=3)
    lead = Access(User.objects.create_user("lead"), {1: Role.CREW_LEAD})
    with pytest.raises(Forbidden):
        set_limit(lead, "closing_gust_mph", 20, now)
    set_limit(Access.system(), "closing_gust_mph", 20, now)


def test_a_limit_that_makes_no_sense_is_refused(manager: Access, now: datetime) -> None:
    with pytest.raises(ValueError, match="must lie between"):
        set_limit(manager, "closing_gust_mph", 90, now, reason="brave")
    with pytest.raises(ValueError, match="no limit called"):
        set_limit(manager, "luck", 1, now)
