"""A refresh first asks for the cell of every place that has none, then fetches each cell once."""

from datetime import datetime

import pytest

from crews.actions import forecasts
from crews.models import JobPoint
from jobs.models import JobStatus
from roofops.record.access import Access
from tests.factories.crews import cell, local
from tests.factories.jobs import YardFactory, ready_job
from weather.actions import Outcome
from weather.models import Cell, Point

pytestmark = pytest.mark.django_db


def test_a_new_place_is_resolved_before_its_cell_is_fetched(monkeypatch: pytest.MonkeyPatch) -> None:
    yard = YardFactory()
    first, second = (ready_job(yard=yard, status=JobStatus.AT_WORK) for _ in range(2))
    for number, job in enumerate((first, second)):
        job.lat, job.lon = 41.0 + number, -90.0
        job.save()
    found = cell("TST/7,7")
    order: list[str] = []

    def resolve(point_id: int, now: datetime) -> Point:
        point = Point.objects.get(pk=point_id)
        if point.lat == 41.0:
            point.cell = found
        else:
            point.failure = "No grid there."
        point.save()
        order.append(f"resolve {point.lat}")
        return point

    def fetch(cell_id: int, now: datetime) -> Outcome:
        order.append(f"fetch {Cell.objects.get(pk=cell_id).key}")
        return Outcome.STORED

    monkeypatch.setattr(forecasts, "resolve_point", resolve)
    monkeypatch.setattr(forecasts, "refresh_cell", fetch)
    outcomes = forecasts.refresh_forecasts(Access.system(), lambda: local(6))
    assert sorted(order[:2]) == ["resolve 41.0", "resolve 42.0"]
    assert order[2:] == ["fetch TST/7,7"]
    assert [(one.outcome, one.ok) for one in outcomes] == [("unresolved", False), (Outcome.STORED.value, True)]
    assert "No grid there." in outcomes[0].failure
    assert JobPoint.objects.count() == 2
    # Asked again, what has its cell is not asked for once more.
    order.clear()
    forecasts.refresh_forecasts(Access.system(), lambda: local(6.5))
    assert order == ["resolve 42.0", "fetch TST/7,7"]
