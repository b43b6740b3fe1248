"""The desk's pages and the day sheet in a real browser: axe finds nothing, nothing sticks out, all is in reach."""

from collections.abc import Iterator

import pytest
import time_machine
from axe_playwright_python.sync_playwright import Axe
from django.test import Client
from django.urls import reverse
from playwright.sync_api import Browser, Page
from pytest_django.live_server_helper import LiveServer

from crews import actions
from jobs.models import LoadState
from roofops.record.access import Access
from tests.factories.crews import WORK_DAY, SmallYard, local, small_yard
from tests.factories.jobs import InspectionFactory, LoadFactory

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
BACKEND = "django.contrib.auth.backends.ModelBackend"
DESKTOP, PHONE = (1440, 900), (360, 780)
DAY = WORK_DAY.isoformat()
SMALLEST_TARGET_PX = 44


@pytest.fixture
def world() -> Iterator[SmallYard]:
    """The small yard at 6:15 am under rain from 3 pm, with a load and an inspector to come."""
    made = small_yard(wet=range(15, 19))
    LoadFactory(job=made.job, slot_start=local(12), need_by=local(11), state=LoadState.ASKED, needed_for="")
    InspectionFactory(job=made.job, hold_point=False)
    actions.decide(Access.system(), made.yard.pk, local(6))
    with time_machine.travel(local(6.25)):
        yield made


def pages_of(world: SmallYard) -> dict[str, str]:
    return {
        "plan": "/plan/",
        "plan, a job chosen": f"/plan/?job={world.job.pk}",
        "jobs": "/jobs/",
        "new job": "/jobs/new/",
        "import": "/jobs/import/",
        "job": reverse("job", args=[world.job.pk]),
        "edit": reverse("job_edit", args=[world.job.pk]),
        "report": reverse("report", args=[world.job.pk]),
        "deliveries": f"/deliveries/?day={DAY}",
        "drivers": f"/deliveries/print/?day={DAY}",
        "crews": "/crews/",
        "roster import": "/crews/import/",
        "limits": "/limits/",
    }


def opened(browser: Browser, server: LiveServer, access: Access, size: tuple[int, int], *, dark: bool = False) -> Page:
    client = Client()
    client.force_login(access.user, BACKEND)  # type: ignore[arg-type]
    context = browser.new_context(
        viewport={"width": size[0], "height": size[1]}, color_scheme="dark" if dark else "light"
    )
    context.add_cookies([{"name": "sessionid", "value": client.cookies["sessionid"].value, "url": server.url}])
    return context.new_page()


def findings(page: Page, name: str) -> list[str]:
    found = [f"{name}: axe {rule['id']}: {rule['nodes'][0]['html']}" for rule in Axe().run(page).response["violations"]]
    if not page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth"):
        found.append(f"{name}: wider than the screen")
    return found


@pytest.mark.parametrize("size", [DESKTOP, PHONE], ids=["desktop", "phone"])
@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
def test_axe_finds_nothing_and_no_page_is_wider_than_the_screen(
    browser: Browser, live_server: LiveServer, world: SmallYard, size: tuple[int, int], dark: bool
) -> None:
    page = opened(browser, live_server, world.manager, size, dark=dark)
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    found = []
    for name, address in pages_of(world).items():
        page.goto(f"{live_server.url}{address}")
        found += findings(page, name)
    assert found == []
    assert said == []


def test_forms_with_errors_are_accessible_and_the_first_error_has_the_focus(
    browser: Browser, live_server: LiveServer, world: SmallYard
) -> None:
    page = opened(browser, live_server, world.manager, PHONE)
    page.goto(f"{live_server.url}/jobs/new/")
    page.locator("#id_job-number").fill("N-1")
    page.get_by_role("button", name="Save the job").click()
    page.locator(".form-errors").wait_for()
    assert findings(page, "new job, refused") == []
    assert page.evaluate("document.activeElement.getAttribute('aria-invalid')") == "true"
    page.goto(f"{live_server.url}{reverse('report', args=[world.job.pk])}?what=closed")
    page.get_by_role("button", name="It is closed for the night").click()
    page.locator(".form-errors").wait_for()
    assert findings(page, "report, refused") == []


@pytest.mark.parametrize("tab", ["today", "safety", "material", "photos"])
def test_each_part_of_the_day_sheet_is_accessible_on_a_phone(
    browser: Browser, live_server: LiveServer, world: SmallYard, tab: str
) -> None:
    page = opened(browser, live_server, world.lead, PHONE)
    page.goto(f"{live_server.url}{reverse('day_sheet', args=[world.crew.pk, DAY])}?tab={tab}")
    assert findings(page, tab) == []


def test_all_that_matters_stands_above_the_fold_of_a_small_phone(
    browser: Browser, live_server: LiveServer, world: SmallYard
) -> None:
    page = opened(browser, live_server, world.lead, PHONE)
    page.goto(f"{live_server.url}{reverse('day_sheet', args=[world.crew.pk, DAY])}")
    tabs_top = page.locator(".sheet-tabs").bounding_box()
    assert tabs_top is not None
    for selector in (".sheet-key", ".sheet-strip", ".sheet-slopes", ".sheet-stop", ".sheet-actions"):
        box = page.locator(selector).bounding_box()
        assert box is not None, selector
        assert box["y"] + box["height"] <= tabs_top["y"] + 8.5, selector  # the actions' own lower padding may go under


def test_what_is_tapped_on_the_sheet_is_large_enough(
    browser: Browser, live_server: LiveServer, world: SmallYard
) -> None:
    page = opened(browser, live_server, world.lead, PHONE)
    page.goto(f"{live_server.url}{reverse('day_sheet', args=[world.crew.pk, DAY])}")
    page.locator(".sheet-fold summary").first.click()
    small = page.evaluate(
        """(least) => [...document.querySelectorAll('main a, main button, main summary, .sheet-tabs a')]
            .map(e => [e.textContent.trim(), e.getBoundingClientRect().height])
            .filter(([_words, height]) => height > 0 && height < least)""",
        SMALLEST_TARGET_PX,
    )
    assert small == []


def test_a_lead_reports_squares_in_four_taps_and_reads_that_they_are_saved(
    browser: Browser, live_server: LiveServer, world: SmallYard
) -> None:
    page = opened(browser, live_server, world.lead, PHONE)
    page.goto(f"{live_server.url}{reverse('day_sheet', args=[world.crew.pk, DAY])}")
    page.get_by_role("link", name="Report squares").click()
    page.locator("input[name=place]").first.check()
    page.locator("input[name=kind][value=torn_off]").check()
    page.locator("input[name=amount]").fill("2")
    page.get_by_role("button", name="Save this report").click()
    page.get_by_text("Saved 6:15").first.wait_for()
    assert "2.0 of" in page.locator(".sheet-slopes").inner_text()
    section = world.job.sections.get(bare_squares__gt=0)
    assert section.bare_squares == pytest.approx(2.0)


def test_the_paper_sheet_of_one_roof_fills_one_letter_page(
    browser: Browser, live_server: LiveServer, world: SmallYard
) -> None:
    page = opened(browser, live_server, world.lead, DESKTOP)
    page.goto(f"{live_server.url}{reverse('day_sheet_print', args=[world.crew.pk, DAY])}")
    document = page.pdf(prefer_css_page_size=True)
    assert document.count(b"/Type /Page\n") + document.count(b"/Type /Page/") == 1
