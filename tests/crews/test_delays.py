"""Hours that the weather took are recorded once, by cause, with the number and the forecast that said so."""

from datetime import datetime

import pytest
from django.db.models import ProtectedError

from crews import actions, queries
from crews.actions.watch import watch_yards
from crews.models import Decision, DelayDay
from jobs.actions.progress import set_areas
from roofops.pages.job.words import delay_words
from roofops.record.access import Access
from roofops.record.models import LogEntry
from tests.factories.crews import WORK_DAY, SmallYard, local, sky_over, small_yard

pytestmark = pytest.mark.django_db
SYSTEM = Access.system()


def day_of(world: SmallYard, *hours: float) -> None:
    for hour in hours:
        actions.decide(SYSTEM, world.yard.pk, local(hour))


def rows(world: SmallYard) -> dict[str, DelayDay]:
    return {row.reason: row for row in DelayDay.objects.filter(job=world.job)}


def told_off(world: SmallYard) -> float:
    """Hours of the shift (7:00 to 17:30, break 12:00 to 12:30) in which the bands in force let nothing be opened."""
    bands = Decision.objects.get(job=world.job, in_force=True).run["verdict"]["bands"]
    total = 0.0
    for band in bands:
        if band["kind"] != "tear_off" and band["code"] not in ("", "dark"):
            start, end = (datetime.fromisoformat(band[name]) for name in ("start", "end"))
            a, b = max(start, local(7)), min(end, local(17.5))
            pause = max(0.0, (min(b, local(12.5)) - max(a, local(12))).total_seconds() / 3600)
            total += max(0.0, (b - a).total_seconds() / 3600 - pause) if b > a else 0.0
    return total


def test_a_storm_afternoon_is_recorded_by_cause_with_its_numbers() -> None:
    world = small_yard(wet=range(12, 20), thunder=range(14, 17))
    day_of(world, 6)
    assert not actions.record_delays(SYSTEM, world.yard.pk, local(16))
    sky_over(world.job, issued_at=local(10.5), wet=range(12, 20), thunder=range(14, 17))
    day_of(world, 10.5)
    actions.record_delays(SYSTEM, world.yard.pk, local(17.75))
    found = rows(world)
    assert {"thunder", "rain"} <= set(found)
    assert (found["thunder"].value, found["thunder"].limit) == (pytest.approx(0.4), pytest.approx(0.15))
    assert found["rain"].value == pytest.approx(0.7)
    assert found["thunder"].forecast is not None
    assert found["thunder"].forecast.issued_at == local(10.5)
    assert found["thunder"].crew == world.crew
    # Thunder at 14, 15 and 16 stops the hours themselves; the wait after the last of them counts for it as well.
    assert found["thunder"].hours_lost >= 3.0
    assert sum(row.hours_lost for row in found.values()) == pytest.approx(told_off(world), abs=0.02)


def test_recording_again_changes_nothing_and_a_quiet_day_records_nothing() -> None:
    world = small_yard(wet=range(14, 20))
    day_of(world, 6)
    first = actions.record_delays(SYSTEM, world.yard.pk, local(17.75))
    again = actions.record_delays(SYSTEM, world.yard.pk, local(19))
    assert [(row.pk, row.hours_lost) for row in first] == [(row.pk, row.hours_lost) for row in again]
    assert LogEntry.objects.filter(verb="delay").count() == len(first) > 0


def test_a_dry_day_loses_nothing() -> None:
    world = small_yard()
    day_of(world, 6)
    assert not actions.record_delays(SYSTEM, world.yard.pk, local(17.75))


def test_a_day_on_which_shingles_could_be_laid_is_not_lost_to_gusts_that_stop_opening() -> None:
    world = small_yard(gust_mph=dict.fromkeys(range(6, 19), 27.0))
    for section in world.job.sections.all():
        set_areas(section, bare_squares=0.0, dried_in_squares=section.squares, shingled_squares=0.0)
    day_of(world, 6)
    assert not actions.record_delays(SYSTEM, world.yard.pk, local(17.75))


def test_the_hours_stay_as_they_were_told_when_a_later_forecast_forgets_them() -> None:
    world = small_yard(wet=range(8, 11))
    day_of(world, 6)
    sky_over(world.job, issued_at=local(11.5), missing=range(12))
    day_of(world, 11.5)
    actions.record_delays(SYSTEM, world.yard.pk, local(17.75))
    assert rows(world)["rain"].hours_lost >= 2.0
    assert "unknown" not in rows(world)


def test_the_watch_records_them_and_the_job_page_says_them_in_words() -> None:
    world = small_yard(wet=range(12, 20), thunder=range(14, 17))
    day_of(world, 6)
    watch_yards(lambda: local(17.75))
    page = queries.job_page(world.manager, world.job.pk, local(18))
    assert {line.reason for line in page.delays} >= {"thunder", "rain"}
    words = [delay_words(line) for line in page.delays]
    assert any("thunder (40" in text for text in words)
    assert any("rain likely (70" in text and "limit" in text for text in words)
    assert any(line.code == "delay" for line in page.log)


def test_yesterday_is_caught_up_in_the_night() -> None:
    world = small_yard(wet=range(14, 20))
    day_of(world, 6)
    found = actions.record_delays(SYSTEM, world.yard.pk, local(24 + 2))
    assert {row.day for row in found} == {WORK_DAY}


def test_a_delay_keeps_its_forecast() -> None:
    world = small_yard(wet=range(14, 20))
    day_of(world, 6)
    [row, *_] = actions.record_delays(SYSTEM, world.yard.pk, local(17.75))
    Decision.objects.all().delete()
    assert row.forecast is not None
    with pytest.raises(ProtectedError):
        row.forecast.delete()
