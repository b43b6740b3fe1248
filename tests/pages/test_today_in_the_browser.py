"""Today in a real browser: axe finds nothing, nothing overflows, keys and partial updates work."""

from collections.abc import Iterator

import pytest
import time_machine
from axe_playwright_python.sync_playwright import Axe
from django.test import Client
from playwright.sync_api import Browser, Page
from pytest_django.live_server_helper import LiveServer

from crews import actions
from crews.models import Decision
from roofops.record.access import Access
from tests.factories.crews import SmallYard, assign, cell, crew, local, point_of, small_yard
from tests.factories.jobs import ready_job

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
BACKEND = "django.contrib.auth.backends.ModelBackend"
DESKTOP, PHONE = (1440, 900), (360, 780)


@pytest.fixture
def world() -> Iterator[SmallYard]:
    """Two roofs at 6:15 am under rain from 3 pm, both with a verdict."""
    made = small_yard(wet=range(15, 19))
    job = ready_job(yard=made.yard)
    assign(made.plan, job, crew(made.yard, "Tamm", people=4))
    point_of(job, cell())
    actions.decide(Access.system(), made.yard.pk, local(6))
    with time_machine.travel(local(6.25)):
        yield made


def opened(browser: Browser, live_server: LiveServer, world: SmallYard, size: tuple[int, int], *, dark: bool) -> Page:
    """A signed-in manager's page of Today. The session cookie has no end: the browser's clock is another one."""
    client = Client()
    client.force_login(world.manager.user, BACKEND)  # type: ignore[arg-type]
    context = browser.new_context(
        viewport={"width": size[0], "height": size[1]}, color_scheme="dark" if dark else "light"
    )
    context.add_cookies([{"name": "sessionid", "value": client.cookies["sessionid"].value, "url": live_server.url}])
    page = context.new_page()
    page.goto(f"{live_server.url}/today/")
    return page


@pytest.mark.parametrize("size", [DESKTOP, (1000, 800), PHONE], ids=["desktop", "between", "phone"])
@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
def test_axe_finds_nothing_and_the_page_is_not_wider_than_the_screen(
    browser: Browser, live_server: LiveServer, world: SmallYard, size: tuple[int, int], dark: bool
) -> None:
    page = opened(browser, live_server, world, size, dark=dark)
    found = Axe().run(page).response["violations"]
    assert [(rule["id"], rule["nodes"][0]["html"]) for rule in found] == []
    assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")


def test_the_browser_has_nothing_to_complain_about(browser: Browser, live_server: LiveServer, world: SmallYard) -> None:
    page = opened(browser, live_server, world, DESKTOP, dark=False)
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    page.reload()
    page.locator(f"#row-{world.job.pk}").get_by_role("button", name="Accept").click()
    page.locator(f"#row-{world.job.pk}").get_by_text("Accepted 6:1").first.wait_for()
    page.goto(f"{live_server.url}/tomorrow/")
    page.locator(".tomorrow-row").first.wait_for()
    assert said == []


def test_no_letter_of_a_strip_is_drawn_smaller_than_12_px(
    browser: Browser, live_server: LiveServer, world: SmallYard
) -> None:
    page = opened(browser, live_server, world, PHONE, dark=False)
    sizes = page.evaluate(
        """[...document.querySelectorAll('svg text')].filter(t => t.getClientRects().length && !t.closest('.mark'))
           .map(t => parseFloat(getComputedStyle(t).fontSize) * t.getScreenCTM().a)"""
    )
    assert sizes
    assert min(sizes) >= 12


def test_controls_of_a_phone_are_large_enough_for_a_thumb(
    browser: Browser, live_server: LiveServer, world: SmallYard
) -> None:
    page = opened(browser, live_server, world, PHONE, dark=False)
    heights = page.evaluate(
        """[...document.querySelectorAll('main .button')].filter(b => b.getClientRects().length)
           .map(b => b.getBoundingClientRect().height)"""
    )
    assert heights
    assert min(heights) >= 44


def test_accepting_refreshes_only_the_row_and_keeps_the_focus_in_it(
    browser: Browser, live_server: LiveServer, world: SmallYard
) -> None:
    page = opened(browser, live_server, world, DESKTOP, dark=False)
    page.evaluate("window.sameDocument = true")
    row = page.locator(f"#row-{world.job.pk}")
    button = row.get_by_role("button", name="Accept")
    button.focus()
    page.keyboard.press("Enter")
    row.get_by_text("Accepted 6:1").first.wait_for()
    assert page.evaluate("window.sameDocument") is True
    assert page.evaluate(f"document.getElementById('row-{world.job.pk}').contains(document.activeElement)")
    assert Decision.objects.get(job=world.job, in_force=True).accepted_by == world.manager.user


def test_a_refused_limit_stays_open_with_what_was_typed_and_the_focus_on_it(
    browser: Browser, live_server: LiveServer, world: SmallYard
) -> None:
    page = opened(browser, live_server, world, DESKTOP, dark=False)
    row = page.locator(f"#row-{world.job.pk}")
    row.get_by_text("Limit further").click()
    row.get_by_label("Your limit, in all today").fill("99")
    row.get_by_label("Reason", exact=True).fill("small crew")
    row.get_by_role("button", name="Set the tighter limit").click()
    row.get_by_text("Your limit may only be lower.").wait_for()
    field = row.get_by_label("Your limit, in all today")
    assert field.input_value() == "99"
    assert field.get_attribute("aria-invalid") == "true"
    assert page.evaluate("document.activeElement.getAttribute('aria-invalid')") == "true"


def test_without_scripts_a_folded_row_opens_and_a_verdict_is_accepted(
    browser: Browser, live_server: LiveServer, world: SmallYard
) -> None:
    client = Client()
    client.force_login(world.manager.user, BACKEND)  # type: ignore[arg-type]
    context = browser.new_context(viewport={"width": 360, "height": 780}, java_script_enabled=False)
    context.add_cookies([{"name": "sessionid", "value": client.cookies["sessionid"].value, "url": live_server.url}])
    page = context.new_page()
    page.goto(f"{live_server.url}/today/")
    assert page.locator(".today-row.folded").count() == 1
    page.locator(".today-row.folded .fold-head").click()
    page.wait_for_url("**/today/?open=*")
    assert page.locator(".today-row.folded").count() == 0
    page.locator(".today-row").last.get_by_role("button", name="Accept").click()
    page.wait_for_load_state()
    assert Decision.objects.filter(accepted_at__isnull=False).count() == 1


def test_dark_is_chosen_kept_and_comes_from_the_server(
    browser: Browser, live_server: LiveServer, world: SmallYard
) -> None:
    page = opened(browser, live_server, world, DESKTOP, dark=False)
    page.locator(".menu summary").click()
    page.get_by_role("button", name="Dark").click()
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(14, 19, 23)"
    page.reload()
    assert page.locator("html").get_attribute("data-theme") == "dark"


def test_a_page_that_cannot_reach_the_office_says_that_nothing_was_saved(
    browser: Browser, live_server: LiveServer, world: SmallYard
) -> None:
    page = opened(browser, live_server, world, DESKTOP, dark=False)
    page.context.set_offline(True)
    page.locator(f"#row-{world.job.pk}").get_by_role("button", name="Accept").click()
    page.get_by_text("Nothing was saved.").wait_for()
    assert not Decision.objects.filter(accepted_at__isnull=False).exists()


def test_a_session_that_ended_leads_to_the_sign_in_page_and_not_into_a_row(
    browser: Browser, live_server: LiveServer, world: SmallYard
) -> None:
    page = opened(browser, live_server, world, DESKTOP, dark=False)
    page.context.clear_cookies(name="sessionid")
    page.locator(f"#row-{world.job.pk}").get_by_role("button", name="Accept").click()
    page.wait_for_url("**/sign-in/?next=%2Ftoday%2F")
    assert page.get_by_label("Password").is_visible()
    assert not Decision.objects.filter(accepted_at__isnull=False).exists()
