"""An hourly table as compressed bytes and back, without loss: what a stored forecast consists of."""

import json
import math
import zlib
from datetime import datetime
from typing import Any

import numpy as np

from weather.hourly import COLUMNS, Hourly

VERSION = 1
_PLAIN = ("source", "pop_threshold_mm", "attribution")


def pack(hourly: Hourly) -> bytes:
    """The table as compressed JSON; NaN is written as null."""
    document: dict[str, Any] = {name: getattr(hourly, name) for name in _PLAIN}
    document["version"] = VERSION
    document["start"] = hourly.start.isoformat()
    document["issued_at"] = hourly.issued_at.isoformat()
    for name in COLUMNS:
        document[name] = _listed(getattr(hourly, name).tolist())
    for name in ("wx", "flags"):
        document[name] = [sorted(words) for words in getattr(hourly, name)]
    if hourly.member_qpf_mm is not None:
        document["member_qpf_mm"] = [_listed(member) for member in hourly.member_qpf_mm.tolist()]
    return zlib.compress(json.dumps(document, separators=(",", ":"), sort_keys=True).encode())


def unpack(table: bytes | memoryview) -> Hourly:
    """The table that `pack` made bytes of.

    Raises
    ------
    ValueError
        The bytes are not a table of this version.
    """
    try:
        document = json.loads(zlib.decompress(bytes(table)))
    except (zlib.error, ValueError):
        raise ValueError("The stored forecast is damaged.") from None
    if not isinstance(document, dict) or document.get("version") != VERSION:
        raise ValueError("The stored forecast was written by another version.")
    members = document.get("member_qpf_mm")
    columns: dict[str, Any] = {name: np.array(document[name], dtype=float) for name in COLUMNS}
    return Hourly(
        start=datetime.fromisoformat(document["start"]),
        issued_at=datetime.fromisoformat(document["issued_at"]),
        wx=tuple(frozenset(words) for words in document["wx"]),
        flags=tuple(frozenset(words) for words in document["flags"]),
        member_qpf_mm=None if members is None else np.array(members, dtype=float),
        **{name: document[name] for name in _PLAIN},
        **columns,
    )


def _listed(values: list[float]) -> list[float | None]:
    return [None if math.isnan(value) else value for value in values]
