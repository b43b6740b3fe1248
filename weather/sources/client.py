"""Asks the National Weather Service over HTTP. The only file that opens a connection.

The service wants a contact in the User-Agent and an explicit Accept; without them it refuses, or serves old copies.
"""

import random
import time
from collections.abc import Callable
from dataclasses import dataclass
from types import TracebackType
from typing import Self
from urllib.parse import urljoin, urlsplit

import requests
from django.conf import settings
from structlog import get_logger
from urllib3.exceptions import HTTPError

from weather.sources.errors import FetchFailed, GridMoved, NoContact, Transient

logger = get_logger(__name__)

CONNECT_TIMEOUT_S, READ_TIMEOUT_S, WHOLE_ANSWER_S = 5.0, 15.0, 30.0
RETRY_WAITS_S = (1.0, 3.0, 9.0)
JITTER_SHARE = 0.25
# A block for asking too much clears after about five seconds; a longer wait than a minute is left to the next round.
BUSY_WAIT_S, LONGEST_WAIT_S = 5.0, 60.0
LARGEST_ANSWER_BYTES = 5 * 1024 * 1024  # the largest grid document seen has 0.25 MB
MAX_REDIRECTS = 4
REDIRECTS, GONE, TRY_AGAIN = (301, 302, 303, 307, 308), (404, 410), (500, 502, 503, 504)


@dataclass(frozen=True)
class Answer:
    """A sound answer: the body, or None when the source says that nothing changed (304)."""

    body: bytes | None
    etag: str = ""
    last_modified: str = ""


class NwsClient:
    """One conversation with the service. Use as a context manager; not shared between threads.

    Raises
    ------
    NoContact
        No contact is set: nothing may be asked.
    """

    def __init__(
        self,
        base_url: str | None = None,
        contact: str | None = None,
        sleep: Callable[[float], None] = time.sleep,
        read_timeout_s: float = READ_TIMEOUT_S,
    ) -> None:
        contact = settings.ROOFOPS_WEATHER_CONTACT if contact is None else contact
        if not contact.strip():
            raise NoContact
        self._base_url = (settings.ROOFOPS_NWS_URL if base_url is None else base_url).rstrip("/")
        self._sleep = sleep
        self._timeout = (CONNECT_TIMEOUT_S, read_timeout_s)
        self._session = requests.Session()
        self._session.headers["User-Agent"] = f"roofops (contact: {contact.strip()})"
        self._session.headers["Accept"] = "application/geo+json"

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._session.close()

    def point(self, lat: float, lon: float) -> Answer:
        """Ask which cell a place lies in. Raises as `grid`."""
        return self._ask(f"/points/{_four_places(lat)},{_four_places(lon)}", {})

    def grid(self, cell_key: str, etag: str = "", last_modified: str = "") -> Answer:
        """Ask for a cell's grid document, or whether it changed since the answer that carried these validators.

        Raises
        ------
        GridMoved
            The cell is not known (any more).
        FetchFailed
            No sound answer came, after all tries.
        """
        validators = {}
        # Validators are echoed, never read: the service has sent modification times days in the future.
        if etag:
            validators["If-None-Match"] = etag
        if last_modified:
            validators["If-Modified-Since"] = last_modified
        return self._ask(f"/gridpoints/{cell_key}", validators)

    def _ask(self, path: str, headers: dict[str, str]) -> Answer:
        for wait_s in (*RETRY_WAITS_S, None):
            try:
                return self._ask_once(path, headers)
            except Transient as error:
                asked_s = error.wait_s
                if wait_s is None or (asked_s is not None and asked_s > LONGEST_WAIT_S):
                    raise
                logger.info("weather_retry", path=path, reason=str(error))
                self._sleep(max(wait_s, asked_s or 0.0) * (1.0 + JITTER_SHARE * random.random()))  # noqa: S311
        raise AssertionError("the last try either answers or raises")

    def _ask_once(self, path: str, headers: dict[str, str]) -> Answer:
        url = self._base_url + path
        try:
            for _ in range(MAX_REDIRECTS + 1):
                with self._session.get(
                    url, headers=headers, timeout=self._timeout, stream=True, allow_redirects=False
                ) as response:
                    if response.status_code not in REDIRECTS:
                        return _answer(response)
                    url = self._redirect(url, response.headers.get("Location", ""))
        except requests.Timeout:
            raise Transient("The weather service did not answer in time.") from None
        except (requests.RequestException, HTTPError, OSError) as error:
            raise Transient(f"The weather service cannot be reached ({type(error).__name__}).") from None
        raise FetchFailed("The weather service redirects in a circle.")

    def _redirect(self, url: str, location: str) -> str:
        target = urljoin(url, location)
        if not location or urlsplit(target).netloc != urlsplit(self._base_url).netloc:
            raise FetchFailed("The weather service redirects to another host.")
        return target


def _answer(response: requests.Response) -> Answer:
    status = response.status_code
    etag, last_modified = response.headers.get("ETag", ""), response.headers.get("Last-Modified", "")
    if status == requests.codes.not_modified:
        return Answer(None, etag, last_modified)
    if status != requests.codes.ok:
        raise _failure(response)
    kind = response.headers.get("Content-Type", "")
    if "json" not in kind.lower():
        raise Transient(f"The weather service sent '{kind.split(';')[0] or 'nothing known'}' instead of a forecast.")
    return Answer(_body(response), etag, last_modified)


def _failure(response: requests.Response) -> FetchFailed:
    status = response.status_code
    logger.warning("weather_refused", status=status, correlation_id=response.headers.get("X-Correlation-Id", ""))
    if status in GONE:
        return GridMoved(f"The weather service does not know this place or cell ({status}).")
    if status == requests.codes.too_many_requests:
        return Transient("The weather service asks for fewer questions (429).", _retry_after_s(response) or BUSY_WAIT_S)
    if status in TRY_AGAIN:
        return Transient(f"The weather service has a fault of its own ({status}).", _retry_after_s(response))
    return FetchFailed(f"The weather service refused the question ({status}).")


def _retry_after_s(response: requests.Response) -> float | None:
    text = response.headers.get("Retry-After", "").strip()
    return float(text) if text.isdecimal() else None


def _body(response: requests.Response) -> bytes:
    """The whole body, within the size and the time that are allowed however slowly it drips."""
    deadline = time.monotonic() + WHOLE_ANSWER_S
    body = bytearray()
    for chunk in response.iter_content(64 * 1024):
        body += chunk
        if len(body) > LARGEST_ANSWER_BYTES:
            raise FetchFailed("The weather service sent far too much.")
        if time.monotonic() > deadline:
            raise Transient("The weather service did not finish in time.")
    return bytes(body)


def _four_places(degrees: float) -> str:
    """At most four decimals and no trailing zeros, or the service redirects."""
    text = f"{degrees:.4f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
