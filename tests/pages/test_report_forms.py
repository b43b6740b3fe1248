"""Reports from a roof through the forms: what is kept, what stays typed, who may."""

import re
from collections.abc import Iterator
from io import BytesIO

import pytest
import time_machine
from django.core.files.uploadedfile import SimpleUploadedFile
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse
from PIL import Image

from crews.models import EntryKind, ProgressEntry
from jobs.models import Photo, PhotoKind, Section
from roofops.record.access import Role
from tests.factories.crews import SmallYard, crew, local, person, small_yard
from tests.pages.test_today_page import client_of, words_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def world() -> Iterator[SmallYard]:
    """The small yard at 9 am."""
    made = small_yard()
    with time_machine.travel(local(9), tick=False):
        yield made


@pytest.fixture
def lead(world: SmallYard) -> Client:
    return client_of(world.lead)


def address(world: SmallYard) -> str:
    return reverse("report", args=[world.job.pk])


def hidden(page: HttpResponse) -> dict[str, str]:
    """The hidden fields that the form sends back."""
    pairs = re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', page.content.decode())
    return {name: value for name, value in pairs if name != "csrfmiddlewaretoken"}


def slope(world: SmallYard) -> Section:
    return world.job.sections.earliest("position")


def picture(name: str = "roof.jpg") -> SimpleUploadedFile:
    content = BytesIO()
    Image.new("RGB", (40, 30), "gray").save(content, "JPEG")
    return SimpleUploadedFile(name, content.getvalue(), "image/jpeg")


def test_squares_torn_off_are_kept_with_what_the_form_showed_before(world: SmallYard, lead: Client) -> None:
    sent = hidden(lead.get(address(world)))
    row = slope(world)
    answer = lead.post(address(world), {**sent, "place": f"s{row.pk}", "kind": "torn_off", "amount": "2.5"})
    assert answer.status_code == 302
    row.refresh_from_db()
    assert row.bare_squares == pytest.approx(2.5)
    entry = ProgressEntry.objects.get(kind=EntryKind.TORN_OFF, done_after=2.5)
    assert (entry.done_before, entry.differs, entry.section_id) == (0.0, False, row.pk)


def test_a_decimal_comma_is_read_as_a_point(world: SmallYard, lead: Client) -> None:
    row = slope(world)
    lead.post(address(world), {"what": "squares", "place": f"s{row.pk}", "kind": "torn_off", "amount": "1,5"})
    row.refresh_from_db()
    assert row.bare_squares == pytest.approx(1.5)


def test_the_same_form_sent_twice_is_one_report(world: SmallYard, lead: Client) -> None:
    sent = {**hidden(lead.get(address(world))), "place": f"s{slope(world).pk}", "kind": "torn_off", "amount": "2"}
    lead.post(address(world), sent)
    lead.post(address(world), sent)
    assert ProgressEntry.objects.filter(kind=EntryKind.TORN_OFF, done_after=2).count() == 1


def test_more_than_measured_is_saved_and_says_to_check_the_measurement(world: SmallYard, lead: Client) -> None:
    row = slope(world)
    sent = {"what": "squares", "place": f"s{row.pk}", "kind": "torn_off", "amount": "99"}
    page = lead.post(reverse("report", args=[world.job.pk]), sent, follow=True)
    assert ProgressEntry.objects.filter(more_than_measured=True, done_after=99).exists()
    assert "More than measured: check the measurement." in " ".join(str(m) for m in page.context["messages"])


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"place": "", "kind": "torn_off", "amount": "2"}, "Choose where."),
        ({"kind": "torn_off", "amount": "-1"}, "The number cannot be below 0."),
        ({"kind": "torn_off", "amount": "nan"}, "Enter a number, such as 4.5."),
        ({"kind": "torn_off", "amount": "two"}, "Enter a number, such as 4.5."),
        ({"kind": "ridge_opened", "amount": "2"}, "A slope is torn off, dried-in or shingled."),
    ],
)
def test_a_report_that_makes_no_sense_is_refused_and_what_was_typed_is_kept(
    world: SmallYard, lead: Client, typed: dict[str, str], sentence: str
) -> None:
    sent = {"what": "squares", "place": f"s{slope(world).pk}", **typed}
    page = lead.post(address(world), sent)
    assert page.status_code == 422
    assert sentence in words_of(page)
    assert f'value="{typed["amount"]}"' in page.content.decode()
    assert not ProgressEntry.objects.exists()


def test_section_is_dried_in_closes_what_the_lead_saw_and_not_what_was_torn_off_since(
    world: SmallYard, lead: Client
) -> None:
    row = slope(world)
    torn = {"what": "squares", "place": f"s{row.pk}", "kind": "torn_off"}
    lead.post(address(world), {**torn, "amount": "2"})
    shown = hidden(lead.get(address(world) + "?what=dried_in"))
    client_of(world.manager).post(address(world), {**torn, "amount": "3"})
    lead.post(address(world), {**shown, "place": f"s{row.pk}"})
    row.refresh_from_db()
    assert (row.bare_squares, row.dried_in_squares) == (pytest.approx(1.0), pytest.approx(2.0))


def test_rain_here_now_takes_one_tap(world: SmallYard, lead: Client) -> None:
    answer = lead.post(address(world), {"what": "rain", "client_uuid": "4be1a5a4-97a5-4a0c-9a51-2f6f2b8d7c11"})
    assert answer.status_code == 302
    assert ProgressEntry.objects.get().kind == EntryKind.RAIN_HERE


def test_closed_for_the_night_asks_for_a_name_and_a_photo(world: SmallYard, lead: Client) -> None:
    page = lead.post(address(world), {"what": "closed", "by_name": ""})
    assert page.status_code == 422
    assert "Enter who looked." in words_of(page)
    assert "Take a photo, or tick that none can be taken." in words_of(page)
    answer = lead.post(address(world), {"what": "closed", "by_name": "Lena", "photo": picture()})
    assert answer.status_code == 302
    entry = ProgressEntry.objects.get(kind=EntryKind.CLOSED)
    assert entry.by_name == "Lena"
    assert Photo.objects.get().kind == PhotoKind.CLOSED
    assert entry.photo_id == Photo.objects.get().pk


def test_a_file_that_is_no_photo_is_refused_with_words(world: SmallYard, lead: Client) -> None:
    bad = SimpleUploadedFile("roof.jpg", b"not a picture", "image/jpeg")
    page = lead.post(address(world), {"what": "photo", "photo": bad, "kind": "other"})
    assert page.status_code == 422
    assert "This is not a JPEG, PNG or WebP photo." in words_of(page)


def test_a_photo_is_served_privately_to_the_crew_and_not_to_another_crew(world: SmallYard, lead: Client) -> None:
    lead.post(address(world), {"what": "photo", "photo": picture(), "kind": "deck"})
    served = lead.get(reverse("photo", args=[Photo.objects.get().pk]))
    assert served.status_code == 200
    assert served["Content-Type"] == "image/jpeg"
    assert served["X-Content-Type-Options"] == "nosniff"
    assert served["Cache-Control"].startswith("private")
    other = crew(world.yard, "Tamm")
    stranger = client_of(person(world.yard, "tess", Role.CREW_LEAD, other))
    assert stranger.get(reverse("photo", args=[Photo.objects.get().pk])).status_code == 404
    assert stranger.get(address(world)).status_code == 404


def test_the_form_is_never_stored_by_the_browser(world: SmallYard, lead: Client) -> None:
    assert "no-store" in lead.get(address(world))["Cache-Control"]


def test_an_unknown_kind_of_report_does_not_exist(world: SmallYard, lead: Client) -> None:
    assert lead.get(address(world) + "?what=party").status_code == 404
