"""Every page with the demo's data: no sideways scrolling, no console message, no axe finding, light and dark.

Accessibility is checked with axe-core (through axe-playwright-python) by its default rules, WCAG 2.1 A and AA among
them.
"""

from collections.abc import Callable, Iterator
from datetime import datetime
from zoneinfo import ZoneInfo

import pytest
from playwright.sync_api import Browser, Page
from pytest_django.live_server_helper import LiveServer

from crews.models import Crew
from jobs.models import Job
from roofops.demo.actions import load
from roofops.demo.scenario import company
from tests.e2e.soundness import DESKTOP, PHONE, accessibility_findings, quiet_console, sideways_overflow

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
MORNING = datetime(2026, 10, 13, 9, 20, tzinfo=ZoneInfo(company.TIME_ZONE))
LOOKS = (
    {"viewport": DESKTOP, "color_scheme": "light"},
    {"viewport": PHONE, "color_scheme": "dark", "has_touch": True},
)
OTHER_LOOKS = (
    {"viewport": DESKTOP, "color_scheme": "dark"},
    {"viewport": PHONE, "color_scheme": "light", "has_touch": True},
)


def office_pages() -> Iterator[str]:
    """Yield the addresses of the manager's pages."""
    holt = Job.objects.get(number="J-2041").pk
    yield from ("/today/", "/tomorrow/", "/plan/", "/jobs/", "/jobs/?status=all", "/jobs/new/", "/jobs/import/")
    yield from (f"/jobs/{holt}/", f"/jobs/{holt}/edit/", f"/jobs/{holt}/report/", f"/today/?open={holt}")
    yield from ("/deliveries/", "/deliveries/?day=2026-10-14", "/deliveries/print/", "/crews/", "/limits/")
    yield "/jobs/999999/"


def lead_pages() -> Iterator[str]:
    """Yield the addresses of the pages of the lead of crew Ruiz."""
    sheet = f"/sheet/{Crew.objects.get(name='Ruiz').pk}/2026-10-13/"
    yield sheet
    yield from (f"{sheet}?tab={tab}" for tab in ("safety", "material", "photos"))
    yield f"{sheet}print/"
    holt = Job.objects.get(number="J-2041").pk
    yield from (f"/jobs/{holt}/report/?what={what}" for what in ("squares", "dried_in", "closed", "problem"))


def check(page: Page, url: str, addresses: Iterator[str], findings: list[str], *, with_axe: bool) -> None:
    with quiet_console(page, findings):
        for address in addresses:
            answer = page.goto(url + address)
            assert answer is not None
            missing = address == "/jobs/999999/"
            if answer.status != (404 if missing else 200):
                findings.append(f"{address}: answered {answer.status}")
            findings += sideways_overflow(page)
            if with_axe:
                findings += accessibility_findings(page)


def test_every_page_is_sound_at_both_sizes_and_in_both_themes(
    browser: Browser,
    live_server: LiveServer,
    sign_in: Callable[..., Page],
    set_clock: Callable[[datetime], None],
) -> None:
    load(MORNING)
    set_clock(MORNING)
    findings: list[str] = []
    for look in (*LOOKS, *OTHER_LOOKS):
        with_axe = look in LOOKS
        with browser.new_context(**look) as context:  # type: ignore[arg-type]
            visitor = context.new_page()
            check(visitor, live_server.url, iter(("/sign-in/",)), findings, with_axe=with_axe)
        for user, addresses in ((company.MANAGER[0], office_pages), ("ruiz", lead_pages)):
            with browser.new_context(**look) as context:  # type: ignore[arg-type]
                page = sign_in(context, user, company.PASSWORD)
                check(page, live_server.url, addresses(), findings, with_axe=with_axe)
    # The browser itself reports the one page that is asked for and does not exist.
    findings = [line for line in findings if "/jobs/999999/: console error: Failed to load resource" not in line]
    assert not findings, "\n".join(findings)
