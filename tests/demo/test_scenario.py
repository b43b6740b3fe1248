"""The scenario is whole, invented throughout, and its reports could have come from real roofs."""

import re
from collections import Counter
from datetime import date, time
from math import isinf
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

import roofops.demo
from jobs.roof_shape import RoofShape
from roofops.demo.scenario import company
from roofops.demo.scenario.jobs import JOBS as ALL_JOBS
from roofops.demo.scenario.jobs_at_work import JOBS_AT_WORK
from roofops.demo.scenario.people import CREWS
from roofops.demo.story import JobStory
from weather.daylight import sun_days
from weather.sources.day_shapes import PATTERNS

BARE_AT_ONCE = 5.0
SUN_IS_UP = time(8, 0)
INVENTED_PHONE = re.compile(r"555-01\d\d")


def squares_of(roof: RoofShape) -> dict[str, float]:
    return {section.name: section.squares for section in roof.sections}


def test_it_has_four_crews_one_of_them_a_subcontractors_and_twenty_people() -> None:
    assert len(CREWS) == 4
    assert [crew.name for crew in CREWS if crew.kind == "subcontract"] == ["Szabo"]
    assert sum(len(crew.people) for crew in CREWS) == 20


def test_it_has_twenty_four_jobs_of_varied_roofs() -> None:
    assert len(ALL_JOBS) == 24
    roofs = [story.roof() for story in ALL_JOBS]
    assert {len(roof.sections) for roof in roofs} >= {1, 2, 4}
    pitches = {section.pitch_in_12 for roof in roofs for section in roof.sections}
    assert {4, 9, 12} <= pitches
    assert {story.layers for story in ALL_JOBS} == {1, 2}
    assert all(4 < roof.squares < 32 for roof in roofs)


def test_numbers_names_and_people_are_told_apart() -> None:
    for field in ("number", "short_name", "owner", "owner_phone"):
        counts = Counter(getattr(story, field) for story in ALL_JOBS)
        assert not [value for value, count in counts.items() if count > 1]


def test_every_telephone_number_is_an_invented_one_and_is_used_once() -> None:
    text = "".join(path.read_text() for path in Path(roofops.demo.__file__).parent.rglob("*.py"))
    numbers = re.findall(r"\b\d{3}-\d{4}\b", text)
    assert len(numbers) > 40
    assert not [number for number in numbers if not INVENTED_PHONE.fullmatch(number)]
    assert not [number for number, count in Counter(numbers).items() if count > 1]


@pytest.mark.parametrize("story", ALL_JOBS, ids=lambda story: story.short_name)
def test_every_job_lies_under_a_known_sky_and_its_details_on_its_own_roof(story: JobStory) -> None:
    assert story.sky in PATTERNS
    sections = squares_of(story.roof())
    assert {detail.section for detail in story.details} <= set(sections)
    assert {report.section for report in story.reports} <= {"", *sections}


def test_the_four_crews_are_on_four_roofs_under_four_skies() -> None:
    assert {story.crew for story in JOBS_AT_WORK} == {crew.name for crew in CREWS}
    assert len({story.sky for story in JOBS_AT_WORK}) == 4


@pytest.mark.parametrize("story", [s for s in ALL_JOBS if s.reports], ids=lambda story: story.short_name)
def test_reports_come_in_order_and_later_work_never_runs_ahead_of_earlier_work(story: JobStory) -> None:
    squares = squares_of(story.roof())
    torn, dried, shingled = (dict.fromkeys(squares, 0.0) for _ in range(3))
    totals = {"torn_off": torn, "dried_in": dried, "shingled": shingled}
    moments = [(report.work_day, report.at) for report in story.reports]
    assert moments == sorted(moments)
    for report in story.reports:
        if report.kind in totals:
            assert report.done is not None
            done = squares[report.section] if isinf(report.done) else report.done
            assert totals[report.kind][report.section] < done <= squares[report.section], report
            totals[report.kind][report.section] = done
        for section in squares:
            assert torn[section] >= dried[section] >= shingled[section], report


@pytest.mark.parametrize("story", JOBS_AT_WORK, ids=lambda story: story.short_name)
def test_no_roof_at_work_is_ever_bare_overnight_or_by_more_than_the_strip_cap(story: JobStory) -> None:
    squares = squares_of(story.roof())
    torn, dried = dict.fromkeys(squares, 0.0), dict.fromkeys(squares, 0.0)
    for before, report in zip((None, *story.reports), story.reports, strict=False):
        bare = sum(torn.values()) - sum(dried.values())
        if before is not None and before.work_day != report.work_day:
            assert bare == pytest.approx(0), f"bare on the evening of work day {before.work_day}"
        if report.kind in ("torn_off", "dried_in"):
            assert report.at >= SUN_IS_UP
            assert report.done is not None
            totals = torn if report.kind == "torn_off" else dried
            totals[report.section] = squares[report.section] if isinf(report.done) else report.done
        assert sum(torn.values()) - sum(dried.values()) <= BARE_AT_ONCE + 1e-9, report
    assert sum(torn.values()) - sum(dried.values()) == pytest.approx(0)


def test_the_sun_is_up_at_eight_on_every_day_of_the_year() -> None:
    """Sunrise by astral; the latest of the year falls just before the clocks go back."""
    zone = ZoneInfo(company.TIME_ZONE)
    days = sun_days(company.YARD_LAT, company.YARD_LON, date(2026, 7, 1), 365, zone)
    latest = max(day.sunrise.astimezone(zone).time() for day in days)
    assert time(7, 45) < latest <= SUN_IS_UP
