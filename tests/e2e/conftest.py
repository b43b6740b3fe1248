"""What the browser tests share: a clock that can be set, a way to sign in, and a worker that does what is queued."""

from collections.abc import Callable
from datetime import UTC, datetime
from time import monotonic

import pytest
from playwright.sync_api import BrowserContext, Page, expect
from pytest_django.live_server_helper import LiveServer

from roofops.record import clock, runners
from roofops.record.models import Work

SignIn = Callable[[BrowserContext, str, str], Page]
SetClock = Callable[[datetime], None]


@pytest.fixture
def set_clock(monkeypatch: pytest.MonkeyPatch) -> SetClock:
    """Set the one clock that the site asks; it runs on from there. Sessions and cookies keep the real time."""

    def do(moment: datetime) -> None:
        began = monotonic()
        start = moment.astimezone(UTC)

        def now() -> datetime:
            return datetime.fromtimestamp(start.timestamp() + monotonic() - began, tz=UTC)

        monkeypatch.setattr(clock, "now", now)

    return do


@pytest.fixture
def sign_in(live_server: LiveServer) -> SignIn:
    """Sign a person in through the form, as they would, and return the page they land on."""

    def do(context: BrowserContext, user_name: str, password: str) -> Page:
        page = context.new_page()
        page.goto(f"{live_server.url}/")
        page.get_by_label("User name").fill(user_name)
        page.get_by_label("Password").fill(password)
        page.get_by_role("button", name="Sign in").click()
        expect(page.get_by_label("Password")).to_have_count(0)
        return page

    return do


@pytest.fixture
def work_off() -> Callable[[], list[str]]:
    """Do all queued background work as a worker would, and return how each piece ended."""

    def do() -> list[str]:
        queued = list(Work.objects.filter(state=Work.State.QUEUED).order_by("pk").values_list("pk", flat=True))
        for work_id in queued:
            runners.run(work_id, clock.now())
        return list(Work.objects.filter(pk__in=queued).order_by("pk").values_list("state", flat=True))

    return do
