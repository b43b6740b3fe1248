"""A real local HTTP server in the shape of the weather service, with faults on demand. Its weather is invented.

with NwsServer() as server:
    settings.ROOFOPS_NWS_URL = server.url
    server.break_next("500", times=2)
"""

from __future__ import annotations

import hashlib
import json
import threading
import time
from collections import deque
from collections.abc import Callable, Mapping
from datetime import UTC, datetime
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from types import TracebackType
from typing import Any, Self

from tests.weather.grid_documents import as_bytes, from_hourly
from weather.sources import recorded

OFFICE = "ABC"
CELL_DEG = 0.02
PATTERN = "westmere-storm"  # the invented weather of every cell that no other document was set for
GEOJSON, PROBLEM = "application/geo+json", "application/problem+json"
LAST_MODIFIED = "Fri, 01 Jan 2100 00:00:00 GMT"  # in the future, as the real one has been seen
HTML = b"<!DOCTYPE html><html><head><title>Access Denied</title></head><body>Reference 18.1</body></html>"
# Answers that are always the same: status, body, kind, headers.
FIXED_FAULTS: Mapping[str, tuple[int, bytes, str, Mapping[str, str]]] = {
    "html": (200, HTML, "text/html", {}),
    "html_as_json": (200, HTML, GEOJSON, {}),
    "empty": (200, b"", GEOJSON, {}),
    "huge": (200, b"[" + b" " * 6_000_000 + b"]", GEOJSON, {}),
    "elsewhere": (301, b"{}", PROBLEM, {"Location": "http://127.0.0.2:1/points"}),
    "304": (304, b"", GEOJSON, {}),
    "403": (403, HTML, "text/html", {}),
    "429": (429, HTML, "text/html", {"Retry-After": "7"}),
}
PROBLEM_NAMES = {"500": "UnexpectedProblem", "503": "ForecastGridExpired"}


def cell_key(lat: float, lon: float) -> str:
    """The cell of a place: squares of 0.02 degrees."""
    return f"{OFFICE}/{int((lon + 180) / CELL_DEG)},{int((lat + 90) / CELL_DEG)}"


def corners(key: str) -> list[list[float]]:
    """The outline of a cell."""
    x, y = (int(part) for part in key.split("/")[1].split(","))
    west, south = x * CELL_DEG - 180, y * CELL_DEG - 90
    east, north = west + CELL_DEG, south + CELL_DEG
    return [[west, south], [west, north], [east, north], [east, south], [west, south]]


class _QuietServer(ThreadingHTTPServer):
    def handle_error(self, request: object, client_address: object) -> None:
        """Keep the test output quiet when a client hangs up on purpose."""


class NwsServer:
    """Answers /points and /gridpoints on a free local port; every question is kept in `asked` as (path, headers)."""

    def __init__(self, now: Callable[[], datetime] | None = None, time_zone: str = "America/Chicago") -> None:
        self._now = now or (lambda: datetime.now(UTC))
        self.time_zone = time_zone
        self.asked: list[tuple[str, dict[str, str]]] = []
        self.documents: dict[str, dict[str, Any]] = {}
        self.patterns: dict[str, str] = {}
        self.moved: dict[str, str] = {}  # old cell -> new cell: the old one is not known any more
        self.slow_s = 0.0
        self._faults: deque[str] = deque()
        self._http = _QuietServer(("127.0.0.1", 0), type("Handler", (_Handler,), {"nws": self}))
        self._thread = threading.Thread(target=self._http.serve_forever, kwargs={"poll_interval": 0.02}, daemon=True)

    @property
    def url(self) -> str:
        """Base address without a slash at its end."""
        return f"http://127.0.0.1:{self._http.server_port}"

    def __enter__(self) -> Self:
        self._thread.start()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._http.shutdown()
        self._http.server_close()

    def break_next(self, fault: str, times: int = 1) -> None:
        """Let the next answers fail: a status, html, html_as_json, empty, truncated, redirect, loop, reset, huge."""
        self._faults.extend([fault] * times)

    def document(self, key: str) -> dict[str, Any]:
        """The grid document of a cell: the one that was set, or invented weather dated around now."""
        if key not in self.documents:
            now = self._now()
            west, south = corners(key)[0]
            table = recorded.hourly(self.patterns.get(key, PATTERN), south, west, now, self.time_zone)
            self.documents[key] = from_hourly(table, key, corners(key))
            self.documents[key]["properties"]["updateTime"] = now.replace(microsecond=0).isoformat()
        return self.documents[key]

    def paths(self, part: str = "") -> list[str]:
        """The paths asked for so far that hold a text."""
        return [path for path, _ in self.asked if part in path]

    def take_fault(self) -> str:
        """The fault of this answer, '' for none."""
        if self._faults and self._faults[0] == "loop":
            return "loop"  # until the end of the test
        return self._faults.popleft() if self._faults else ""

    def point(self, lat: float, lon: float) -> dict[str, Any]:
        """The answer for a place."""
        key = cell_key(lat, lon)
        key = self.moved.get(key, key)
        office, xy = key.split("/")
        x, y = xy.split(",")
        place = {"gridId": office, "gridX": int(x), "gridY": int(y), "cwa": "XYZ", "timeZone": self.time_zone}
        return {"type": "Feature", "properties": place | {"forecastGridData": f"{self.url}/gridpoints/{key}"}}


class _Handler(BaseHTTPRequestHandler):
    """One question. Which server it belongs to is set on a class of its own for each server."""

    nws: NwsServer

    def do_GET(self) -> None:
        self.nws.asked.append((self.path, dict(self.headers)))
        time.sleep(self.nws.slow_s)
        fault = self.nws.take_fault()
        if fault:
            self._fault(fault)
        elif "contact:" not in self.headers.get("User-Agent", ""):
            self._send(403, HTML, "text/html")
        elif self.path.startswith("/points/"):
            lat, lon = (float(part) for part in self.path.removeprefix("/points/").split(","))
            self._send(200, as_bytes(self.nws.point(lat, lon)), GEOJSON)
        elif self.path.startswith("/gridpoints/"):
            self._grid(self.path.removeprefix("/gridpoints/"))
        else:
            self._problem(404, "NotFound")

    def _grid(self, key: str) -> None:
        if key in self.nws.moved:
            self._problem(404, "InvalidGridpoint")
            return
        body = as_bytes(self.nws.document(key))
        etag = f'"{hashlib.sha256(body).hexdigest()[:16]}"'
        validators = {"ETag": etag, "Last-Modified": LAST_MODIFIED}
        if self.headers.get("If-None-Match") == etag:
            self._send(304, b"", GEOJSON, validators)
        else:
            self._send(200, body, GEOJSON, validators)

    def _fault(self, fault: str) -> None:
        if fault == "reset":
            self.connection.close()
        elif fault == "truncated":
            body = as_bytes(self.nws.document(cell_key(44.95, -93.09)))
            self._send(200, body[: len(body) // 2], GEOJSON)
        elif fault in ("redirect", "loop"):
            self._send(301, b"{}", PROBLEM, {"Location": self.path})
        elif fault in FIXED_FAULTS:
            self._send(*FIXED_FAULTS[fault])
        else:
            self._problem(int(fault), PROBLEM_NAMES.get(fault, "Fault"))

    def _problem(self, status: int, name: str) -> None:
        problem = {"type": f"urn:noaa:nws:api:{name}", "title": name, "status": status, "correlationId": "1a2b"}
        self._send(status, json.dumps(problem).encode(), PROBLEM)

    def _send(self, status: int, body: bytes, kind: str, headers: Mapping[str, str] | None = None) -> None:
        self.send_response(status)
        for name, value in ({"Content-Type": kind, "Content-Length": str(len(body))} | dict(headers or {})).items():
            self.send_header(name, value)
        self.end_headers()
        self.wfile.write(body)

    def log_message(self, format: str, *args: Any) -> None:  # noqa: A002
        """Keep the test output quiet."""
