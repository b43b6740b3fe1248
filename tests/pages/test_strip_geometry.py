"""Where things stand on the strip: checked on the drawing elements, before they are SVG."""

import re
from datetime import UTC, datetime, timedelta

import pytest

from crews.boards.sky_strip import Band, Strip
from roofops.pages.drawing.lettering import text_width
from roofops.pages.strip import draw, ruler
from roofops.pages.strip.axis import Axis
from roofops.pages.strip.bands import band_words, spans
from roofops.pages.strip.drawing import layers
from roofops.pages.strip.roof import LAYERS, areas_at, layer_edges, ridge_gap
from roofops.pages.strip.roof_words import baseline
from roofops.pages.strip.shapes import Rect, Text
from roofops.pages.strip.sizes import SIZES, StripSize
from roofops.pages.strip.sky import gust_points, gust_y, parts_above, rain_depth, stroke_count
from tests.factories.strips import ZONE, areas, at, sky_hours, strip

ROW = SIZES["row"]


def axis_of(shown: Strip, size: StripSize = ROW) -> Axis:
    return Axis(shown.start, shown.end, size.width, shown.zone)


def texts(shown: Strip, size: StripSize = ROW) -> list[Text]:
    return [shape for shape in layers(shown, axis_of(shown, size), size) if isinstance(shape, Text)]


def test_time_runs_linearly_from_6_am_to_8_pm() -> None:
    axis = axis_of(strip())
    assert axis.x(at(6)) == 0
    assert axis.x(at(20)) == 742
    assert axis.x(at(13)) == pytest.approx(742 / 2)
    assert axis.x(at(13.5)) == pytest.approx((13.5 - 6) / 14 * 742)


def test_the_dry_in_line_stands_at_its_minute_from_lane_to_roof_foot() -> None:
    svg = draw(strip(), "row", "x")
    x = f"{(13.5 - 6) / 14 * 742:.1f}"
    line = re.search(rf'<path d="M{x} 0L{x} ([\d.]+)" class="line-chalk" stroke-width="4"/>', svg)
    assert line is not None
    assert float(line.group(1)) >= ROW.roof_foot


def test_there_is_exactly_one_dry_in_line_and_none_without_a_limit() -> None:
    assert draw(strip(), "row").count('class="line-chalk" stroke-width="4"') == 1
    assert 'class="line-chalk" stroke-width="4"' not in draw(strip(dry_in_by=None), "row")


def test_bare_deck_is_zero_at_the_dry_in_line_of_a_sound_day() -> None:
    shown = strip()
    assert areas_at(shown.areas, shown.dry_in_by)["bare"] == 0
    edges = dict(layer_edges(axis_of(shown), ROW, shown))
    tops = edges[axis_of(shown).x(shown.dry_in_by)]
    bare = LAYERS.index("bare")
    assert tops[bare] - tops[bare - 1] == 0


def test_a_day_that_leaves_deck_bare_at_its_limit_is_drawn_as_it_is() -> None:
    late = strip(areas=areas((6, 12, 0, 0, 8), (10, 7, 5, 0, 8), (15, 7, 0, 5, 8), (20, 7, 0, 5, 8)))
    assert areas_at(late.areas, late.dry_in_by)["bare"] == pytest.approx(1.5)


def test_areas_between_break_points_lie_on_straight_lines() -> None:
    assert areas_at(strip().areas, at(8.5))["bare"] == pytest.approx(2.5)
    assert areas_at(strip().areas, at(5))["old"] == 12
    assert areas_at(strip().areas, at(23))["shingled"] == 13


def test_the_layers_always_fill_the_roof() -> None:
    for _x, tops in layer_edges(axis_of(strip()), ROW, strip()):
        assert tops[-1] == pytest.approx(ROW.roof)
        assert list(tops) == sorted(tops)


def test_rain_hangs_down_by_its_chance_of_the_sky() -> None:
    assert rain_depth(0.7, ROW) == pytest.approx(0.7 * 54)
    assert rain_depth(0.0, ROW) == 0
    assert rain_depth(1.3, ROW) == 54
    svg = draw(strip(hours=sky_hours([0.5])), "row")
    assert f"L53 {20 + 27}" in svg.replace(".0", "")


def test_rain_of_the_same_chance_is_one_wide_step_without_smoothing() -> None:
    shown = strip(hours=sky_hours([0.4] * 6))
    svg = draw(shown, "row")
    y = ROW.sky_top + 0.4 * ROW.sky
    assert f"M0 {y:g}L53 {y:g}L53 {y:g}L106 {y:g}" in svg
    assert not re.search(r'd="[^"]*[CQSTA]', svg)  # no curve anywhere


@pytest.mark.parametrize(
    ("rain_in", "strokes"), [(None, 0), (0.0, 0), (0.01, 2), (0.029, 2), (0.03, 4), (0.09, 4), (0.1, 6), (0.6, 6)]
)
def test_strokes_tell_the_amount(rain_in: float | None, strokes: int) -> None:
    assert stroke_count(rain_in, 1.0) == strokes


def test_a_phone_has_half_as_many_strokes() -> None:
    assert [stroke_count(inches, 0.5) for inches in (0.01, 0.05, 0.2)] == [1, 2, 3]


def test_unknown_hours_are_dashed_and_never_drawn_dry() -> None:
    shown = strip(hours=sky_hours([0.1, None, 0.1]))
    dashes = [s for s in layers(shown, axis_of(shown), ROW) if isinstance(s, Rect) and s.pattern == "no-sky"]
    assert [(round(d.x), round(d.width)) for d in dashes] == [(53, 53)]


def test_a_gust_of_45_mph_reaches_the_top_of_the_sky() -> None:
    assert gust_y(0, ROW) == ROW.sky_floor
    assert gust_y(45, ROW) == ROW.sky_top
    assert gust_y(60, ROW) == ROW.sky_top
    assert gust_y(22.5, ROW) == pytest.approx((ROW.sky_floor + ROW.sky_top) / 2)


def test_the_gust_line_breaks_where_an_hour_is_unknown() -> None:
    shown = strip(hours=sky_hours(gusts=[10, None, 10]))
    assert len(gust_points(axis_of(shown), ROW, shown.hours)) == 2


def test_the_part_above_the_limit_is_cut_where_the_line_crosses_it() -> None:
    parts = parts_above([(0, 10), (10, 0), (20, 10)], limit_y=5)
    assert parts == [[(5.0, 5), (10, 0), (15.0, 5)]]
    assert parts_above([(0, 10), (10, 8)], limit_y=5) == []


def test_gusts_over_the_limit_are_hatched_and_name_both_values() -> None:
    shown = strip(hours=sky_hours(gusts=[10, 20, 38, 20]))
    words = [text.text for text in texts(shown)]
    assert any("38" in word for word in words)
    assert "gust limit 30" in words
    assert "url(#p-over-line)" in draw(shown, "row")


def test_no_forecast_draws_no_old_sky_and_says_why() -> None:
    shown = strip(
        hours=sky_hours([0.8] * 14, [40] * 14),
        no_forecast="too_old",
        no_forecast_hours=9 + 22 / 60,
        no_forecast_limit_hours=6,
    )
    svg = draw(shown, "row")
    assert "url(#p-no-sky)" in svg
    assert 'class="ground-rain"' not in svg
    assert "No usable forecast. The last one is 9\xa0h 22\xa0min old, the limit is 6\xa0h." in svg


def test_the_flag_flips_right_only_where_it_would_leave_the_strip() -> None:
    def flag_of(shown: Strip) -> Text:
        return next(text for text in texts(shown) if text.text.startswith("Dry in by"))

    normal, early = strip(), strip(dry_in_by=at(6.5))
    assert flag_of(normal).right < axis_of(normal).x(normal.dry_in_by)
    assert flag_of(early).left > axis_of(early).x(early.dry_in_by)


@pytest.mark.parametrize("size", SIZES.values(), ids=SIZES)
def test_no_text_is_smaller_than_12_px_or_leaves_the_strip(size: StripSize) -> None:
    shown = strip(
        hours=sky_hours([0.2, 0.7, 0.9], [10, 38, 20]),
        dry_in_was=at(15.5),
        ridge_span=(at(16), at(17), 32.0),
    )
    for text in texts(shown, size):
        assert text.size_px >= 12
        assert text.left >= -0.5
        assert text.right <= size.width + 0.5
    assert all(float(px) >= 12 for px in re.findall(r'font-size="([\d.]+)"', draw(shown, size.name)))


def test_a_size_with_smaller_text_is_refused() -> None:
    with pytest.raises(ValueError, match="smaller than 12"):
        StripSize("tiny", 300, 20, 40, 8, 16, 40, 0, text_px=11)


@pytest.mark.parametrize("size", SIZES.values(), ids=SIZES)
def test_labels_do_not_run_into_each_other(size: StripSize) -> None:
    shown = strip(
        hours=sky_hours([0.2, 0.7, 0.9, 0.3], [10, 38, 33, 20]), dry_in_was=at(14), ridge_span=(at(16), at(17), 32.0)
    )
    boxes = [(t.left, t.y - t.size_px * 0.7, t.right, t.y) for t in texts(shown, size)]
    for index, (left, top, right, bottom) in enumerate(boxes):
        for left2, top2, right2, bottom2 in boxes[index + 1 :]:
            assert right <= left2 or right2 <= left or bottom <= top2 or bottom2 <= top


def test_a_label_of_a_layer_lies_whole_inside_it() -> None:
    shown, size = strip(now=at(8.5)), SIZES["first"]
    axis = axis_of(shown, size)
    y = baseline(axis, size, shown, "old", axis.x(at(8.5)), axis.x(at(10)))
    assert y is not None
    for hour in (8.5, 9, 9.5, 10):
        squares = areas_at(shown.areas, at(hour))
        foot_of_old = size.roof_top + squares["old"] / shown.squares * size.roof
        assert size.roof_top <= y - size.text_px
        assert y + 2 <= foot_of_old
    assert baseline(axis, size, shown, "bare", axis.x(at(7)), axis.x(at(9))) is None


def test_the_now_plate_makes_its_neighbours_yield() -> None:
    svg = ruler(Axis(at(6), at(20), 742, ZONE), at(9 + 20 / 60))
    assert "now 9:20\xa0am" in svg
    assert ">9<" not in svg
    assert ">noon<" in svg
    assert ">6\xa0am<" in svg
    assert ">8\xa0pm<" in svg


def test_a_word_that_does_not_fit_its_band_is_left_out_and_the_pattern_stays() -> None:
    shown = strip(bands=(Band(at(10), at(10.1), "tear_off"),), dry_in_by=None)
    assert band_words(axis_of(shown), ROW, shown) == []
    assert "url(#p-tear_off)" in draw(shown, "row")


def test_the_word_stands_right_of_now_while_the_span_holds_now() -> None:
    shown = strip()
    word = next(shape for shape in band_words(axis_of(shown), ROW, shown) if isinstance(shape, Text))
    assert word.left > axis_of(shown).x(shown.now)
    assert word.text == "OK to tear off"


def test_neighbouring_bands_of_one_kind_are_one_span_with_both_causes() -> None:
    shown = strip(
        bands=(Band(at(7), at(11), "stay_off", "rain"), Band(at(11), at(13), "stay_off", "wet")), dry_in_by=None
    )
    (span,) = spans(shown)
    assert (span.start, span.end, span.codes) == (at(7), at(13), ("rain", "wet"))
    assert any(text.text == "off the roof, rain and wet" for text in texts(shown))


def test_an_open_ridge_is_a_gap_wide_enough_to_be_seen() -> None:
    shown = strip(ridge_span=(at(16), at(16.05), 32.0))
    left, right = ridge_gap(axis_of(shown), shown)
    assert right - left == pytest.approx(16)


def test_the_day_the_clocks_go_back_has_an_hour_more_and_says_what_the_clock_says() -> None:
    # In the United States clocks go back at 2 am on the first Sunday of November (15 U.S.C. 260a): Nov 1, 2026.
    start = datetime(2026, 11, 1, 5, tzinfo=UTC)  # midnight, still daylight time
    axis = Axis(start, start + timedelta(hours=6), 600, ZONE)
    assert [label for _moment, label in axis.labels()] == ["12\xa0am", "1", "1", "2", "3", "4", "5\xa0am"]
    assert axis.x(start + timedelta(hours=3)) == 300


def test_the_day_the_clocks_go_forward_leaves_out_an_hour_on_the_clock_not_on_the_axis() -> None:
    start = datetime(2026, 3, 8, 6, tzinfo=UTC)  # midnight on the second Sunday of March
    axis = Axis(start, start + timedelta(hours=4), 400, ZONE)
    assert [label for _moment, label in axis.labels()] == ["12\xa0am", "1", "3", "4", "5\xa0am"]


def test_a_zone_half_an_hour_off_has_its_own_whole_hours() -> None:
    start = datetime(2026, 10, 13, 0, 30, tzinfo=UTC)  # 6:00 in Kolkata
    axis = Axis(start, start + timedelta(hours=2), 200, "Asia/Kolkata")
    assert [moment for moment, _label in axis.labels()] == [start + timedelta(hours=h) for h in range(3)]


def test_an_axis_refuses_nonsense() -> None:
    with pytest.raises(ValueError, match="end after it starts"):
        Axis(at(8), at(8), 100, ZONE)
    with pytest.raises(ValueError, match="zone"):
        Axis(datetime(2026, 1, 1), datetime(2026, 1, 2), 100, ZONE)  # noqa: DTZ001


def test_what_people_typed_is_escaped_in_the_picture() -> None:
    svg = draw(strip(), "row", 'Stop at the "<script>alert(1)</script>" valley & more')
    assert "<script" not in svg
    assert "&lt;script&gt;" in svg
    assert "&quot;" in svg


def test_the_picture_has_a_name_and_no_inline_style() -> None:
    svg = draw(strip(), "first", "OK to tear off. No more than 5 squares.")
    assert 'role="img"' in svg
    assert 'aria-label="OK to tear off. No more than 5 squares."' in svg
    assert "style=" not in svg


def test_lettering_is_measured_close_to_the_face_it_was_taken_from() -> None:
    # Advance widths of the condensed face at 12.5 px, measured with fontTools: "Dry in by 1:30 pm" bold 87.2 px;
    # the plate may be a little wider, never narrower.
    assert 87.2 <= text_width("Dry in by 1:30 pm", 12.5, bold=True) <= 87.2 * 1.08
    assert text_width("WWW", 12) > text_width("iii", 12) * 2.5
