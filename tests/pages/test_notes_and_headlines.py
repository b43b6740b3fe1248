"""The sentences around the rows: headlines, sub-lines, change notes, who was told, the title block, the tabs."""

from dataclasses import replace
from datetime import date

import pytest

from crews.boards.forecast_note import ForecastNote
from crews.boards.job_line import JobLine
from crews.boards.key_line import Cause
from crews.boards.today import ChangeNote, TodayBoard, TodayRow, Told
from crews.boards.tomorrow import BackupWork, ProposedChoice, ToldTick, TomorrowBoard, TomorrowRow
from roofops.pages.frame.tabs import tabs_for
from roofops.pages.frame.title_block import title_block
from roofops.pages.strip.hours_table import hours_table
from roofops.pages.today.short import folded_line, short_change
from roofops.pages.today.words import accept_label, change_lines, headline, sub_line, told_line
from roofops.pages.tomorrow import words as tomorrow_words
from roofops.record.access import Role
from tests.factories.strips import DAY, ZONE, at, key_line, sky_hours, strip

N = "\N{NO-BREAK SPACE}"
JOB = JobLine(1, "J-2041", "Holt", "18 Alder Court", "Westmere", 23.8, 6, 1, 1, 5, 5.8, 1, "Ruiz", False, 5.0)
NOTE = ForecastNote("nws", at(9 + 5 / 60), 0.25, at(9 + 5 / 60), 0.25, True, True, next_try_at=at(10 + 5 / 60))
TIGHTER = ChangeNote(
    at(8),
    "tear_off",
    "tear_off",
    8,
    5,
    15.6,
    9.8,
    at(15.5),
    at(13.5),
    0.24,
    0.03,
    Cause("rain", at(15), None, 0.7),
    True,
)


def row(**changes: object) -> TodayRow:
    values: dict[str, object] = {
        "job": JOB,
        "decision_id": 7,
        "version": 2,
        "line": key_line(cause=Cause("rain", at(15), None, 0.7)),
        "strip": strip(),
        "forecast": NOTE,
        "change": None,
        "told": Told(),
        "accepted_at": None,
        "accepted_by": "",
    }
    return TodayRow(**{**values, **changes})  # type: ignore[arg-type]


def board(**changes: object) -> TodayBoard:
    values: dict[str, object] = {
        "yard_id": 1,
        "yard_name": "Westmere yard",
        "company": "Pell & Marrow Roofing",
        "zone": ZONE,
        "day": DAY,
        "now": at(9 + 20 / 60),
        "rows": (row(), row(), row(), row()),
        "forecast": NOTE,
        "counts": {"tear_off": 1, "stay_off": 1, "unknown": 1, "no_tear_off": 1},
        "open_roofs": 1,
        "axis_start": at(6),
        "axis_end": at(20),
        "next_limit": ("18 Alder Court", at(13.5)),
        "since": at(8 + 5 / 60),
        "changed": 2,
        "changed_worse": 2,
        "may_decide": True,
        "may_tighten": True,
    }
    return TodayBoard(**{**values, **changes})  # type: ignore[arg-type]


def plain(lines: tuple[tuple[object, ...], ...]) -> list[str]:
    marks = {"new": "*", "old": "~", "": ""}
    return ["".join(f"{marks[p.kind]}{p.text}{marks[p.kind]}" for p in line) for line in lines]  # type: ignore[attr-defined]


def test_the_headline_counts_in_one_sentence() -> None:
    assert headline(board()) == "1 roof is open, 1 may be torn off, 1 to stay off, 1 unknown, 1 shingle only."
    assert headline(board(open_roofs=2, counts={"unknown": 3})) == "2 roofs are open, 3 unknown."
    assert headline(board(rows=())) == "No roof is at work today."


def test_the_sub_line_names_the_next_limit_and_what_changed() -> None:
    assert sub_line(board()) == (
        f"Next limit: dry in 18 Alder Court by 1:30{N}pm. Since 8:05{N}am 2 of 4 verdicts changed, "
        "both for the worse. Most urgent first."
    )
    assert "Since 8:05\xa0am no verdict changed." in sub_line(board(changed=0, changed_worse=0))
    assert "1 of 4 verdicts changed, for the better" in sub_line(board(changed=1, changed_worse=0))
    assert "3 of 4 verdicts changed, 1 for the worse" in sub_line(board(changed=3, changed_worse=1))


def test_the_change_note_shows_both_figures_the_time_and_the_cause() -> None:
    told = Told(at(9 + 6 / 60), "sent", at(9 + 8 / 60), "Ruiz")
    assert plain(change_lines(row(change=TIGHTER, told=told), ZONE)) == [
        "In all *9.8* ~15.6~ · at once *5* ~8~",
        f"Dry in *1:30* ~3:30{N}pm~: rain 2{N}h earlier.",
        f"Chance of a wetting 3{N}%, at 15.6: 24{N}%.",
        "Crew told 9:06, Ruiz confirmed 9:08.",
    ]


def test_a_changed_word_is_named() -> None:
    change = ChangeNote(
        at(8), "no_tear_off", "stay_off", 0, 0, 0, 0, None, None, None, None, Cause("gust", at(11), None, 38, 30), True
    )
    assert plain(change_lines(row(change=change), ZONE)) == ["Was *shingle only*.", f"Gusts to 38{N}mph, limit 30."]


def test_no_change_says_so_with_who_accepted_and_what_the_source_does() -> None:
    assert plain(change_lines(row(accepted_at=at(6 + 1 / 6), accepted_by="D. Sorrel"), ZONE)) == [
        f"No change. Accepted 6:10{N}am by D. Sorrel."
    ]
    silent = replace(NOTE, usable_today=False, failure="503 three times", next_try_at=at(9 + 35 / 60))
    assert plain(change_lines(row(forecast=silent), ZONE)) == [
        f"No change. Next try 9:35{N}am. The source answered: 503 three times."
    ]


@pytest.mark.parametrize(
    ("told", "words"),
    [
        (Told(), ""),
        (Told(at(9.1), "sent"), "Crew told 9:06."),
        (Told(at(9.1), "sent", overdue=True), "Crew told 9:06, nobody confirmed: call."),
        (Told(at(9.1), "failed"), "Not sure that the crew was told: call."),
        (Told(at(9.1), "uncertain"), "Not sure that the crew was told: call."),
    ],
)
def test_who_was_told_is_never_claimed_without_proof(told: Told, words: str) -> None:
    assert told_line(row(told=told), ZONE) == words


def test_accept_carries_both_figures_of_what_it_accepts() -> None:
    assert accept_label(row()) == "Accept 9.8, 5 at once"
    looser = key_line(in_all_today_squares=15.6, bare_at_once_squares=8)
    assert accept_label(row(waiting=looser, waiting_decision_id=8)) == "Accept 15.6, 8 at once"
    assert accept_label(row(line=key_line(verdict="unknown"))) == "Accept, keep closed"
    assert accept_label(row(line=key_line(verdict="stay_off"), change=TIGHTER)) == "Accept, tell the crew"


def test_the_phone_has_one_line_of_change_and_one_of_a_folded_row() -> None:
    assert plain((short_change(row(change=TIGHTER), ZONE),)) == [
        f"*9.8* ~15.6~ · at once *5* ~8~ · dry in *1:30* ~3:30{N}pm~"
    ]
    assert short_change(row(), ZONE) == ()
    off = key_line(verdict="stay_off", off_from=at(10.5), off_until=at(16.25), cause=Cause("thunder", at(11)))
    assert folded_line(row(line=off), ZONE) == f"10:30{N}am to 4:15{N}pm, thunder"
    assert folded_line(row(line=key_line(verdict="no_tear_off", shingle_squares=8.4)), ZONE) == f"Shingle 8.4{N}sq"
    assert folded_line(row(), ZONE) == f"9.8{N}sq in all, dry in by 1:30{N}pm"


def test_the_title_block_says_how_old_the_forecast_is_or_that_there_is_none() -> None:
    block = title_block("Westmere yard", "Pell & Marrow Roofing", ZONE, at(9 + 20 / 60), NOTE)
    assert (block.date, block.clock) == (f"Tue,{N}Oct{N}13", f"9:20{N}am")
    assert block.forecast == f"Forecast issued 9:05{N}am"
    assert block.age == f"15{N}min old, next 10:05{N}am"
    old = replace(NOTE, issued_at=at(-0.25), age_hours=9.5, usable_today=False)
    assert title_block("y", "c", ZONE, at(9.25), old).age == f"9{N}h 30{N}min old, not usable"
    assert title_block("y", "c", ZONE, at(9.25), old).forecast == f"Forecast issued Mon{N}12, 11:45{N}pm"
    none = replace(NOTE, issued_at=None, age_hours=None)
    assert title_block("y", "c", ZONE, at(9.25), none).forecast == "No forecast"


def test_each_role_sees_its_own_tabs() -> None:
    office = [str(tab.label) for tab in tabs_for([Role.MANAGER], "today")]
    assert office[:2] == ["Today", "Tomorrow"]
    assert [tab.current for tab in tabs_for([Role.MANAGER], "today")][:2] == [True, False]
    assert "Limits" not in [str(tab.label) for tab in tabs_for([Role.DISPATCHER], "today")]
    lead = [str(tab.label) for tab in tabs_for([Role.CREW_LEAD], "day_sheet")]
    assert "Today" not in lead
    assert tabs_for([], "today") == ()


def test_hours_in_numbers_never_show_an_unknown_as_zero() -> None:
    table = hours_table(strip(hours=sky_hours([0.7, None], [20, None], rain_in=None)))
    assert table.rows[0][:4] == (f"6{N}am", f"70{N}%", "?", "20")
    assert table.rows[1][1:4] == ("?", "?", "?")
    blind = hours_table(strip(hours=sky_hours([0.1] * 14), no_forecast="too_old"))
    assert len(blind.rows) == 14
    assert all(cells[1:6] == ("?",) * 5 for cells in blind.rows)


def tomorrow_row(**changes: object) -> TomorrowRow:
    ticks = (
        ToldTick("crew", "told", at(12 + 2 / 60)),
        ToldTick("homeowner", "asked", at(12 + 5 / 60)),
        ToldTick("supplier", "not_needed", note="no_load"),
        ToldTick("dumpster", "to_tell"),
        ToldTick("inspector", "not_needed", note="none"),
    )
    values: dict[str, object] = {
        "job": JOB,
        "day": date(2026, 10, 14),
        "line": key_line(),
        "strip": strip(),
        "forecast": NOTE,
        "proposed": ProposedChoice("move", None, date(2026, 10, 15), None, True),
        "choice": "",
        "chosen_at": None,
        "chosen_by": "",
        "move_to": None,
        "backup": BackupWork("closed_work", "", 4.2, "5 Dover Way"),
        "ticks": ticks,
    }
    return TomorrowRow(**{**values, **changes})  # type: ignore[arg-type]


def tomorrow_board(*rows: TomorrowRow, **changes: object) -> TomorrowBoard:
    values: dict[str, object] = {
        "yard_id": 1,
        "yard_name": "Westmere yard",
        "company": "Pell & Marrow Roofing",
        "zone": ZONE,
        "day": date(2026, 10, 14),
        "now": at(12 + 1 / 6),
        "decide_by": at(13),
        "cutoff": at(13),
        "rows": rows,
        "forecast": NOTE,
        "yard_hours": (),
        "rain_until": at(24 + 11),
        "wet_until": at(24 + 13.5),
        "bare_hours": 3.0,
        "crews_without_job": ("Adeyemi",),
        "axis_start": at(24 + 6),
        "axis_end": at(24 + 20),
        "may_decide": True,
    }
    return TomorrowBoard(**{**values, **changes})  # type: ignore[arg-type]


def test_tomorrow_counts_what_goes_waits_moves_and_is_undecided() -> None:
    rows = [tomorrow_row(choice=choice) for choice in ("go", "go", "at_530", "", "")]
    assert tomorrow_words.headline(tomorrow_board(*rows)) == (
        f"Tomorrow, decide by 1{N}pm: 2 jobs go, 1 waits for 5:30 am, 2 are undecided."
    )
    monday = tomorrow_board(tomorrow_row(), day=date(2026, 10, 19))
    assert tomorrow_words.headline(monday).startswith(f"Mon,{N}Oct{N}19, decide by 1{N}pm: 1 is undecided")


def test_tomorrows_sub_line_tells_the_sky_the_cut_off_and_who_is_left_to_tell() -> None:
    words = tomorrow_words.sub_line(tomorrow_board(tomorrow_row(), tomorrow_row()))
    assert words == (
        f"Wed,{N}Oct{N}14: rain until about 11{N}am, roofs wet until 1:30{N}pm, then 3.0{N}h. "
        f"Supplier cut-off 1{N}pm, in 50{N}min. 4 of 6 still to be told. Undecided first."
    )
    unknown = tomorrow_board(tomorrow_row(), bare_hours=None, rain_until=None, wet_until=None)
    assert "no usable forecast for the yard" in tomorrow_words.sub_line(unknown)


def test_a_proposal_carries_its_reason_and_a_choice_its_time() -> None:
    assert tomorrow_words.proposal(tomorrow_row(), ZONE) == f"Proposed: move to Thu{N}15, the promise holds."
    chosen = tomorrow_row(choice="go", chosen_at=at(12), proposed=ProposedChoice("go", at(24 + 13.5)))
    assert tomorrow_words.proposal(chosen, ZONE) == f"Chosen noon: go at 1:30{N}pm."


def test_the_five_ticks_say_what_stands_and_what_pressing_does() -> None:
    ticks = tomorrow_words.ticks(tomorrow_row(), ZONE)
    assert [(tick.name, tick.below) for tick in ticks] == [
        ("crew", "12:02"),
        ("homeowner", "asked 12:05"),
        ("supplier", "no load"),
        ("dumpster", "to tell"),
        ("inspector", "none"),
    ]
    assert [tick.press for tick in ticks] == [
        "Take the tick back",
        "Mark as told",
        "Mark as told",
        "Mark as asked",
        "Mark as told",
    ]


def test_backup_work_is_named_with_its_place() -> None:
    assert tomorrow_words.backup(BackupWork("closed_work", "", 4.2, "5 Dover Way")) == (
        f"shingle 4.2{N}sq at 5 Dover Way"
    )
    assert tomorrow_words.backup(BackupWork("own_text", "leak call, 3 Orchard Way")) == "leak call, 3 Orchard Way"


def test_a_crew_without_a_job_is_named_at_the_foot() -> None:
    assert tomorrow_words.idle_crews(tomorrow_board()) == "Adeyemi has no job Wednesday"
    assert tomorrow_words.idle_crews(tomorrow_board(crews_without_job=())) == ""
