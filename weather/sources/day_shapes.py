"""The invented days that the demonstration's weather is made of; none of them ever happened.

Each shape is a mild day: asphalt shingles can be laid at noon whatever the real season, so that the demonstration shows
the same verdicts all year round.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

Steps = Mapping[int, float]  # local hour from which a value holds until the next


@dataclass(frozen=True)
class DayShape:
    """One invented local day. Steps start at hour 0. Chances and cover 0 to 1, rain in mm per hour.

    `low_f` comes at 6 am, `high_f` at 3 pm; `dew_point_f` holds all day (the air never cools below it).
    """

    low_f: float
    high_f: float
    dew_point_f: float
    wind_mph: Steps
    gust_mph: Steps
    sky_cover: Steps
    pop: Steps
    qpf_mm: Steps = field(default_factory=lambda: {0: 0.0})
    thunder_p: Steps = field(default_factory=lambda: {0: 0.0})
    word: str = ""

    def __post_init__(self) -> None:
        for name in ("wind_mph", "gust_mph", "sky_cover", "pop", "qpf_mm", "thunder_p"):
            if 0 not in getattr(self, name):
                raise ValueError(f"The steps of {name} must start at hour 0.")


DRY = DayShape(
    low_f=45, high_f=63, dew_point_f=37,
    wind_mph={0: 6, 10: 9, 18: 6}, gust_mph={0: 9, 10: 14, 18: 9},
    sky_cover={0: 0.3, 10: 0.25, 18: 0.2}, pop={0: 0.01},
)  # fmt: skip
STORM = DayShape(
    low_f=51, high_f=66, dew_point_f=43,
    wind_mph={0: 8, 11: 11, 15: 18, 20: 9}, gust_mph={0: 13, 11: 17, 15: 34, 20: 15},
    sky_cover={0: 0.4, 11: 0.6, 14: 0.9, 21: 0.5},
    pop={0: 0.01, 12: 0.02, 13: 0.03, 14: 0.05, 15: 0.75, 18: 0.70, 20: 0.15, 22: 0.02},
    qpf_mm={0: 0.0, 15: 4.0, 18: 1.5, 20: 0.0}, thunder_p={0: 0.0, 14: 0.05, 15: 0.45, 19: 0.10, 21: 0.0},
    word="thunderstorms",
)  # fmt: skip
WINDY = DayShape(
    low_f=45, high_f=58, dew_point_f=33,
    wind_mph={0: 10, 8: 15, 9: 18, 10: 23, 16: 17, 18: 12}, gust_mph={0: 17, 8: 22, 9: 27, 10: 37, 16: 28, 18: 19},
    sky_cover={0: 0.4, 10: 0.6, 18: 0.4}, pop={0: 0.02},
)  # fmt: skip
FROSTY = DayShape(
    low_f=33, high_f=57, dew_point_f=31,
    wind_mph={0: 2, 9: 5, 11: 7, 17: 6}, gust_mph={0: 4, 9: 8, 11: 12, 17: 9},
    sky_cover={0: 0.05, 10: 0.15, 18: 0.2}, pop={0: 0.0},
)  # fmt: skip
CLEAR = DayShape(
    low_f=43, high_f=62, dew_point_f=35,
    wind_mph={0: 6, 10: 8, 17: 6}, gust_mph={0: 9, 10: 13, 17: 9},
    sky_cover={0: 0.2, 9: 0.1, 18: 0.15}, pop={0: 0.0},
)  # fmt: skip
FRONT = DayShape(
    low_f=46, high_f=55, dew_point_f=44,
    wind_mph={0: 9, 8: 13, 18: 11}, gust_mph={0: 15, 8: 21, 18: 17},
    sky_cover={0: 0.9, 6: 1.0, 20: 0.8}, pop={0: 0.25, 6: 0.85, 18: 0.40}, qpf_mm={0: 0.2, 6: 1.1, 18: 0.3},
    word="rain",
)  # fmt: skip
UNSETTLED = DayShape(
    low_f=44, high_f=55, dew_point_f=35,
    wind_mph={0: 6, 9: 9, 17: 7}, gust_mph={0: 10, 9: 14, 17: 11},
    sky_cover={0: 0.7, 7: 0.8, 20: 0.6}, pop={0: 0.05, 7: 0.15, 15: 0.45, 19: 0.25, 22: 0.05},
    qpf_mm={0: 0.0, 15: 0.5, 19: 0.0}, word="rain",
)  # fmt: skip
GALE = DayShape(
    low_f=44, high_f=57, dew_point_f=32,
    wind_mph={0: 12, 5: 19, 9: 24, 19: 14}, gust_mph={0: 20, 5: 32, 9: 38, 17: 33, 20: 22},
    sky_cover={0: 0.5, 10: 0.7, 18: 0.4}, pop={0: 0.02},
)  # fmt: skip

# What each pattern says of today and the days after; the patterns belong to one invented town.
PATTERNS: Mapping[str, tuple[DayShape, ...]] = {
    "westmere-dry": (DRY, FROSTY, STORM, WINDY, CLEAR, CLEAR, FRONT, DRY),
    "westmere-storm": (STORM, CLEAR, WINDY, FROSTY, CLEAR, CLEAR, FRONT, DRY),
    "westmere-wind": (WINDY, DRY, STORM, CLEAR, FROSTY, CLEAR, FRONT, DRY),
    "westmere-frost": (FROSTY, DRY, STORM, WINDY, CLEAR, CLEAR, FRONT, DRY),
    "westmere-gale": (GALE, DRY, STORM, CLEAR, FROSTY, CLEAR, FRONT, DRY),
    "westmere-unsettled": (UNSETTLED, FRONT, CLEAR, WINDY, FROSTY, STORM, CLEAR, DRY),
    "westmere-silent": (CLEAR, DRY, STORM, WINDY, CLEAR, CLEAR, FRONT, DRY),
}
# This pattern's office went silent: its last issue stays nine hours old, so that today is unknown there.
SILENT_HOURS: Mapping[str, int] = {"westmere-silent": 9}
