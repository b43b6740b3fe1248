"""Talks to a real local HTTP server that answers, fails and lies like the weather service."""

import pytest
from pytest_django import Settings

from tests.weather.nws_server import LAST_MODIFIED, NwsServer, cell_key
from weather.sources import client as client_module
from weather.sources.client import NwsClient
from weather.sources.errors import FetchFailed, GridMoved, NoContact, Transient

KEY = cell_key(44.95, -93.09)


def grid(slept: list[float], **options: object) -> bytes:
    with NwsClient(sleep=slept.append) as client:
        body = client.grid(KEY, **options).body  # type: ignore[arg-type]
    assert body is not None
    return body


@pytest.fixture
def waits() -> list[float]:
    return []


def test_it_says_who_asks_and_what_it_wants(nws_server: NwsServer, waits: list[float]) -> None:
    assert b'"updateTime"' in grid(waits)
    path, headers = nws_server.asked[0]
    assert path == f"/gridpoints/{KEY}"
    assert headers["User-Agent"] == "roofops (contact: weather@example.com)"
    assert headers["Accept"] == "application/geo+json"


@pytest.mark.parametrize("contact", ["", "   "])
def test_without_a_contact_it_asks_nothing(nws_server: NwsServer, settings: Settings, contact: str) -> None:
    settings.ROOFOPS_WEATHER_CONTACT = contact
    with pytest.raises(NoContact, match="no contact for its operators is set"):
        NwsClient()
    assert nws_server.asked == []


@pytest.mark.parametrize(
    ("lat", "lon", "path"),
    [(44.95, -93.09, "44.95,-93.09"), (44.123456, -93.100049, "44.1235,-93.1"), (45.0, -93.0, "45,-93")],
)
def test_a_place_is_asked_for_with_four_decimals_and_no_zeros_behind(
    nws_server: NwsServer, lat: float, lon: float, path: str
) -> None:
    with NwsClient() as client:
        client.point(lat, lon)
    assert nws_server.asked[0][0] == f"/points/{path}"


def test_validators_are_echoed_and_unchanged_means_no_body(nws_server: NwsServer) -> None:
    with NwsClient() as client:
        first = client.grid(KEY)
        again = client.grid(KEY, first.etag, first.last_modified)
    assert first.last_modified == LAST_MODIFIED  # lies in the future; it is echoed, never read
    assert again.body is None
    headers = nws_server.asked[1][1]
    assert (headers["If-None-Match"], headers["If-Modified-Since"]) == (first.etag, LAST_MODIFIED)


@pytest.mark.parametrize("fault", ["500", "502", "503", "504", "html", "reset", "429"])
def test_a_passing_fault_is_tried_again(nws_server: NwsServer, waits: list[float], fault: str) -> None:
    nws_server.break_next(fault, times=2)
    assert grid(waits)
    assert len(nws_server.asked) == 3
    assert len(waits) == 2


def test_the_waits_grow_and_carry_jitter(nws_server: NwsServer, waits: list[float]) -> None:
    nws_server.break_next("500", times=4)
    with pytest.raises(Transient, match=r"a fault of its own \(500\)"):
        grid(waits)
    assert len(nws_server.asked) == 4
    for wait, base in zip(waits, (1, 3, 9), strict=True):
        assert base <= wait <= base * 1.25


def test_a_wait_that_the_service_asks_for_is_kept(nws_server: NwsServer, waits: list[float]) -> None:
    nws_server.break_next("429")
    grid(waits)
    assert waits[0] >= 7  # Retry-After


@pytest.mark.parametrize("fault", ["400", "403", "401"])
def test_a_refusal_is_not_tried_again(nws_server: NwsServer, waits: list[float], fault: str) -> None:
    nws_server.break_next(fault)
    with pytest.raises(FetchFailed, match="refused the question"):
        grid(waits)
    assert len(nws_server.asked) == 1


@pytest.mark.parametrize("fault", ["404", "410"])
def test_an_unknown_cell_is_told_apart_from_a_fault(nws_server: NwsServer, waits: list[float], fault: str) -> None:
    nws_server.break_next(fault)
    with pytest.raises(GridMoved):
        grid(waits)
    assert len(nws_server.asked) == 1


def test_a_redirect_is_followed_but_not_in_a_circle_nor_to_another_host(
    nws_server: NwsServer, waits: list[float]
) -> None:
    nws_server.break_next("redirect")
    assert grid(waits)
    nws_server.break_next("elsewhere")
    with pytest.raises(FetchFailed, match="another host"):
        grid(waits)
    nws_server.break_next("loop")
    with pytest.raises(FetchFailed, match="in a circle"):
        grid(waits)
    assert len(nws_server.asked) <= 2 + 1 + 5


def test_far_too_much_is_cut_off(nws_server: NwsServer, waits: list[float]) -> None:
    nws_server.break_next("huge")
    with pytest.raises(FetchFailed, match="far too much"):
        grid(waits)


def test_a_service_that_hangs_is_given_up(nws_server: NwsServer, waits: list[float]) -> None:
    nws_server.slow_s = 0.4
    with NwsClient(sleep=waits.append, read_timeout_s=0.05) as client, pytest.raises(Transient, match="in time"):
        client.grid(KEY)


def test_a_body_that_drips_is_given_up(
    nws_server: NwsServer, waits: list[float], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(client_module, "WHOLE_ANSWER_S", -1.0)
    with pytest.raises(Transient, match="did not finish in time"):
        grid(waits)


def test_a_host_that_is_not_there_is_a_passing_fault(settings: Settings, waits: list[float]) -> None:
    settings.ROOFOPS_WEATHER_CONTACT = "weather@example.com"
    settings.ROOFOPS_NWS_URL = "http://127.0.0.1:9"
    with pytest.raises(Transient, match="cannot be reached"):
        grid(waits)
    assert len(waits) == 3


def test_no_wait_is_spent_on_a_good_answer(nws_server: NwsServer, waits: list[float]) -> None:
    grid(waits)
    assert waits == []
