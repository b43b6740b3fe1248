"""A phone in a real browser: the job's sections begin folded, and a pressed tick keeps the focus."""

import pytest
from django.urls import reverse
from playwright.sync_api import Browser
from pytest_django.live_server_helper import LiveServer

from tests.factories.crews import SmallYard
from tests.pages.test_desk_in_the_browser import DESKTOP, PHONE, opened, world

__all__ = ["world"]
pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def test_on_a_phone_the_sections_below_the_drawing_begin_folded_and_open(
    browser: Browser, live_server: LiveServer, world: SmallYard
) -> None:
    page = opened(browser, live_server, world.manager, PHONE)
    page.goto(f"{live_server.url}{reverse('job', args=[world.job.pk])}")
    assert page.locator("svg.roof:visible").bounding_box()["width"] <= PHONE[0]  # type: ignore[index]
    assert page.locator("details.part[open]").count() == 0
    assert not page.locator(".takeoff-table").is_visible()
    page.get_by_text("Takeoff").click()
    assert page.locator(".takeoff-table").is_visible()


def test_on_a_desk_nothing_is_folded(browser: Browser, live_server: LiveServer, world: SmallYard) -> None:
    page = opened(browser, live_server, world.manager, DESKTOP)
    page.goto(f"{live_server.url}{reverse('job', args=[world.job.pk])}")
    assert page.locator("details.part").count() == 0
    assert page.locator(".takeoff-table").is_visible()


def test_a_pressed_tick_keeps_the_focus(browser: Browser, live_server: LiveServer, world: SmallYard) -> None:
    page = opened(browser, live_server, world.manager, DESKTOP)
    page.goto(f"{live_server.url}/tomorrow/")
    box = page.locator(".told button").first
    name = box.get_attribute("id")
    assert name is not None
    box.focus()
    with page.expect_response("**/tell/"):
        page.keyboard.press("Enter")
    page.wait_for_function("name => document.activeElement && document.activeElement.id === name", arg=name)
    assert "Take the tick back" in page.locator(f"#{name}").inner_text()
