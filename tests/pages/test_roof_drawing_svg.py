"""The roof from above as SVG: what is filled, named and outlined."""

import re

import pytest

from crews.boards.job import SectionLine
from jobs.roof_measure import EdgeKind, EdgeMeasure, RoofMeasure, SectionMeasure
from jobs.roof_shape import RoofShape, ell, hip
from roofops.pages.drawing.roof import roof_picture, today_squares
from roofops.pages.drawing.roof_edges import edge_samples


def measured(shape: RoofShape, bare_share: float = 0.0) -> RoofMeasure:
    sections = tuple(
        SectionMeasure(
            section_id=i,
            name=section.name,
            pitch_in_12=section.pitch_in_12,
            squares=section.squares,
            old_squares=section.squares * (1 - bare_share),
            bare_squares=section.squares * bare_share,
            eave_ft=section.eave_ft,
            run_ft=section.run_ft,
            downslope_deg=section.downslope_deg,
            outline_ft=section.outline_ft,
        )
        for i, section in enumerate(shape.sections, start=1)
    )
    edges = tuple(
        EdgeMeasure(
            edge_id=n,
            kind=edge.kind,
            length_ft=edge.length_ft,
            section_id=edge.section + 1,
            other_section_id=None if edge.other_section is None else edge.other_section + 1,
            open_ft=10.0 if edge.kind is EdgeKind.RIDGE else 0.0,
            line_ft=edge.line_ft,
        )
        for n, edge in enumerate(shape.edges, start=1)
    )
    return RoofMeasure(1, sections, edges)


def line(section: SectionMeasure, order: int | None = None, stop: float | None = None) -> SectionLine:
    return SectionLine(
        section_id=section.section_id,
        name=section.name,
        pitch_in_12=section.pitch_in_12,
        squares=section.squares,
        old_squares=section.old_squares,
        bare_squares=section.bare_squares,
        dried_in_squares=section.dried_in_squares,
        shingled_squares=section.shingled_squares,
        order=order,
        stop_squares=stop,
        state="old",
    )


def test_every_slope_is_filled_by_what_lies_on_it_and_named_without_letters() -> None:
    roof = measured(hip(50, 30, 6), bare_share=0.4)
    drawing = str(roof_picture(roof, [line(section) for section in roof.sections]))
    assert drawing.count('url(#p-bare)"') == drawing.count('url(#p-old)"') == 4
    for section in roof.sections:
        assert f">{section.name.partition(', ')[0]}" in drawing.replace(",<", "<")


def test_the_order_stands_only_on_todays_slopes_and_so_does_the_stop_line() -> None:
    roof = measured(ell(46, 28, 18, 14, 6))
    first = roof.sections[0]
    without = str(roof_picture(roof, [line(section) for section in roof.sections]))
    lines = [line(section, order=1 if section is first else None) for section in roof.sections]
    with_order = str(roof_picture(roof, lines))
    assert "line-chalk round" not in without
    assert with_order.count("line-chalk round") == 1
    assert len(re.findall(r'font-size="25"[^>]*>1<', with_order)) == 1


def test_the_stop_line_holds_the_squares_that_the_day_plan_counts() -> None:
    section = SectionMeasure(1, "front", 6, 10, old_squares=4, bare_squares=1, dried_in_squares=3, shingled_squares=2)
    assert today_squares(line(section)) == 0
    assert today_squares(line(section, order=1)) == 5  # the whole rest: old and bare
    assert today_squares(line(section, order=1, stop=8.5)) == pytest.approx(3.5)  # 8.5 torn off in all less 5 closed
    assert today_squares(line(section, order=1, stop=4)) == 0


def test_an_open_ridge_shows_as_a_gap_mark() -> None:
    drawing = str(roof_picture(measured(hip(50, 30, 6)), []))
    assert "line-chalk dot" in drawing


def test_lengths_stand_in_the_table_and_never_on_the_outline() -> None:
    roof = measured(hip(50, 30, 6))
    assert {sample.name for sample in edge_samples(roof)} == {"eave", "ridge", "hip"}
    eave = next(sample for sample in edge_samples(roof) if sample.name == "eave")
    # A hip roof of 50 x 30 ft with 1 ft overhang: eaves run 2 x (52 + 32) ft.
    assert eave.length.replace("\N{NO-BREAK SPACE}", " ") == "168 ft"
    assert "168" not in str(roof_picture(roof, []))


def test_a_roof_without_outlines_is_drawn_by_its_sizes_and_has_no_north() -> None:
    plain = RoofMeasure(1, (SectionMeasure(1, "front slope", 6, 7.5, old_squares=7.5, eave_ft=40, run_ft=18.75),))
    drawing = str(roof_picture(plain, []))
    assert "front slope" in drawing
    assert ">N<" not in drawing


def test_a_slope_too_narrow_for_its_words_keeps_its_figure_only() -> None:
    roof = measured(ell(46, 28, 18, 14, 6, wing_name="garage"))
    lines = [line(section, order=n) for n, section in enumerate(roof.sections, start=1)]
    wide = str(roof_picture(roof, lines, width_px=900, max_height_px=900))
    narrow = str(roof_picture(roof, lines, width_px=260, max_height_px=260))
    assert wide.count("sq, old") > narrow.count("sq, old")
    for n in range(1, len(roof.sections) + 1):
        assert len(re.findall(rf'font-size="25"[^>]*>{n}<', narrow)) == 1
