"""An hourly table as plain records, as `read_forecast --json` prints it. Scripts rely on the keys."""

import math
from datetime import datetime
from typing import Any

from weather.hourly import Hourly

NUMBERS = (
    "air_temp_c",
    "dew_point_c",
    "rel_humidity",
    "wind_ms",
    "gust_ms",
    "pop",
    "pop_period_h",
    "qpf_mm",
    "thunder_p",
    "snow_mm",
    "ice_mm",
    "sky_cover",
)
DECIMALS = 4


def record(hourly: Hourly) -> dict[str, Any]:
    """The table with its time of issue; null is unknown. Units as in `Hourly`."""
    return {
        "source": hourly.source,
        "issued_at": _stamp(hourly.issued_at),
        "attribution": hourly.attribution,
        "pop_threshold_mm": hourly.pop_threshold_mm,
        "hours": [_hour(hourly, row) for row in range(hourly.n_hours)],
    }


def _hour(hourly: Hourly, row: int) -> dict[str, Any]:
    hour: dict[str, Any] = {"valid_from": _stamp(hourly.time_of(row))}
    for name in NUMBERS:
        value = float(getattr(hourly, name)[row])
        hour[name] = None if math.isnan(value) else round(value, DECIMALS)
    hour["wx"] = sorted(hourly.wx[row])
    hour["flags"] = sorted(hourly.flags[row])
    return hour


def _stamp(moment: datetime) -> str:
    return moment.isoformat().replace("+00:00", "Z")
