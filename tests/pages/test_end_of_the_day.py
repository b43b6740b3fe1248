"""Today in the evening: no verdict permits anything any more, and the page does not count permissions."""

from dataclasses import replace

from crews.boards.today import ClosedNote
from roofops.pages.today.page import today_page
from roofops.pages.today.words import headline
from roofops.pages.wording.key_line import key_words
from tests.factories.strips import ZONE, at, key_line
from tests.pages.test_notes_and_headlines import board, row


def test_after_the_last_hour_of_work_the_headline_counts_no_permissions() -> None:
    evening = board(now=at(19), open_roofs=0)
    assert headline(evening) == "No roof is open, the work day is over."
    assert headline(replace(evening, open_roofs=1)) == "1 roof is open, the work day is over."


def test_a_roof_closed_for_the_night_is_done_before_the_shift_ends() -> None:
    closed = row(closed=ClosedNote(at(14), "Mateo Ruiz", None))
    assert headline(board(rows=(closed,), now=at(15), open_roofs=0)) == "No roof is open, the work day is over."


def test_a_closed_roof_is_given_no_more_squares_to_shingle() -> None:
    line = key_line(verdict="no_tear_off", shingle_squares=0.9, dry_in_by=None)
    shown = board(rows=(row(line=line),))
    assert "Shingle 0.9 squares" in str(today_page(shown).rows[0].key)
    over = board(rows=(row(line=line, closed=ClosedNote(at(14), "Mateo Ruiz", None)),), now=at(15))
    words = str(today_page(over).rows[0].key)
    assert "Shingle" not in words
    assert "Tear off nothing" in words


def test_what_is_open_past_its_dry_in_time_is_closed_now() -> None:
    line = key_line(verdict="no_tear_off", dry_in_by=at(9), bare_now_squares=3.2)
    assert "Close first what is open, dry in by 9:20" in str(
        key_words(replace(line, dry_in_by=at(9 + 20 / 60)), ZONE, now=at(9))
    )
    assert str(key_words(line, ZONE, now=at(9))).startswith("Close now what is open.")
