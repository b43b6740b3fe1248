"""What makes no roof or no place is refused on the page in a clear sentence, and what was typed is still there."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Browser, Page, expect
from pytest_django.live_server_helper import LiveServer

from jobs.models import Job
from tests.e2e.soundness import DESKTOP, accessibility_findings, quiet_console
from tests.e2e.yards import open_yard

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

SOUND = {
    "job-number": "J-3001",
    "job-short_name": "Tamarack",
    "job-street": "14 Tamarack Row",
    "job-lat": "44.96",
    "job-lon": "-93.10",
    "shape-length_ft": "40",
    "shape-width_ft": "28",
    "shape-pitch_in_12": "6",
}
WRONG = {
    "a pitch of 40/12": ({"shape-pitch_in_12": "40"}, "A pitch of 40/12 is not a roof"),
    "a negative length": ({"shape-length_ft": "-40"}, "must be longer than 0 ft, but is -40 ft"),
    "an unknown time zone": (
        {"job-time_zone": "America/Westmere"},
        "“America/Westmere” is not a time zone name; use one such as America/Chicago",
    ),
}


@pytest.fixture
def form(browser: Browser, live_server: LiveServer, sign_in: Callable[..., Page]) -> Page:
    """The manager's empty form for a new job."""
    world = open_yard()
    page = sign_in(browser.new_context(viewport=DESKTOP), "mara", world.password)
    page.goto(f"{live_server.url}/jobs/new/")
    return page


def save(page: Page, typed: dict[str, str]) -> list[str]:
    """Type, save, and return what the console said beside the refusal itself."""
    for name, value in typed.items():
        page.locator(f"[name='{name}']").fill(value)
    findings: list[str] = []
    with quiet_console(page, findings):
        page.get_by_role("button", name="Save the job").click()
        page.wait_for_load_state()
    return [line for line in findings if "status of 422" not in line]


def still_typed(page: Page, typed: dict[str, str]) -> dict[str, str]:
    return {name: page.locator(f"[name='{name}']").input_value() for name in typed}


def test_a_sound_job_is_saved_with_its_squares(form: Page) -> None:
    """Gable 40 x 28 ft, 6/12, overhangs of 1 ft: 14.087 squares (plan area times slope factor, handbook geometry)."""
    assert save(form, SOUND) == []
    expect(form.get_by_text("Job J-3001 saved.")).to_be_visible()
    assert sum(section.squares for section in Job.objects.get().sections.all()) == pytest.approx(14.087, abs=0.001)


@pytest.mark.parametrize("case", WRONG)
def test_nonsense_is_refused_in_a_sentence_and_what_was_typed_is_kept(form: Page, case: str) -> None:
    change, sentence = WRONG[case]
    typed = SOUND | change
    assert save(form, typed) == []
    expect(form.get_by_role("alert")).to_contain_text("What you typed is kept")
    expect(form.get_by_text(sentence).first).to_be_visible()
    assert still_typed(form, typed) == typed
    assert form.evaluate("document.activeElement.name") == next(iter(change))
    assert accessibility_findings(form) == []
    assert not Job.objects.exists()


def test_a_job_without_a_section_is_refused(form: Page) -> None:
    form.get_by_text("squares and feet of a measurement sheet").click()
    typed = {name: value for name, value in SOUND.items() if not name.startswith("shape-")}
    assert save(form, typed) == []
    expect(form.get_by_text("needs at least one roof section").first).to_be_visible()
    assert still_typed(form, typed) == typed
    assert not Job.objects.exists()


def test_a_wrong_row_of_a_file_is_named_with_its_line_and_column_and_nothing_is_imported(
    form: Page, live_server: LiveServer
) -> None:
    form.goto(f"{live_server.url}/jobs/import/")
    rows = [
        "record,job,short_name,street,lat,lon,section,pitch_in_12,squares",
        "job,X-1,Sedge,27 Sedge Close,44.948,-93.117,,,",
        "section,X-1,,,,,front slope,40,7.0",
        "job,X-2,Reed,29 Sedge Close,44.948,-93.116,,,",
    ]
    text = "\n".join(rows)
    form.get_by_label("Or its text").fill(text)
    form.get_by_role("button", name="Look at it first").click()
    expect(form.get_by_role("heading", level=1)).to_contain_text("Nothing imported: 2 places")
    refused = form.locator("table.refused")
    expect(refused.get_by_role("row").filter(has_text="pitch_in_12")).to_contain_text("3")
    expect(refused).to_contain_text("A pitch of 40/12 is not a roof")
    expect(refused).to_contain_text("at least one roof section")
    assert form.get_by_label("Or its text").input_value() == text
    assert not Job.objects.exists()
