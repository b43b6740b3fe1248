"""Whatever the hour, weekday and season at which the demo is loaded, Today and Tomorrow make sense."""

from datetime import datetime
from zoneinfo import ZoneInfo

import pytest
from django.db.models import Sum

from crews import queries
from crews.models import Assignment, Decision, DelayDay, Plan, PlanState, ProgressEntry
from jobs.models import Inspection, Load, LoadState, Section, Yard
from roofops.demo.actions import load
from roofops.demo.scenario import company
from roofops.demo.scenario.jobs import JOBS
from roofops.record.access import Access
from roofops.record.models import LogEntry
from weather.sources.day_shapes import CLEAR, DRY, FROSTY, PATTERNS, STORM, WINDY

pytestmark = pytest.mark.django_db
ZONE = ZoneInfo(company.TIME_ZONE)
ALL_FOUR = {"tear_off", "no_tear_off", "stay_off", "unknown"}
MOMENTS = {
    "a Tuesday in October, 9:20 am": (datetime(2026, 10, 13, 9, 20, tzinfo=ZONE), ALL_FOUR),
    "a Sunday in June, 3 am": (datetime(2026, 6, 21, 3, 0, tzinfo=ZONE), ALL_FOUR),
    "a Saturday in January, 2 pm": (datetime(2027, 1, 2, 14, 0, tzinfo=ZONE), ALL_FOUR - {"tear_off"}),
    "a Wednesday in November, 8 pm": (datetime(2026, 11, 25, 20, 0, tzinfo=ZONE), ALL_FOUR - {"tear_off"}),
}


@pytest.mark.parametrize("words", MOMENTS)
def test_today_and_tomorrow_make_sense(words: str) -> None:
    now, verdicts = MOMENTS[words]
    load(now)
    yard = Yard.objects.get()
    today = queries.today_board(Access.system(), yard.pk, now)
    assert {row.job.street for row in today.rows} == {
        "18 Alder Court",
        "7 Mill Race Lane",
        "55 Tannery Row",
        "102 Harrow Street",
    }
    assert {row.line.verdict for row in today.rows} == verdicts
    assert all(row.job.crew_name for row in today.rows)
    assert today.forecast.invented
    tomorrow = queries.tomorrow_board(Access.system(), yard.pk, now)
    assert tomorrow.day > today.day
    assert tomorrow.rows
    nothing_lies_in_the_future(now)
    bare_deck_fits_the_hour(now)
    plan = Plan.objects.get()
    assert (plan.state, plan.broken_rules) == (PlanState.PUBLISHED, [])
    assert Assignment.objects.filter(plan=plan).count() >= 12


def nothing_lies_in_the_future(now: datetime) -> None:
    """What was reported, decided or logged happened before now; what came has come."""
    assert not ProgressEntry.objects.filter(at__gt=now).exists()
    assert not Decision.objects.filter(computed_at__gt=now).exists()
    assert not LogEntry.objects.filter(at__gt=now).exists()
    assert not Load.objects.filter(state=LoadState.CAME, slot_start__gt=now).exists()
    assert not Inspection.objects.filter(state="passed", window_end__gt=now).exists()
    assert not DelayDay.objects.filter(recorded_at__gt=now).exists()


def bare_deck_fits_the_hour(now: datetime) -> None:
    """Deck lies bare in the middle of the morning and never in the evening or at night."""
    bare = Section.objects.aggregate(total=Sum("bare_squares"))["total"]
    if now.hour == 9:
        assert bare == pytest.approx(3.2, abs=0.01)
    else:
        assert bare == pytest.approx(0.0, abs=0.01)


def test_the_coming_week_has_a_dry_day_a_storm_a_windy_day_and_a_frosty_morning() -> None:
    for sky in {story.sky for story in JOBS}:
        coming = set(map(id, PATTERNS[sky][:7]))
        assert {id(STORM), id(WINDY), id(FROSTY)} & coming, sky
        assert {id(DRY), id(CLEAR)} & coming, sky
    seen = {id(shape) for story in JOBS for shape in PATTERNS[story.sky][:7]}
    assert {id(DRY), id(STORM), id(WINDY), id(FROSTY)} <= seen
