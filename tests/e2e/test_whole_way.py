"""The main job in a real browser: from a file with measured roofs and a forecast over HTTP to the crew's report."""

import re
from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from playwright.sync_api import Browser, Page, expect
from pytest_django.fixtures import Settings
from pytest_django.live_server_helper import LiveServer

from crews.actions import ask_for_forecasts
from crews.models import Assignment, Plan, PlanState, ProgressEntry
from jobs.models import Job
from roofops.record import clock
from roofops.record.access import Access
from tests.e2e.soundness import DESKTOP, PHONE, quiet_console, sideways_overflow
from tests.e2e.yards import open_yard
from tests.weather.nws_server import NwsServer

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
JOB_FILE = Path("fixtures/demo/jobs-to-import.csv")
# A Tuesday in October.
MORNING = datetime(2026, 10, 13, 7, 15, tzinfo=ZoneInfo("America/Chicago"))


@pytest.fixture
def weather_service(settings: Settings, set_clock: Callable[[datetime], None]) -> Iterator[NwsServer]:
    """A local HTTP server in the shape of the weather service, with a contact set so that it is asked at all."""
    set_clock(MORNING)
    with NwsServer(now=lambda: clock.now()) as server:
        settings.ROOFOPS_NWS_URL = server.url
        settings.ROOFOPS_WEATHER_CONTACT = "weather@example.com"
        yield server


def labor_hours_done(page: Page, address: str) -> tuple[float, float]:
    """Return the labor-hours done and planned that the job page shows in its last line."""
    page.goto(address)
    cells = page.get_by_role("table").filter(has_text="planned").get_by_role("row").filter(has_text="All")
    numbers = re.findall(r"\d+\.\d", cells.inner_text())
    return float(numbers[0]), float(numbers[1])


def test_from_a_job_file_to_the_crews_report(
    browser: Browser,
    live_server: LiveServer,
    weather_service: NwsServer,
    sign_in: Callable[..., Page],
    set_clock: Callable[[datetime], None],
    work_off: Callable[[], list[str]],
) -> None:
    world = open_yard()
    findings: list[str] = []
    office = sign_in(browser.new_context(viewport=DESKTOP), "mara", world.password)
    with quiet_console(office, findings):
        import_jobs(office, live_server.url)
        forecasts_come(world.yard.pk, weather_service, work_off)
        propose_and_publish(office, live_server.url, work_off)
        planned_first = first_planned(world.yard.pk)
        job = planned_first.job
        # The morning of the first planned day: a new forecast comes, dry until a thunderstorm at 3 pm.
        set_clock(planned_first.start.astimezone(MORNING.tzinfo).replace(hour=7, minute=15))
        weather_service.documents.clear()
        forecasts_come(world.yard.pk, weather_service, work_off)
        read_the_verdict(office, live_server.url, job)
        address = f"{live_server.url}/jobs/{job.pk}/"
        before, planned = labor_hours_done(office, address)

        phone = sign_in(browser.new_context(viewport=PHONE, has_touch=True), "lena", world.password)
        with quiet_console(phone, findings):
            report_squares(phone, job)

        after, still_planned = labor_hours_done(office, address)
        assert after > before
        assert still_planned == pytest.approx(planned)
        office.goto(f"{live_server.url}/today/")
        expect(office.locator(f"#row-{job.pk}")).to_contain_text("2.5 are bare now")
    assert findings == []


def import_jobs(office: Page, url: str) -> None:
    """The manager looks at the file first, then saves it."""
    office.goto(f"{url}/jobs/import/")
    office.get_by_label("File, CSV or GeoJSON").set_input_files(JOB_FILE)
    office.get_by_role("button", name="Look at it first").click()
    expect(office.get_by_role("heading", level=1)).to_contain_text("2 jobs in the file")
    assert not Job.objects.exists()
    office.get_by_role("button", name="Save 2 jobs").click()
    expect(office.get_by_text("2 jobs saved.")).to_be_visible()
    assert set(Job.objects.values_list("number", flat=True)) == {"J-2071", "J-2072"}


def forecasts_come(yard_id: int, server: NwsServer, work_off: Callable[[], list[str]]) -> None:
    """The forecasts of the yard are fetched over real HTTP; two roofs in two cells are two places."""
    ask_for_forecasts(Access.system(), yard_id, clock.now())
    assert work_off() == ["done"]
    assert len(set(server.paths("/points/"))) == 2
    assert len(set(server.paths("/gridpoints/"))) == 2


def propose_and_publish(office: Page, url: str, work_off: Callable[[], list[str]]) -> None:
    """The manager asks for a plan, waits for the background work, and publishes it."""
    office.goto(f"{url}/plan/")
    office.get_by_role("button", name="Propose a plan").click()
    expect(office.locator("#plan-progress")).to_be_visible()
    assert work_off() == ["done"]
    # The page asks every second and shows the proposal by itself.
    publish = office.get_by_role("link", name=re.compile("Publish plan"))
    expect(publish).to_be_visible(timeout=20_000)
    publish.click()
    office.get_by_role("button", name=re.compile("Publish plan")).click()
    expect(office).to_have_url(re.compile("/plan/$"))
    assert Plan.objects.get(state=PlanState.PUBLISHED).published_by.username == "mara"  # type: ignore[union-attr]


def first_planned(yard_id: int) -> Assignment:
    """What the published plan begins with."""
    rows = Assignment.objects.filter(plan__yard_id=yard_id, plan__state=PlanState.PUBLISHED)
    return rows.select_related("job").order_by("start")[0]


def read_the_verdict(office: Page, url: str, job: Job) -> None:
    """Today says how much may be torn off, by when it must be dried in, and why."""
    office.goto(f"{url}/today/")
    row = office.locator(f"#row-{job.pk}")
    expect(row.get_by_role("heading", name="OK to tear off")).to_be_visible()
    expect(row).to_contain_text(re.compile(r"No more than \d+(\.\d)? squares bare at once\."))
    expect(row).to_contain_text(re.compile(r"Dry in by [\d:]+\s*(am|pm)"))
    expect(row).to_contain_text(re.compile(r"(thunder|rain).* from 3\s*pm"))


def report_squares(phone: Page, job: Job) -> None:
    """The crew lead opens the sheet on a 360 px screen and reports squares torn off."""
    expect(phone).to_have_url(re.compile(r"/sheet/\d+/\d{4}-\d\d-\d\d/$"))
    expect(phone.get_by_text("OK to tear off").first).to_be_visible()
    assert sideways_overflow(phone) == []
    phone.get_by_role("link", name="Report squares").click()
    assert sideways_overflow(phone) == []
    phone.get_by_text(re.compile("^front slope", re.IGNORECASE)).first.click()
    phone.get_by_text("torn off", exact=True).click()
    phone.get_by_label("So far in all").fill("2.5")
    phone.locator(".report-form button.main").click()
    expect(phone).to_have_url(re.compile(r"/sheet/\d+/\d{4}-\d\d-\d\d/"))
    entry = ProgressEntry.objects.get(job=job, kind="torn_off")
    assert (entry.done_after, entry.by.username) == (2.5, "lena")  # type: ignore[union-attr]
