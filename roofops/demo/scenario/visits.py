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
class TruckStory:
    """One truck beside those that follow from the takeoff. It comes once its slot is over, if it was confirmed."""

    number: str
    kind: str
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
    placement: str = "ground"
    needed_for: str = ""


VISITS = (
    VisitStory("J-2041", "ice_barrier", -1, time(13, 30), time(14, 30), "back slope", "passed", "tape in view"),
    VisitStory("J-2038", "ice_barrier", -1, time(14, 30), time(15, 30), "east end", "passed", "photos at the eave"),
    VisitStory("J-2017", "final", 0, time(13, 0), time(15, 0), "", "passed", "ladder was set"),
    VisitStory("J-2044", "final", 4, time(9, 0), time(11, 0)),
    VisitStory("J-2038", "final", 3, time(13, 0), time(15, 0)),
)
LEDGEWOOD, HARROW = "Ledgewood Supply", "Harrow & Daughter Building Supply"
TRUCKS = (
    TruckStory(
        number="J-2041",
        kind="materials",
        supplier=LEDGEWOOD,
        item="laminate shingles",
        count=28,
        unit="bundle",
        weight_lb=2_240,
        work_day=0,
        not_before=time(10, 30),
        need_by=time(13, 15),
        slot=time(9, 35),
        state="confirmed",
        placement="roof",
        needed_for="field",
    ),
    TruckStory(
        number="J-2029",
        kind="materials",
        supplier=HARROW,
        item="ridge vent",
        count=16,
        unit="section",
        weight_lb=240,
        work_day=0,
        not_before=time(9, 30),
        need_by=time(17, 0),
        slot=time(13, 25),
        state="confirmed",
        needed_for="ridge",
    ),
    TruckStory(
        number="J-2044",
        kind="equipment",
        supplier=LEDGEWOOD,
        item="ladder lift",
        count=1,
        unit="piece",
        weight_lb=520,
        work_day=0,
        not_before=time(7, 0),
        need_by=time(12, 0),
        slot=time(12, 40),
        state="asked",
    ),
    TruckStory(
        number="J-2017",
        kind="leftovers",
        supplier=LEDGEWOOD,
        item="laminate shingles",
        count=5,
        unit="bundle",
        weight_lb=400,
        work_day=0,
        not_before=time(8, 0),
        need_by=time(17, 0),
        slot=time(14, 25),
        state="confirmed",
    ),
    TruckStory(
        number="J-2038",
        kind="materials",
        supplier=HARROW,
        item="hip and ridge caps",
        count=5,
        unit="bundle",
        weight_lb=210,
        work_day=1,
        not_before=time(7, 0),
        need_by=time(12, 30),
        slot=time(9, 15),
        state="asked",
        needed_for="ridge",
    ),
    TruckStory(
        number="J-2021",
        kind="leftovers",
        supplier=LEDGEWOOD,
        item="ridge vent",
        count=3,
        unit="section",
        weight_lb=25,
        work_day=1,
        not_before=time(8, 0),
        need_by=time(16, 0),
        slot=time(10, 35),
        state="asked",
    ),
)
