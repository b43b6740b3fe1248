"""The canonical hourly table that every forecast source is turned into."""

from dataclasses import dataclass, field, fields
from datetime import datetime, timedelta

import numpy as np
from numpy.typing import NDArray

Column = NDArray[np.float64]

COLUMNS = (
    "air_temp_c",
    "dew_point_c",
    "rel_humidity",
    "apparent_temp_c",
    "wind_ms",
    "gust_ms",
    "wind_dir_deg",
    "pop",
    "pop_period_h",
    "qpf_mm",
    "thunder_p",
    "snow_mm",
    "ice_mm",
    "sky_cover",
)


@dataclass(frozen=True)
class Hourly:
    """A forecast of consecutive hours; row i holds on [start + i h, start + (i+1) h).

    Every column is a float64 array of shape (n_hours,); NaN is unknown and never zero.
    Temperatures [degC], humidity, pop, thunder_p and sky_cover [0-1], wind and gust [m/s] (wind is the highest
    sustained wind of the hour), qpf [mm liquid in the hour], snow and ice [mm depth in the hour], pop_period_h [h]: the
    length of the block that the chance of rain speaks of. Times are UTC and aware.

    Raises ValueError when start is not a whole UTC hour, or a column has another length than the others.
    """

    source: str
    start: datetime
    issued_at: datetime
    air_temp_c: Column
    dew_point_c: Column
    rel_humidity: Column
    apparent_temp_c: Column
    wind_ms: Column
    gust_ms: Column
    wind_dir_deg: Column
    pop: Column
    pop_period_h: Column
    qpf_mm: Column
    thunder_p: Column
    snow_mm: Column
    ice_mm: Column
    sky_cover: Column
    wx: tuple[frozenset[str], ...] = ()  # per hour: words of the weather layer, e.g. "thunderstorms", "rain_showers"
    flags: tuple[frozenset[str], ...] = ()  # per hour: what was wrong or assumed, e.g. "gap", "overlap", "out_of_range"
    pop_threshold_mm: float = 0.254
    member_qpf_mm: NDArray[np.float64] | None = None  # (n_members, n_hours)
    attribution: str = field(default="")

    def __post_init__(self) -> None:
        if self.start.utcoffset() != timedelta(0) or self.start != self.start.replace(
            minute=0, second=0, microsecond=0
        ):
            raise ValueError("An hourly table starts on a whole hour in UTC.")
        if self.issued_at.utcoffset() is None:
            raise ValueError("The time of issue needs a time zone.")
        n_hours = len(self.air_temp_c)
        for name in COLUMNS:
            if getattr(self, name).shape != (n_hours,):
                raise ValueError(f"Column {name} must hold {n_hours} hours.")
        for name in ("wx", "flags"):
            if not getattr(self, name):
                object.__setattr__(self, name, (frozenset[str](),) * n_hours)
            elif len(getattr(self, name)) != n_hours:
                raise ValueError(f"{name} must hold {n_hours} hours.")

    @property
    def n_hours(self) -> int:
        """Number of rows [h]."""
        return len(self.air_temp_c)

    @property
    def end(self) -> datetime:
        """First moment after the last row, UTC."""
        return self.start + timedelta(hours=self.n_hours)

    def time_of(self, row: int) -> datetime:
        """UTC moment at which a row begins."""
        return self.start + timedelta(hours=row)

    def row_at(self, moment: datetime) -> int | None:
        """Row that holds at a moment, or None outside the table."""
        row = int((moment - self.start) // timedelta(hours=1))
        return row if 0 <= row < self.n_hours else None

    def rows(self, first: int, last: int) -> "Hourly":
        """The table cut to rows [first, last)."""
        values = {f.name: getattr(self, f.name) for f in fields(self)}
        values["start"] = self.time_of(first)
        for name in COLUMNS:
            values[name] = values[name][first:last]
        values["wx"], values["flags"] = self.wx[first:last], self.flags[first:last]
        if self.member_qpf_mm is not None:
            values["member_qpf_mm"] = self.member_qpf_mm[:, first:last]
        return Hourly(**values)
