"""The key line in its one form, and every cause with its figures."""

import pytest

from crews.boards.key_line import Cause
from roofops.pages.wording import formats
from roofops.pages.wording.causes import cause_phrase
from roofops.pages.wording.key_line import key_words, verdict_word, why
from tests.factories.strips import DAY, ZONE, at, key_line

N = "\N{NO-BREAK SPACE}"


def rain(value: float | None, start: float = 15.0, limit: float = 0.1) -> Cause:
    return Cause("rain", at(start), at(18), value, limit, "share")


def test_the_key_line_names_two_figures_one_place_one_time_and_one_cause() -> None:
    words = key_words(key_line(cause=rain(0.7), bare_now_squares=4.4), ZONE)
    assert words.bold == (
        f"No more than 5 squares bare at once. In all today 9.8, stop at the garage valley. Dry in by 1:30{N}pm:"
    )
    assert words.plain == f"rain likely from 3{N}pm (70{N}%). 4.4 are bare now."


def test_one_square_is_singular() -> None:
    assert key_words(key_line(bare_at_once_squares=1.0), ZONE).bold.startswith("No more than 1 square bare at once.")
    assert key_words(key_line(bare_at_once_squares=1.4), ZONE).bold.startswith("No more than 1.4 squares bare")


def test_without_a_stop_line_or_cause_the_sentence_still_closes() -> None:
    words = key_words(key_line(stop_line=""), ZONE)
    assert words.bold == f"No more than 5 squares bare at once. In all today 9.8. Dry in by 1:30{N}pm."
    assert words.plain == ""


def test_tomorrow_says_tomorrow() -> None:
    assert "In all tomorrow 9.8" in key_words(key_line(), ZONE, tomorrow=True).bold


@pytest.mark.parametrize(
    ("chance", "words"),
    [
        (0.7, f"rain likely from 3{N}pm (70{N}%)"),
        (0.5, f"rain likely from 3{N}pm (50{N}%)"),
        (0.49, f"rain may come from 3{N}pm (49{N}%)"),
        (0.005, f"rain may come from 3{N}pm (<{N}1{N}%)"),
        (None, f"rain from 3{N}pm"),
    ],
)
def test_likely_is_half_or_more_and_the_figure_follows(chance: float | None, words: str) -> None:
    assert cause_phrase(rain(chance), ZONE) == words


@pytest.mark.parametrize(
    ("cause", "words"),
    [
        (Cause("gust", at(11), None, 38, 30, "mph"), f"gusts to 38{N}mph, limit 30"),
        (Cause("wind", at(11), None, 24, 20, "mph"), f"wind to 24{N}mph, limit 20"),
        (Cause("cold", None, at(10), 36, 40, "degF"), f"too cold until 10{N}am (36{N}°F, limit 40)"),
        (Cause("thunder", at(11), None, 0.6, 0.15, "share"), f"thunder from 11{N}am (60{N}%)"),
        (Cause("thunder", at(11)), f"thunder from 11{N}am"),
        (Cause("frost", None, at(8 + 40 / 60)), f"frost until 8:40{N}am"),
        (Cause("wet", None, at(13.5)), f"the roof is wet until 1:30{N}pm"),
        (
            Cause("too_old", None, None, 9 + 22 / 60, 6, "h"),
            f"the forecast is 9{N}h 22{N}min old, limit 6{N}h",
        ),
        (Cause("held", text="chimney mason on the roof"), "held by the office, chimney mason on the roof"),
        (Cause("own_limit", limit=6.0), "the office's limit is 6 squares in all"),
        (Cause("shift_end", at(17.5)), f"the crew leaves at 5:30{N}pm"),
        (Cause("inspection", at(9.25), at(9.75)), f"the inspector comes 9:15{N}am to 9:45{N}am"),
        (Cause("people", value=0), "nobody is here"),
        (Cause("load", at(9.75), text="materials"), f"materials due at 9:45{N}am"),
        (Cause("load"), "waits for the load"),
    ],
)
def test_each_cause_names_both_of_its_figures(cause: Cause, words: str) -> None:
    assert cause_phrase(cause, ZONE, with_limit=True) == words


CODES = [
    "rain",
    "wet",
    "thunder",
    "gust",
    "wind",
    "cold",
    "frost",
    "dew",
    "dark",
    "shift_end",
    "unknown",
    "too_old",
    "no_point",
    "source_off",
    "none",
    "alert",
    "held",
    "own_limit",
    "load",
    "inspection",
    "nothing_old",
    "ready",
    "people",
    "done",
    "snow",
    "heat",
    "time",
    "not_for_today",
    "issued_long_ago",
]


@pytest.mark.parametrize("code", CODES)
def test_no_cause_is_ever_shown_as_a_code_or_left_empty(code: str) -> None:
    for cause in (Cause(code), Cause(code, at(9), at(10), 0.4, 0.1)):
        words = cause_phrase(cause, ZONE, with_limit=True)
        assert words
        assert "_" not in words
        assert "None" not in words


def test_staying_off_names_the_span_and_every_reason() -> None:
    line = key_line(
        verdict="stay_off", dry_in_by=None, off_from=at(10.5), off_until=at(16.25), cause=Cause("thunder", at(11))
    )
    reasons = (Cause("thunder", at(11), None, 0.6), Cause("gust", None, None, 38, 30), Cause("wet", None, at(16.25)))
    words = key_words(line, ZONE, reasons=reasons)
    assert words.bold == f"Off the roof 10:30{N}am to 4:15{N}pm:"
    assert words.plain == (
        f"thunder from 11{N}am (60{N}%), gusts to 38{N}mph, limit 30, then the roof dries. Nothing is bare."
    )


def test_staying_off_over_bare_deck_still_says_when_it_must_be_dried_in() -> None:
    line = key_line(verdict="stay_off", off_from=at(14), bare_now_squares=3.1, cause=Cause("thunder", at(14)))
    words = key_words(line, ZONE)
    assert words.bold.startswith(f"Dry in by 1:30{N}pm.")
    assert "3.1 are bare now." in words.plain
    assert "Nothing is bare" not in words.plain


def test_unknown_says_what_is_missing_how_old_and_what_is_not_allowed() -> None:
    line = key_line(verdict="unknown", dry_in_by=None, cause=Cause("too_old", None, None, 9 + 22 / 60, 6, "h"))
    words = key_words(line, ZONE)
    assert words.bold == "Tear off nothing:"
    assert words.plain == (
        f"the forecast is 9{N}h 22{N}min old, limit 6{N}h. Shingling may go on while the lead sees a dry sky."
    )


def test_unknown_over_bare_deck_closes_first() -> None:
    line = key_line(verdict="unknown", bare_now_squares=2.0, cause=Cause("none"))
    assert key_words(line, ZONE).bold == f"Close first what is open, dry in by 1:30{N}pm. Tear off nothing:"


def test_no_tear_off_gives_the_squares_to_shingle_and_your_limit() -> None:
    line = key_line(verdict="no_tear_off", dry_in_by=None, shingle_squares=8.4, cause=rain(0.45, 13, 0.2))
    words = key_words(line, ZONE)
    assert words.bold == "Shingle 8.4 squares. Tear off nothing:"
    assert words.plain == f"rain may come from 1{N}pm (45{N}%), your limit is 20{N}%."


def test_where_no_old_roof_is_left_nothing_is_forbidden() -> None:
    line = key_line(
        verdict="no_tear_off", dry_in_by=None, shingle_squares=8.4, old_squares=0, cause=Cause("nothing_old")
    )
    assert str(key_words(line, ZONE)) == "Shingle 8.4 squares. No old roof is left."


def test_a_hold_is_named_with_its_reason_and_a_tighter_limit_with_its_figure() -> None:
    held = key_line(
        verdict="no_tear_off", held=True, office_reason="mason on the roof", cause=rain(0.6), dry_in_by=None
    )
    assert "Held by the office: mason on the roof." in key_words(held, ZONE).plain
    limited = key_line(own_limit_squares=9.8)
    assert "The office's limit is 9.8 in all." in key_words(limited, ZONE).plain


def test_no_tear_off_without_closed_work_is_only_that() -> None:
    assert verdict_word("no_tear_off") == "No tear-off, shingle only"
    assert verdict_word("no_tear_off", has_closed_work=False) == "No tear-off"


def test_the_reason_alone_serves_a_folded_row() -> None:
    assert why(key_line(cause=rain(0.7)), ZONE) == f"rain likely from 3{N}pm (70{N}%)"
    assert why(key_line(), ZONE) == ""


@pytest.mark.parametrize(
    ("hour", "words"),
    [
        (13.5, f"1:30{N}pm"),
        (15, f"3{N}pm"),
        (12, "noon"),
        (0, "midnight"),
        (0.5, f"12:30{N}am"),
        (12.25, f"12:15{N}pm"),
    ],
)
def test_the_clock_writes_whole_hours_short_and_noon_in_words(hour: float, words: str) -> None:
    assert formats.clock(at(hour), ZONE) == words


def test_amounts_keep_number_and_unit_together() -> None:
    assert formats.amount(9.8, "sq") == f"9.8{N}sq"
    assert formats.figure(5.0) == "5"
    assert formats.measured(22, "sq") == f"22.0{N}sq"
    assert formats.share(0.7) == f"70{N}%"
    assert formats.span(9 + 22 / 60) == f"9{N}h 22{N}min"
    assert formats.span(0.25) == f"15{N}min"
    assert formats.day(DAY) == f"Tue,{N}Oct{N}13"
    assert formats.day_short(DAY) == f"Tue{N}13"


def test_work_that_begins_now_is_not_given_a_starting_time() -> None:
    line = key_line(verdict="no_tear_off", dry_in_by=None, shingle_squares=8.4, shingle_from=at(13.5), cause=rain(0.4))
    assert f"Shingle 8.4 squares from 1:30{N}pm." in key_words(line, ZONE, now=at(9)).bold
    assert "Shingle 8.4 squares. Tear" in key_words(line, ZONE, now=at(13.25)).bold


def test_a_reason_that_holds_for_many_hours_is_named_once_with_its_worst_figure() -> None:
    hours = tuple(Cause("gust", at(h), None, mph, 30, "mph") for h, mph in ((13, 31), (14, 38), (15, 33)))
    thunder = Cause("thunder", at(14), None, 0.3, 0.15)
    line = key_line(verdict="stay_off", dry_in_by=None, off_from=at(13), off_until=at(16), cause=thunder)
    words = key_words(line, ZONE, reasons=(*hours, thunder)).plain
    assert words.startswith(f"thunder from 2{N}pm (30{N}%), gusts to 38{N}mph, limit 30.")
