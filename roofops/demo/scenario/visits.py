"""Inspections and the pick-up of leftovers."""

from dataclasses import dataclass
from datetime import time


@dataclass(frozen=True)
class VisitStory:
    """One visit of the (invented) building inspector; `result` is what came of it where its window is over."""

    number: str
    kind: str
    work_day: int
    start: time
    end: time
    section: str = ""
    result: str = ""
    note: str = ""


@dataclass(frozen=True)
class LeftoverStory:
    """One pick-up of what was left over."""

    number: str
    supplier: str
    item: str
    count: int
    unit: str
    weight_lb: int
    work_day: int
    not_before: time
    need_by: time
    slot: time
    state: str


VISITS = (
    VisitStory("J-2041", "ice_barrier", -1, time(13, 30), time(14, 30), "back slope", "passed", "tape in view"),
    VisitStory("J-2038", "ice_barrier", -1, time(14, 30), time(15, 30), "east end", "passed", "photos at the eave"),
    VisitStory("J-2017", "final", 0, time(13, 0), time(15, 0), "", "passed", "ladder was set"),
    VisitStory("J-2044", "final", 4, time(9, 0), time(11, 0)),
    VisitStory("J-2038", "final", 3, time(13, 0), time(15, 0)),
)
LEFTOVERS = (
    LeftoverStory(
        "J-2017",
        "Ledgewood Supply",
        "laminate shingles",
        5,
        "bundle",
        400,
        0,
        time(8, 0),
        time(17, 0),
        time(14, 25),
        "confirmed",
    ),
    LeftoverStory(
        "J-2021",
        "Ledgewood Supply",
        "ridge vent",
        3,
        "section",
        25,
        1,
        time(8, 0),
        time(16, 0),
        time(10, 35),
        "asked",
    ),
)
