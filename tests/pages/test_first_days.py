"""The first days of a yard: no job, crew, plan or forecast; each page says what is missing and what comes next."""

from collections.abc import Iterator

import pytest
import time_machine
from django.test import Client
from django.urls import reverse
from pytest_django.fixtures import Settings

from crews import actions
from crews.models import JobPoint
from jobs.models import Edge, Job, Yard
from roofops.record.access import Access, Role
from tests.factories.crews import SmallYard, local, person, small_yard
from tests.factories.people import yard
from tests.pages.test_today_page import client_of, words_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def new_yard() -> Yard:
    return yard("Westmere yard")


@pytest.fixture
def client(new_yard: Yard) -> Client:
    return client_of(person(new_yard, "mara", Role.MANAGER))


@pytest.mark.parametrize(
    ("name", "sentence"),
    [
        ("today", "No job that is ready to build has a day yet: propose a plan on the Plan page."),
        ("tomorrow", "No job is planned for the next work day."),
        ("plan", "Import a roster, then propose a plan."),
        ("job_list", "Enter the first one, or import a file."),
        ("deliveries", "No load today."),
        ("crews", "Import a roster: a file of people with their crews."),
    ],
)
def test_an_empty_page_says_what_is_missing_and_what_comes_next(client: Client, name: str, sentence: str) -> None:
    assert sentence in words_of(client.get(reverse(name)))


@pytest.fixture
def world() -> Iterator[SmallYard]:
    """A planned roof over which no forecast ever came."""
    made = small_yard()
    JobPoint.objects.all().delete()
    with time_machine.travel(local(9), tick=False):
        actions.decide(Access.system(), made.yard.pk, local(9))
        yield made


def test_without_a_weather_contact_today_says_why_all_is_unknown_and_who_mends_it(
    world: SmallYard, settings: Settings
) -> None:
    client = client_of(world.manager)
    settings.ROOFOPS_WEATHER_CONTACT = ""
    words = words_of(client.get(reverse("today")))
    assert "No forecast is fetched here, so every roof stays unknown and nothing may be opened." in words
    assert "sets ROOFOPS_WEATHER_CONTACT" in words
    settings.ROOFOPS_WEATHER_CONTACT = "office@example.com"
    assert "No forecast is fetched here" not in words_of(client.get(reverse("today")))


def test_a_roof_without_measured_edges_says_that_its_takeoff_has_a_gap(world: SmallYard) -> None:
    client, address = client_of(world.manager), reverse("job", args=[world.job.pk])
    gap = "No edge is measured: starter, ice barrier, drip edge and caps are not counted."
    assert gap not in words_of(client.get(address))
    Edge.objects.filter(job=Job.objects.get(pk=world.job.pk)).delete()
    assert gap in words_of(client.get(address))
