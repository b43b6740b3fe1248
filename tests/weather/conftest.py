"""What the weather tests share: a server in the shape of the weather service, a moment, and small tables."""

from collections.abc import Iterator
from datetime import UTC, datetime

import pytest
from pytest_django import Settings

from tests.weather.nws_server import NwsServer
from weather.sources.client import NwsClient

NOW = datetime(2026, 5, 4, 12, 10, tzinfo=UTC)


@pytest.fixture
def now() -> datetime:
    """The present moment of the tests: Monday May 4, 2026, 7:10 am in the Central zone."""
    return NOW


@pytest.fixture
def nws_server(settings: Settings) -> Iterator[NwsServer]:
    """A running server that the settings point to, with a contact set and its clock at the tests' moment."""
    with NwsServer(now=lambda: NOW) as server:
        settings.ROOFOPS_NWS_URL = server.url
        settings.ROOFOPS_WEATHER_CONTACT = "weather@example.com"
        yield server


@pytest.fixture
def slept(monkeypatch: pytest.MonkeyPatch) -> list[float]:
    """The waits between tries, recorded instead of waited for [s]."""
    waits: list[float] = []
    original = NwsClient.__init__

    def quick(self: NwsClient, *args: object, **options: object) -> None:
        original(self, *args, **({"sleep": waits.append} | options))  # type: ignore[arg-type]

    monkeypatch.setattr(NwsClient, "__init__", quick)
    return waits
