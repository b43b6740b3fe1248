"""The roster's upload page: looked at first, taken whole or not at all, by the manager only."""

from collections.abc import Iterator

import pytest
import time_machine
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

from crews.models import Worker
from roofops.record.access import Access, Role
from tests.factories.crews import SmallYard, local, small_yard
from tests.factories.people import person
from tests.pages.test_today_page import client_of, words_of

pytestmark = pytest.mark.django_db

ROSTER = "name,phone,crew,lead\nAnna Quell,555-0191,Quell,yes\nBo Farrier,555-0192,Quell,\n"


@pytest.fixture
def world() -> Iterator[SmallYard]:
    made = small_yard()
    with time_machine.travel(local(9), tick=False):
        yield made


@pytest.fixture
def manager(world: SmallYard) -> Client:
    return client_of(world.manager)


def test_a_roster_is_shown_before_anything_is_saved(manager: Client) -> None:
    page = manager.post(
        reverse("roster_import"), {"file": SimpleUploadedFile("roster.csv", ROSTER.encode(), "text/csv")}
    )
    assert page.status_code == 200
    words = words_of(page)
    assert "2 new people, 0 known ones, 1 new crews. Nothing is saved yet." in words
    assert "Anna Quell lead" in words
    assert not Worker.objects.filter(name="Anna Quell").exists()


def test_what_was_looked_at_is_saved_and_the_crews_page_shows_it(manager: Client) -> None:
    page = manager.post(reverse("roster_import"), {"text": ROSTER, "save": "1"}, follow=True)
    words = words_of(page)
    assert "2 people saved." in words
    assert "Bo Farrier" in words
    assert set(Worker.objects.filter(name__in=("Anna Quell", "Bo Farrier")).values_list("phone", flat=True)) == {
        "555-0191",
        "555-0192",
    }


def test_a_row_that_cannot_be_taken_is_named_and_the_text_stays(manager: Client) -> None:
    bad = ROSTER.replace("555-0192,Quell,", "555-0192,Quell,perhaps")
    page = manager.post(reverse("roster_import"), {"text": bad, "save": "1"})
    assert page.status_code == 422
    words = words_of(page)
    assert "Nothing imported: 1 place in the file must be mended." in words
    assert "line 3" in words
    assert "555-0192,Quell,perhaps" in page.content.decode()
    assert not Worker.objects.filter(name="Anna Quell").exists()


def test_nothing_chosen_is_a_plain_refusal(manager: Client) -> None:
    page = manager.post(reverse("roster_import"), {})
    assert page.status_code == 422
    assert "Choose a file, or paste its text." in words_of(page)


def test_only_a_manager_is_offered_the_import(world: SmallYard, manager: Client) -> None:
    assert reverse("roster_import") in manager.get(reverse("crews")).content.decode()
    user = person("dirk", world.yard, Role.DISPATCHER)
    dispatcher = client_of(Access(user=user, role_by_yard={world.yard.pk: Role.DISPATCHER}))
    assert reverse("roster_import") not in dispatcher.get(reverse("crews")).content.decode()
    assert dispatcher.get(reverse("roster_import")).status_code == 403
