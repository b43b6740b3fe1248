"""A forecast that cannot be read leaves the last good one in place, with its age; without one no roof is opened."""

import re
from collections.abc import Callable, Iterator
from datetime import date, datetime, timedelta

import pytest
from playwright.sync_api import Browser, Locator, Page, expect
from pytest_django.fixtures import Settings
from pytest_django.live_server_helper import LiveServer

from crews.actions import ask_for_forecasts
from jobs.models import Job, JobStatus
from roofops.record import clock
from roofops.record.access import Access
from tests.e2e.soundness import DESKTOP
from tests.e2e.yards import OpenYard, open_yard
from tests.factories.crews import WORK_DAY, assign, local, published_plan
from tests.factories.jobs import ready_job
from tests.weather.nws_server import NwsServer
from weather.models import Forecast
from weather.sources import client

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
MORNING = local(6.25)
FAULTS = ("truncated", "html", "html_as_json", "empty", "unknown units")


@pytest.fixture
def weather_service(settings: Settings, set_clock: Callable[[datetime], None]) -> Iterator[NwsServer]:
    """A local HTTP server in the shape of the weather service; its day is dry until an afternoon thunderstorm."""
    set_clock(MORNING)
    with NwsServer(now=lambda: clock.now()) as server:
        settings.ROOFOPS_NWS_URL = server.url
        settings.ROOFOPS_WEATHER_CONTACT = "weather@example.com"
        yield server


@pytest.fixture
def world(weather_service: NwsServer) -> OpenYard:
    """A yard whose one roof is planned for today, without any forecast yet."""
    yard = open_yard()
    job = ready_job(yard=yard.yard, status=JobStatus.AT_WORK)
    assign(published_plan(yard.yard), job, yard.crew)
    return yard


def fetch(world: OpenYard, work_off: Callable[[], list[str]]) -> None:
    ask_for_forecasts(Access.system(), world.yard.pk, clock.now())
    assert work_off() == ["done"]


def only_row(page: Page, url: str) -> Locator:
    page.goto(f"{url}/today/")
    return page.locator(f"#row-{Job.objects.get().pk}")


def fetch_broken(
    server: NwsServer, fault: str, world: OpenYard, work_off: Callable[[], list[str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Let every try of one round end in the fault; the waits between tries are left out."""
    with monkeypatch.context() as patched:
        patched.setattr(client, "RETRY_WAITS_S", (0.0, 0.0, 0.0))
        break_document(server, fault)
        fetch(world, work_off)
    while server.take_fault():
        pass


def break_document(server: NwsServer, fault: str) -> None:
    if fault != "unknown units":
        server.break_next(fault, times=1 + len(client.RETRY_WAITS_S))
        return
    for document in server.documents.values():
        document["properties"]["temperature"]["uom"] = "wmoUnit:degree_of_nothing"
        document["properties"]["updateTime"] = clock.now().replace(microsecond=0).isoformat()


@pytest.mark.parametrize("fault", FAULTS)
def test_an_unreadable_forecast_leaves_the_last_good_one_with_its_age_and_today_says_so(
    fault: str,
    browser: Browser,
    live_server: LiveServer,
    weather_service: NwsServer,
    world: OpenYard,
    sign_in: Callable[..., Page],
    set_clock: Callable[[datetime], None],
    work_off: Callable[[], list[str]],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    fetch(world, work_off)
    page = sign_in(browser.new_context(viewport=DESKTOP), "mara", world.password)
    expect(only_row(page, live_server.url).get_by_role("heading", name="OK to tear off")).to_be_visible()
    assert Forecast.objects.count() == 1

    # Two hours later the document cannot be read: the morning's forecast stands, and its age is shown.
    set_clock(MORNING + timedelta(hours=2))
    fetch_broken(weather_service, fault, world, work_off, monkeypatch)
    assert Forecast.objects.count() == 1
    row = only_row(page, live_server.url)
    expect(row.get_by_role("heading", name="OK to tear off")).to_be_visible()
    expect(page.locator(".title-block")).to_contain_text(re.compile(r"2\s*h( \d+\s*min)? old"))
    expect(row).to_contain_text("The source answered:")

    # Past six hours without a good answer it opens nothing any more.
    set_clock(MORNING + timedelta(hours=6, minutes=40))
    fetch_broken(weather_service, fault, world, work_off, monkeypatch)
    row = only_row(page, live_server.url)
    expect(row.get_by_role("heading", name="Unknown, keep it closed")).to_be_visible()
    expect(row).to_contain_text(re.compile(r"6\s*h 40\s*min old"))
    expect(row).to_contain_text(re.compile(r"limit 6\s*h"))
    expect(row).to_contain_text("Tear off nothing")


def test_with_no_forecast_at_all_no_roof_may_be_opened(
    browser: Browser,
    live_server: LiveServer,
    weather_service: NwsServer,
    world: OpenYard,
    sign_in: Callable[..., Page],
    settings: Settings,
    work_off: Callable[[], list[str]],
) -> None:
    settings.ROOFOPS_WEATHER_CONTACT = ""  # without a contact the weather service is never asked
    fetch(world, work_off)
    assert weather_service.asked == []
    assert not Forecast.objects.exists()
    page = sign_in(browser.new_context(viewport=DESKTOP), "mara", world.password)
    row = only_row(page, live_server.url)
    expect(row.get_by_role("heading", name="Unknown, keep it closed")).to_be_visible()
    expect(row).to_contain_text("Tear off nothing")
    expect(page.locator("main")).not_to_contain_text("OK to tear off")

    lead = sign_in(browser.new_context(viewport={"width": 360, "height": 780}), "lena", world.password)
    expect(lead).to_have_url(re.compile(rf"/sheet/\d+/{WORK_DAY.isoformat()}/$"))
    expect(lead.get_by_text("Unknown, keep it closed").first).to_be_visible()
    assert date.fromisoformat(lead.url.rstrip("/").rsplit("/", 1)[1]) == WORK_DAY
