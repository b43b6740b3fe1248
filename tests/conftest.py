"""What the whole test run shares: which parts of the real world are there, and the browser."""

import os
import shutil
import socket
from collections.abc import Iterator
from urllib.parse import urlsplit

import hypothesis
import pytest

POSTGRES_URL = os.environ.get("ROOFOPS_TEST_POSTGRES", "")
REDIS_URL = os.environ.get("ROOFOPS_TEST_REDIS", "")
REQUIRE_ALL = os.environ.get("ROOFOPS_REQUIRE_ALL") == "1"
DB_ONLY = os.environ.get("ROOFOPS_DB_ONLY") == "1"
DB_FIXTURES = {"db", "transactional_db", "live_server", "django_db_setup", "client", "admin_client"}

# A busy machine is no fault of the code under test. The same examples at every run, so that a change is judged by what
# it changed; `make endure` looks for new ones with ROOFOPS_NEW_EXAMPLES=1.
hypothesis.settings.register_profile("roofops", deadline=None, derandomize=True)
hypothesis.settings.register_profile("roofops-new-examples", deadline=None, max_examples=1000)
hypothesis.settings.load_profile("roofops-new-examples" if os.environ.get("ROOFOPS_NEW_EXAMPLES") == "1" else "roofops")

CHROMIUM_FLAGS = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


def _answers(url: str, default_port: int) -> bool:
    parts = urlsplit(url)
    if not url or parts.hostname is None:
        return False
    try:
        with socket.create_connection((parts.hostname, parts.port or default_port), timeout=2):
            return True
    except OSError:
        return False


def _missing_parts() -> dict[str, str]:
    """Return the reason for each mark whose part of the real world is not there."""
    missing = {}
    if not _answers(POSTGRES_URL, 5432):
        missing["postgres"] = "no PostgreSQL answers at ROOFOPS_TEST_POSTGRES"
    if not _answers(REDIS_URL, 6379):
        missing["redis"] = "no Redis answers at ROOFOPS_TEST_REDIS"
    if shutil.which("chromium") is None:
        missing["browser"] = "no chromium on the PATH"
    return missing


MISSING = _missing_parts()


def pytest_configure(config: pytest.Config) -> None:
    """Stop at once where every real part is required and one is not there."""
    if REQUIRE_ALL and MISSING:
        raise pytest.UsageError("ROOFOPS_REQUIRE_ALL=1, but " + "; ".join(MISSING.values()) + ".")


def _uses_database(item: pytest.Item) -> bool:
    return item.get_closest_marker("django_db") is not None or bool(
        DB_FIXTURES & set(getattr(item, "fixturenames", ()))
    )


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Skip what lacks its part of the real world; with ROOFOPS_DB_ONLY=1 keep only tests that use the database."""
    for item in items:
        for mark, reason in MISSING.items():
            if item.get_closest_marker(mark) is not None:
                item.add_marker(pytest.mark.skip(reason=reason))
    if DB_ONLY:
        kept = [item for item in items if _uses_database(item)]
        config.hook.pytest_deselected(items=[item for item in items if not _uses_database(item)])
        items[:] = kept


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Say in words which tests were left out, and why."""
    skipped = terminalreporter.stats.get("skipped", [])
    for mark, reason in MISSING.items():
        count = sum(1 for report in skipped if mark in report.keywords)
        if count:
            terminalreporter.write_line(f"Left out: {count} tests marked '{mark}', because {reason}.")


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args: dict[str, object]) -> dict[str, object]:
    """Drive Debian's Chromium instead of a downloaded one."""
    return {**browser_type_launch_args, "executable_path": shutil.which("chromium"), "args": CHROMIUM_FLAGS}


@pytest.fixture(autouse=True)
def _fresh_translations() -> Iterator[None]:
    """End every test in English, whatever language it switched to."""
    from django.utils import translation

    yield
    translation.activate("en")
