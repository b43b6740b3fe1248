"""The word follows the hour: 'stay off' through hours off the roof, and no tear-off once its last hour is over."""

import json
import uuid
from io import StringIO

import pytest
from django.core.management import call_command

from crews import actions
from crews.progress import NewEntry
from crews.queries import day_sheet, today_board
from roofops.record.access import Access
from tests.factories.crews import WORK_DAY, SmallYard, local, small_yard

pytestmark = pytest.mark.django_db
SYSTEM = Access.system()


def word(world: SmallYard, hour: float) -> str:
    [row] = today_board(world.manager, world.yard.pk, local(hour)).rows
    return row.line.verdict


@pytest.fixture
def morning_gale() -> SmallYard:
    """Gusts to 38 mph from 8 to 10 am between calm hours; limit 30 (common practice, no source)."""
    world = small_yard(gust_mph={8: 38.0, 9: 36.0})
    actions.decide(SYSTEM, world.yard.pk, local(6))
    return world


def test_in_a_gale_nobody_reads_that_a_roof_may_be_walked(morning_gale: SmallYard) -> None:
    assert word(morning_gale, 7.5) == "tear_off"
    assert word(morning_gale, 8.5) == "stay_off"
    assert word(morning_gale, 10.2) == "tear_off"


def test_the_row_names_the_gust_and_its_limit(morning_gale: SmallYard) -> None:
    [row] = today_board(morning_gale.manager, morning_gale.yard.pk, local(8.5)).rows
    assert row.line.cause is not None
    assert row.line.cause.code == "gust"
    assert (row.line.off_from, row.line.off_until) == (local(8), local(10))
    assert row.line.stop_line == ""


def test_the_crews_sheet_says_it_too(morning_gale: SmallYard) -> None:
    sheet = day_sheet(morning_gale.lead, morning_gale.crew.pk, WORK_DAY, local(8.5))
    assert sheet.jobs[0].line.verdict == "stay_off"


@pytest.mark.usefixtures("morning_gale")
def test_the_command_says_it_too(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("roofops.record.clock.now", lambda: local(8.5))
    out = StringIO()
    call_command("today", "--json", stdout=out)
    [roof] = json.loads(out.getvalue())
    assert (roof["verdict"], roof["stop_line"], roof["in_all_today_squares"]) == ("stay_off", "", 0.0)


def test_rain_sends_nobody_away_from_a_deck_that_lies_bare() -> None:
    world = small_yard(wet=range(15, 19))
    actions.decide(SYSTEM, world.yard.pk, local(6))
    torn_off = NewEntry(
        client_uuid=uuid.uuid4(),
        job_id=world.job.pk,
        kind="torn_off",
        at=local(14.8),
        section_id=world.job.sections.order_by("position")[0].pk,
        done_after=2.0,
    )
    actions.report(world.lead, torn_off, local(14.9))
    actions.decide(SYSTEM, world.yard.pk, local(15.2))
    assert word(world, 15.5) != "stay_off"


def test_when_the_last_hour_for_tear_off_is_over_the_word_is_no_tear_off_though_nobody_computed_again() -> None:
    world = small_yard(issued_at=local(9), wet=range(14, 19))
    actions.decide(SYSTEM, world.yard.pk, local(9.5))
    [row] = today_board(world.manager, world.yard.pk, local(9.6)).rows
    last = max(band.end for band in row.strip.bands if band.kind == "tear_off")
    dry_in_by = row.line.dry_in_by
    assert row.line.verdict == "tear_off"
    assert dry_in_by is not None
    assert last <= dry_in_by
    [row] = today_board(world.manager, world.yard.pk, last).rows
    assert (row.line.verdict, row.line.stop_line, row.line.in_all_today_squares) == ("no_tear_off", "", 0.0)
