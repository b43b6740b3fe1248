"""What was pressed or typed by a slip: a way back, and numbers typed as they are read."""

from collections.abc import Iterator

import pytest
import time_machine
from django.urls import reverse

from tests.factories.crews import SmallYard, local, small_yard
from tests.factories.jobs import InspectionFactory
from tests.pages.test_today_page import client_of, words_of
from weather.queries import company_limits

pytestmark = pytest.mark.django_db


@pytest.fixture
def world() -> Iterator[SmallYard]:
    made = small_yard()
    InspectionFactory(job=made.job, hold_point=False)
    with time_machine.travel(local(9), tick=False):
        yield made


def test_a_result_noted_by_a_slip_can_be_taken_back(world: SmallYard) -> None:
    visit = world.job.inspections.get()
    client, address = client_of(world.manager), reverse("job_inspection", args=[world.job.pk, visit.pk])
    client.post(address, {"act": "passed"})
    visit.refresh_from_db()
    assert visit.state == "passed"
    assert "Take the result back" in words_of(client.get(reverse("job", args=[world.job.pk])))
    client.post(address, {"act": "back"})
    visit.refresh_from_db()
    assert visit.state == ("booked" if visit.window_start else "to_call")


def test_a_share_is_typed_in_percent_as_it_is_read(world: SmallYard) -> None:
    client, address = client_of(world.manager), reverse("limit", args=["rain_open_chance"])
    client.post(address, {"rain_open_chance-value": "8"})
    assert company_limits(world.yard.pk)["rain_open_chance"] == pytest.approx(0.08)
    page = client.post(address, {"rain_open_chance-value": "80"})
    assert page.status_code == 422
    assert "Enter 0 to 50 %." in words_of(page)
    assert 'value="80"' in page.content.decode()
