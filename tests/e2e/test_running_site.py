"""The whole installation with real processes: `manage.py up --demo`, a real worker over the file queue, a browser."""

import os
import re
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from roofops.demo.scenario import company
from tests.e2e.soundness import DESKTOP, quiet_console

pytestmark = pytest.mark.browser
ROOT = Path(__file__).resolve().parent.parent.parent
# What the test run itself has set must not leak into the installation.
FOREIGN = ("DATABASE_URL", "REDIS_URL", "DJANGO_SETTINGS_MODULE", "DJANGO_ALLOW_ASYNC_UNSAFE", "PORT")
READY_WITHIN_S, PLANNED_WITHIN_MS = 120.0, 120_000


@pytest.fixture
def site(tmp_path: Path) -> Iterator[str]:
    """The address of a fresh embedded installation with the demo in it; stopped as Ctrl-C would stop it."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = int(probe.getsockname()[1])
    kept = {key: value for key, value in os.environ.items() if key not in FOREIGN and not key.startswith("ROOFOPS_")}
    process = subprocess.Popen(
        [sys.executable, "manage.py", "up", "--demo", "--port", str(port)],
        cwd=ROOT,
        env=kept | {"ROOFOPS_DATA": str(tmp_path / "data"), "PYTHONUNBUFFERED": "1"},
        text=True,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
    )
    try:
        address = f"http://localhost:{port}"
        wait_until_ready(f"{address}/readyz", process)
        yield address
    finally:
        process.send_signal(signal.SIGINT)
        try:
            process.communicate(timeout=40)
        except subprocess.TimeoutExpired:
            process.kill()
            process.communicate()


def wait_until_ready(address: str, process: subprocess.Popen[str]) -> None:
    deadline = time.monotonic() + READY_WITHIN_S
    while time.monotonic() < deadline:
        if process.poll() is not None:
            pytest.fail(f"It stopped by itself: {process.stdout.read() if process.stdout else ''}")
        try:
            with urllib.request.urlopen(address, timeout=5) as answer:
                if answer.status == 200:
                    return
        except OSError:
            time.sleep(0.2)
    pytest.fail(f"It was not ready after {READY_WITHIN_S:.0f} s.")


def test_a_real_worker_makes_the_plan_that_the_manager_asks_for(browser: Browser, site: str) -> None:
    page = browser.new_context(viewport=DESKTOP).new_page()
    findings: list[str] = []
    with quiet_console(page, findings):
        page.goto(site)
        page.get_by_label("User name").fill(company.MANAGER[0])
        page.get_by_label("Password").fill(company.PASSWORD)
        page.get_by_role("button", name="Sign in").click()
        four_roofs_have_a_verdict(page)
        page.goto(f"{site}/plan/")
        expect(page.get_by_role("heading", level=1)).to_contain_text("Plan 1")
        page.get_by_role("button", name="Propose a plan").click()
        # The page asks for the progress by itself until the worker has made the proposal.
        publish = page.get_by_role("link", name="Publish plan 2")
        expect(publish).to_be_visible(timeout=PLANNED_WITHIN_MS)
        publish.click()
        page.get_by_role("button", name="Publish plan 2").click()
        expect(page).to_have_url(re.compile("/plan/$"))
        expect(page.get_by_role("heading", level=1)).to_contain_text("Plan 2")
    assert findings == []


def four_roofs_have_a_verdict(page: Page) -> None:
    """Whatever the hour at which the test runs, midnight included; the invented weather is named as such."""
    expect(page.get_by_role("article")).to_have_count(4)
    words = re.compile("OK to tear off|No tear-off|Stay off the roof|Unknown, keep it closed")
    expect(page.get_by_role("article").get_by_role("heading", name=words)).to_have_count(4)
    expect(page.get_by_text("Invented weather").first).to_be_visible()
