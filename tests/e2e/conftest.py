"""The browser's ways into the site."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect
from pytest_django.live_server_helper import LiveServer

SignIn = Callable[[Page, str, str], Page]


@pytest.fixture
def sign_in(live_server: LiveServer) -> SignIn:
    """Sign a person in through the form, as they would."""

    def do(page: Page, user_name: str, password: str) -> Page:
        page.goto(f"{live_server.url}/sign-in/")
        page.get_by_label("User name").fill(user_name)
        page.get_by_label("Password").fill(password)
        page.get_by_role("button", name="Sign in").click()
        expect(page).not_to_have_url(f"{live_server.url}/sign-in/")
        return page

    return do
