"""What each page must be at each size and in both themes: no sideways scroll, no console message, no axe finding."""

from collections.abc import Iterator
from contextlib import contextmanager

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import ConsoleMessage, Page

DESKTOP = {"width": 1440, "height": 900}
PHONE = {"width": 360, "height": 780}


@contextmanager
def quiet_console(page: Page, findings: list[str]) -> Iterator[None]:
    """Add to the findings whatever the page writes to the console as an error, and every uncaught exception."""

    def on_console(message: ConsoleMessage) -> None:
        if message.type in ("error", "warning"):
            findings.append(f"{page.url}: console {message.type}: {message.text}")

    def on_error(error: Exception) -> None:
        findings.append(f"{page.url}: uncaught: {error}")

    page.on("console", on_console)
    page.on("pageerror", on_error)
    try:
        yield
    finally:
        page.remove_listener("console", on_console)
        page.remove_listener("pageerror", on_error)


def sideways_overflow(page: Page) -> list[str]:
    """Return what sticks out to the right; empty where the page does not scroll sideways."""
    excess = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
    if excess <= 0:
        return []
    culprits = page.evaluate(
        """() => [...document.querySelectorAll('body *')]
            .filter(e => e.getBoundingClientRect().right > document.documentElement.clientWidth + 0.5)
            .slice(0, 5).map(e => e.tagName + '.' + (e.getAttribute('class') || ''))"""
    )
    return [f"{page.url} at {page.viewport_size}: {excess} px too wide: {culprits}"]


def accessibility_findings(page: Page) -> list[str]:
    """Return what axe finds on the page as it stands, one line each."""
    violations = Axe().run(page).response["violations"]
    return [
        f"{page.url} at {page.viewport_size}: axe {violation['id']}: "
        + "; ".join(str(node["target"]) for node in violation["nodes"][:4])
        for violation in violations
    ]
