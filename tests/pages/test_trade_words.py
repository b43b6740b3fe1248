"""Words of loads, slopes, nails and costs: number first, unit held to it, plain trade words."""

from datetime import UTC, datetime

import pytest

from crews.boards.delivery import LoadItem, LoadRow
from crews.boards.plan import CostLine, Move
from crews.day_sheet import SheetLoad, SheetSlope
from roofops.pages.deliveries import load_words
from roofops.pages.limits.page import value_words
from roofops.pages.plan import words as plan_words
from roofops.pages.sheet import words as sheet_words
from roofops.pages.wording.units import counted

ZONE = "America/Chicago"
NOON = datetime(2026, 10, 13, 17, tzinfo=UTC)  # noon, daylight time


def plain(text: str) -> str:
    return text.replace("\N{NO-BREAK SPACE}", " ")


def load(**values: object) -> LoadRow:
    given: dict[str, object] = {
        "load_id": 1,
        "kind": "materials",
        "placement": "roof",
        "items": (LoadItem("laminate shingles", 54, "bundle"),),
        "weight_lb": 4350,
        "container_yd3": None,
        "job_id": 1,
        "job_number": "J-1",
        "short_name": "Holt",
        "street": "18 Alder Court",
        "crew_name": "Ruiz",
        "state": "asked",
        "slot_start": NOON,
        "slot_end": None,
        "not_before": None,
        "not_before_why": "",
        "not_before_section": "",
        "need_by": None,
        "need_by_why": "field",
        "need_by_section": "front slope",
        "fit": "fits",
        "minutes": 0,
        "proposed_slot": None,
        "ways_out": (),
        "supplier_name": "Fernhollow Supply",
        "supplier_phone": "555-0110",
        "truck_payload_lb": 12000,
        "note": "",
        "revision": 1,
    }
    return LoadRow(**{**given, **values})  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("count", "unit", "words"),
    [
        (1, "bundle", "1 bundle"),
        (81, "bundle", "81 bundles"),
        (26, "stick", "26 pieces"),
        (3, "each", "3"),
        (154, "ft", "154 ft"),
    ],
)
def test_counted_things_stand_in_the_plural_and_measures_do_not(count: int, unit: str, words: str) -> None:
    assert plain(counted(str(count), unit, one=count == 1)) == words


def test_a_load_is_named_by_what_comes_and_where_it_is_put() -> None:
    assert plain(load_words.title(load())) == "54 bundles laminate shingles, both slopes"
    assert plain(load_words.title(load(kind="dumpster_swap", container_yd3=20))) == "Dumpster swap, 20 yd"


@pytest.mark.parametrize(
    ("values", "words", "over"),
    [
        ({"fit": "too_late", "minutes": 40}, "40 min too late", True),
        ({"fit": "too_early", "minutes": 120}, "2 h too early", True),
        ({"state": "confirmed"}, "Fits", False),
        ({}, "Waits for a call", False),
        ({"slot_start": None, "state": "planned"}, "No time asked yet", False),
        ({"state": "refused"}, "Refused: ask again", True),
        ({"state": "came", "fit": "too_late", "minutes": 40}, "Came", False),
    ],
)
def test_the_state_says_whether_a_load_fits_and_by_how_much_not(
    values: dict[str, object], words: str, over: bool
) -> None:
    row = load(**values)
    assert plain(load_words.state_words(row)) == words
    assert load_words.is_over(row) is over


def test_a_late_load_says_what_waits_for_it() -> None:
    row = load(
        fit="too_late",
        minutes=40,
        need_by=NOON.replace(hour=18, minute=15),
        slot_start=NOON.replace(hour=18, minute=55),
    )
    said = plain(load_words.trouble(row, ZONE))
    assert said == "Shingles start on front slope at 1:15 pm. The truck is set for 1:55 pm."


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"bare_squares": 4.4, "old_squares": 0.0}, "4.4 of 4.4 sq bare"),
        ({}, "4.4 sq, old"),
        ({"after": 2}, "4.4 sq, when 2 is dried-in"),
        ({"stop_squares": 1.8}, "1.8 of 4.4 sq today"),
        ({"stop_squares": 1.8, "after": 2}, "1.8 of 4.4 sq, when 2 is dried-in"),
    ],
)
def test_a_slope_says_how_much_of_it_and_after_what(values: dict[str, object], words: str) -> None:
    given: dict[str, object] = {
        "section_id": 1,
        "name": "front slope",
        "order": 1,
        "squares": 4.4,
        "old_squares": 4.4,
        "bare_squares": 0.0,
        "dried_in_squares": 0.0,
        "shingled_squares": 0.0,
        "state": "old",
        "pitch_in_12": 6.0,
        "today_squares": 4.4,
        "phases": (),
        "target_labor_hours": 10.3,
        "starts_at": None,
        "stop_squares": None,
        "after": None,
    }
    assert sheet_words.slope_words(SheetSlope(**{**given, **values})) == words  # type: ignore[arg-type]


def test_a_load_to_come_says_its_state_its_time_and_both_sides() -> None:
    coming = SheetLoad("materials", "roof", (("laminate shingles", 54.0, "bundle"),), "asked", NOON, False, None)
    assert (
        plain(sheet_words.due_words(coming, ZONE)) == "Asked for noon: 54 bundles laminate shingles, half on each side."
    )


@pytest.mark.parametrize(("inches", "words"), [(1.25, "1-1/4 in"), (0.75, "3/4 in"), (3.0, "3 in"), (2.5, "2-1/2 in")])
def test_a_nails_length_is_written_as_on_its_box(inches: float, words: str) -> None:
    assert plain(sheet_words.length_words(inches)) == words


def test_costs_mark_the_better_side_and_money_has_its_sign() -> None:
    line = plan_words.cost_words(CostLine("water_loss_usd", 1310.2, 239.8))
    assert (line.label, line.published, line.proposed, line.better) == (
        "Water loss, expected",
        "$1,310",
        "$240",
        "proposed",
    )
    assert plan_words.cost_words(CostLine("late_days", 1.1, 1.2)).better == ""


def test_a_move_says_from_when_to_when_and_to_whom() -> None:
    later = NOON.replace(day=15)
    same = plan_words.move_words(Move(1, "Toll", NOON, later, "Ruiz", "Ruiz", "rain"), ZONE)
    other = plan_words.move_words(Move(1, "Toll", NOON, later, "Ruiz", "Tamm", "rain"), ZONE)
    assert plain(same.how) == "Tue 13 to Thu 15"
    assert plain(other.how) == "Ruiz Tue 13 to Tamm Thu 15"


def test_phases_that_close_a_strip_are_said_in_one_word() -> None:
    assert plan_words.phase_span(("tear_off", "deck", "underlayment", "field")) == "tear-off to dry-in, shingles"
    assert plan_words.phase_span(("field", "ridge")) == "shingles, ridge"


@pytest.mark.parametrize(
    ("value", "unit", "words"), [(0.1, "chance", "10 %"), (30.0, "mph", "30 mph"), (40.0, "degF", "40 °F")]
)
def test_a_limit_is_written_with_its_unit(value: float, unit: str, words: str) -> None:
    assert plain(value_words(value, unit)) == words
