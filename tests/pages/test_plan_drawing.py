"""The plan grid's drawings: where bars, snap-lines and boxes stand."""

import re
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from crews.boards.plan import BarChange, Blocker, PlanBar, PlanCrewRow, PlanDay, Segment, SnapLine
from roofops.pages.drawing.boxes import capacity_boxes
from roofops.pages.drawing.day_scale import FREE_DAY_PX, WORKDAY_PX, DayScale, hours_of_work
from roofops.pages.drawing.day_sky import strokes_in
from roofops.pages.drawing.job_bar import bar_tag, crew_row, full_name

ZONE = "America/Chicago"
TUESDAY = date(2026, 10, 13)


def at(hour: float, day: int = 13) -> datetime:
    start = datetime(2026, 10, day, tzinfo=ZoneInfo(ZONE))
    return (start + timedelta(hours=hour)).astimezone(UTC)


def plan_day(day: date) -> PlanDay:
    workday = day.weekday() < 5
    start = datetime(day.year, day.month, day.day, 6, tzinfo=ZoneInfo(ZONE)).astimezone(UTC)
    return PlanDay(day, workday, start, start + timedelta(hours=14), (), None, None, None, True, 0, 4, 0, 4)


def grid() -> DayScale:
    return DayScale([plan_day(TUESDAY + timedelta(days=n)) for n in range(14)], ZONE)


def bar(start: datetime, end: datetime, **values: object) -> PlanBar:
    given: dict[str, object] = {
        "change": BarChange("same"),
        "broken": (),
        "pinned": False,
        "pencilled": False,
        "reasons": (),
    }
    segments = (Segment(start, end, "field", "shingled"),)
    return PlanBar(1, 7, "J-1", "Holt", 23.8, start, end, end, segments, **{**given, **values})  # type: ignore[arg-type]


def row(*bars: PlanBar, snap: tuple[SnapLine, ...] = ()) -> PlanCrewRow:
    return PlanCrewRow(1, "Ruiz", False, 5, 9, bars, snap, False)


def test_weekends_are_narrow_and_two_weeks_take_1040_px() -> None:
    scale = grid()
    assert {column.width for column in scale.columns} == {WORKDAY_PX, FREE_DAY_PX}
    assert scale.width == 10 * WORKDAY_PX + 4 * FREE_DAY_PX == 1040


def test_a_moment_lies_in_its_day_from_the_first_to_the_last_hour_of_work() -> None:
    scale = grid()
    assert scale.x(at(7)) == 0
    assert scale.x(at(12.5)) == pytest.approx(WORKDAY_PX / 2)
    assert scale.x(at(23)) == WORKDAY_PX  # the night lies on the column's side
    assert scale.x(at(7, 14)) == WORKDAY_PX


def test_moments_outside_the_grid_lie_on_its_sides() -> None:
    scale = grid()
    assert scale.x(at(6, 12)) == 0
    assert scale.x(at(6, 28)) == scale.width


def test_a_bar_takes_the_whole_side_of_a_day_that_it_works_through_and_the_true_hour_else() -> None:
    scale = grid()
    left, right = scale.span(at(7), at(11.5, 15))
    assert left == 0
    assert right == pytest.approx(scale.columns[2].left + 4.5 / 11 * WORKDAY_PX)
    assert scale.span(at(7), at(17.5, 14))[1] == scale.columns[1].right


def test_a_column_shows_the_whole_hours_around_all_work() -> None:
    assert hours_of_work([row(bar(at(6.5), at(16.25, 14)))], ZONE) == (6, 17)
    assert hours_of_work([], ZONE) == (7, 18)


def test_a_broken_rule_has_a_chalk_frame_and_its_words_before_any_other_tag() -> None:
    broken = Blocker("drops", TUESDAY, 7, "Holt", "Ruiz", 5, 4)
    moved = bar(at(7), at(17), broken=(broken,), change=BarChange("days_later", 1))
    drawing = str(crew_row(row(moved), grid(), at(9), None))
    assert bar_tag(moved) == "too many drops"
    assert "line-chalk" in drawing
    assert "+1 day" not in drawing


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (BarChange("same"), ""),
        (BarChange("days_later", 1), "+1 day"),
        (BarChange("days_later", 3), "+3 days"),
        (BarChange("days_earlier", 1), "1 day earlier"),
        (BarChange("from_crew", 0, "Szabo"), "from Szabo"),
        (BarChange("new"), "new"),
    ],
)
def test_the_tag_says_how_a_bar_differs(change: BarChange, words: str) -> None:
    assert bar_tag(bar(at(7), at(17), change=change)) == words


def test_a_snap_line_says_where_the_job_stood() -> None:
    was = SnapLine(7, "Holt", at(7, 15), at(17, 15))
    left_crew = SnapLine(8, "Orme", at(7, 19), at(17, 19), to_crew="Tamm")
    drawing = str(crew_row(row(snap=(was, left_crew)), grid(), at(9), None))
    assert re.findall(r"was Thu|Orme, Mon", drawing) == ["was Thu", "Orme, Mon"]


def test_a_bar_links_to_its_lines_and_names_itself_in_words() -> None:
    pinned = bar(at(7), at(17), pinned=True, pencilled=True)
    drawing = str(crew_row(row(pinned), grid(), at(9), 7))
    assert full_name(pinned) == "Holt, 23.8 squares, pinned, pencilled in, not ready to build"
    assert 'href="/plan/?job=7#chosen"' in drawing
    assert 'aria-current="true"' in drawing


def test_names_of_people_are_escaped_in_the_drawing() -> None:
    drawing = str(crew_row(PlanCrewRow(1, "<b>&", False, 5, 9, (), (), False), grid(), at(9), None))
    assert "&lt;b&gt;&amp;" in drawing


@pytest.mark.parametrize(("used", "limit", "boxes"), [(3, 4, (3, 1, 0)), (5, 4, (4, 0, 1)), (0, 4, (0, 4, 0))])
def test_boxes_are_used_free_or_over(used: int, limit: int, boxes: tuple[int, int, int]) -> None:
    drawing = str(capacity_boxes(used, limit))
    assert tuple(drawing.count(f"{name}-box") for name in ("used", "free", "over")) == boxes


def test_unknown_rain_draws_no_stroke_and_more_rain_draws_more() -> None:
    assert [strokes_in(value) for value in (None, 0.0, 0.02, 0.05, 0.2)] == [0, 0, 1, 2, 3]
