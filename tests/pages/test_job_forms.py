"""Entering, editing and importing jobs: what is saved, what is refused, what stays typed."""

import re
from collections.abc import Iterator

import pytest
import time_machine
from django.core.files.uploadedfile import SimpleUploadedFile
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse

from jobs.models import Job
from tests.factories.crews import SmallYard, local, small_yard
from tests.pages.test_today_page import client_of, words_of

pytestmark = pytest.mark.django_db

CSV = """record,job,short_name,street,lat,lon,section,pitch_in_12,squares
job,N-1,Orme,7 Mill Race Lane,44.95,-93.1,,,
section,N-1,,,,,front slope,6,7.5
"""


@pytest.fixture
def world() -> Iterator[SmallYard]:
    made = small_yard()
    with time_machine.travel(local(9), tick=False):
        yield made


@pytest.fixture
def manager(world: SmallYard) -> Client:
    return client_of(world.manager)


def filled(page: HttpResponse) -> dict[str, str]:
    """Every field of the job form as the page shows it."""
    fields: dict[str, str] = {}
    for form in [page.context["entry"].job, page.context["entry"].shape, page.context["entry"].details]:
        for field in form:
            value = field.value()
            if value is True:
                fields[field.html_name] = "on"
            elif value is not None and value is not False:
                fields[field.html_name] = str(value)
    for formset in (page.context["entry"].sections, page.context["entry"].edges):
        for field in formset.management_form:
            fields[field.html_name] = str(field.value())
    return fields


def new_gable(page: HttpResponse, world: SmallYard, **typed: str) -> dict[str, str]:
    return filled(page) | {
        "job-yard": str(world.yard.pk),
        "job-number": "N-77",
        "job-short_name": "Quill",
        "job-kind": "re_roof",
        "job-street": "9 Tannery Row",
        "job-lat": "44.95",
        "job-lon": "-93.1",
        "job-cut_up": "simple",
        "job-underlayment": "synthetic",
        "shape-shape": "gable",
        "shape-length_ft": "40",
        "shape-width_ft": "28",
        "shape-pitch_in_12": "6",
        **typed,
    }


def test_a_gable_from_lengths_and_pitch_is_saved_with_its_squares(world: SmallYard, manager: Client) -> None:
    page = manager.get(reverse("job_new"))
    answer = manager.post(reverse("job_new"), new_gable(page, world))
    job = Job.objects.get(number="N-77")
    assert answer["Location"] == reverse("job", args=[job.pk])
    # 42 ft x 15 ft plan run x sqrt(1 + (6/12)^2), two slopes: roof framing geometry.
    assert sum(section.squares for section in job.sections.all()) == pytest.approx(
        2 * 42 * 15 * 1.25**0.5 / 100, abs=0.01
    )


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"shape-pitch_in_12": "40"}, "A pitch of 40/12 is not a roof"),
        ({"shape-length_ft": "-3"}, "The house length must be longer than 0 ft"),
        ({"job-time_zone": "Mars/Olympus"}, "is not a time zone name"),
        ({"job-lat": "123"}, "less than or equal to 90"),
        ({"job-number": ""}, "Enter the job number."),
        ({"shape-length_ft": ""}, "Enter the length of the house, ft."),
    ],
)
def test_a_refused_job_says_why_and_keeps_what_was_typed(
    world: SmallYard, manager: Client, typed: dict[str, str], sentence: str
) -> None:
    page = manager.get(reverse("job_new"))
    answer = manager.post(reverse("job_new"), new_gable(page, world, **typed))
    assert answer.status_code == 422
    assert sentence in words_of(answer)
    html = answer.content.decode()
    assert 'value="9 Tannery Row"' in html
    [value] = typed.values()
    assert not value or f'value="{value}"' in html
    assert 'aria-invalid="true"' in html
    assert not Job.objects.filter(number="N-77").exists()


def test_a_number_that_is_taken_is_refused_on_the_page(world: SmallYard, manager: Client) -> None:
    page = manager.get(reverse("job_new"))
    answer = manager.post(reverse("job_new"), new_gable(page, world, **{"job-number": world.job.number}))
    assert answer.status_code == 422
    assert f"The yard has a job {world.job.number} already." in words_of(answer)


def test_two_people_editing_one_job_the_second_is_told(world: SmallYard, manager: Client) -> None:
    address = reverse("job_edit", args=[world.job.pk])
    first, second = filled(manager.get(address)), filled(manager.get(address))
    assert manager.post(address, {**first, "job-wishes": "mind the roses"}).status_code == 302
    answer = manager.post(address, {**second, "job-wishes": "ring first"})
    assert answer.status_code == 422
    assert "Somebody else saved this job while you had it open." in words_of(answer)
    assert 'value="ring first"' in answer.content.decode()
    world.job.refresh_from_db()
    assert world.job.wishes == "mind the roses"


def upload(text: str) -> SimpleUploadedFile:
    return SimpleUploadedFile("jobs.csv", text.encode(), "text/csv")


def test_an_import_is_looked_at_first_and_saved_when_asked(world: SmallYard, manager: Client) -> None:
    page = manager.post(reverse("job_import"), {"file": upload(CSV)})
    assert page.status_code == 200
    assert "1 job in the file, 7.5 squares. Nothing is saved yet." in words_of(page)
    assert not Job.objects.filter(number="N-1").exists()
    kept = page.context["form"]["text"].value()
    manager.post(reverse("job_import"), {"text": kept, "save": "1"})
    assert Job.objects.get(number="N-1").street == "7 Mill Race Lane"


def test_a_bad_row_is_named_with_line_and_column_and_the_text_is_kept(world: SmallYard, manager: Client) -> None:
    page = manager.post(reverse("job_import"), {"file": upload(CSV.replace(",6,7.5", ",40,7.5")), "save": "1"})
    assert page.status_code == 422
    [row] = re.findall(r"<tr><th scope=\"row\">(.*?)</tr>", page.content.decode(), re.S)
    assert "line 3" in row
    assert "pitch_in_12" in row
    assert "7 Mill Race Lane" in page.context["form"]["text"].value()
    assert not Job.objects.filter(number="N-1").exists()


def test_nothing_chosen_is_said_and_not_a_fault(world: SmallYard, manager: Client) -> None:
    page = manager.post(reverse("job_import"), {})
    assert page.status_code == 422
    assert "Choose a file, or paste its text." in words_of(page)


def test_the_list_finds_by_street_and_says_when_nothing_fits(world: SmallYard, manager: Client) -> None:
    found = manager.get(reverse("job_list"), {"q": "larkmead"})
    assert world.job.street in words_of(found)
    nothing = manager.get(reverse("job_list"), {"q": "zzz"})
    assert "No job fits." in words_of(nothing)
    assert 'value="zzz"' in nothing.content.decode()
