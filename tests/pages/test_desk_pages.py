"""Plan, Job, Deliveries, Crews, Limits and the day sheet: what they say, what they cost, what they may carry."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
import time_machine
from django.conf import settings
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from crews import actions
from crews.models import Plan, PlanState
from jobs.models import Load, LoadState, Placement
from jobs.queries import load as visible_load
from roofops.record.access import Access, Role
from tests.factories.crews import WORK_DAY, SmallYard, assign, cell, crew, local, person, point_of, small_yard
from tests.factories.jobs import InspectionFactory, LoadFactory, ready_job
from tests.pages.test_today_page import client_of, words_of
from weather.models import WorkLimit

pytestmark = pytest.mark.django_db
DAY = WORK_DAY.isoformat()
# Most queries a page may cost, whatever the number of rows.
MOST_QUERIES = 45


@pytest.fixture
def world() -> Iterator[SmallYard]:
    """The small yard at 9 am with its verdict; a load that no phase waits for at noon, and an inspector due."""
    made = small_yard(wet=range(15, 19))
    LoadFactory(
        job=made.job, slot_start=local(12), not_before=local(7), need_by=local(14), state=LoadState.ASKED, needed_for=""
    )
    InspectionFactory(job=made.job, hold_point=False)
    actions.decide(Access.system(), made.yard.pk, local(6))
    with time_machine.travel(local(9), tick=False):
        yield made


def addresses(world: SmallYard) -> list[str]:
    return [
        "/plan/",
        "/jobs/",
        "/jobs/new/",
        "/jobs/import/",
        reverse("job", args=[world.job.pk]),
        reverse("job_edit", args=[world.job.pk]),
        reverse("report", args=[world.job.pk]),
        f"/deliveries/?day={DAY}",
        f"/deliveries/print/?day={DAY}",
        "/crews/",
        "/limits/",
        reverse("day_sheet", args=[world.crew.pk, DAY]),
        reverse("day_sheet_print", args=[world.crew.pk, DAY]),
    ]


def test_no_page_carries_inline_styles_or_scripts(world: SmallYard) -> None:
    client = client_of(world.manager)
    for address in addresses(world):
        html = client.get(address).content.decode()
        assert " style=" not in html, address
        assert re.findall(r"<script(?![^>]*\bsrc=)", html) == [], address
        assert re.findall(r"\son[a-z]+=", html) == [], address


def test_every_page_has_one_heading_that_is_a_sentence_or_a_name_and_the_forecast(world: SmallYard) -> None:
    client = client_of(world.manager)
    for address in addresses(world)[:-2]:
        html = client.get(address).content.decode()
        assert len(re.findall(r"<h1[ >]", html)) == 1, address


def test_every_style_sheet_of_these_pages_has_rules_for_paper() -> None:
    for name in ("plan", "job", "deliveries", "sheet"):
        text = (Path(settings.BASE_DIR) / "roofops" / "static" / "css" / f"{name}.css").read_text()
        assert "@media print" in text, name


def test_a_page_costs_no_more_queries_with_more_jobs(world: SmallYard) -> None:
    client = client_of(world.manager)
    shared = ["/plan/", "/jobs/", f"/deliveries/?day={DAY}", "/crews/", reverse("day_sheet", args=[world.crew.pk, DAY])]

    def costs() -> dict[str, int]:
        found = {}
        for address in shared:
            client.get(address)  # sessions and content types are read once
            with CaptureQueriesContext(
                connection,
            ) as queries:
                assert client.get(address).status_code == 200
            found[address] = len(queries)
        return found

    before = costs()
    for name in ("Tamm", "Okonjo"):
        job = ready_job(yard=world.yard)
        assign(world.plan, job, crew(world.yard, name))
        LoadFactory(job=job, slot_start=local(11), need_by=local(13), state=LoadState.ASKED)
        point_of(job, cell())
    after = costs()
    assert max(after.values()) <= MOST_QUERIES, after
    assert after == before


def test_the_plan_shows_the_published_bars_and_offers_to_propose(world: SmallYard) -> None:
    page = client_of(world.manager).get("/plan/")
    words = words_of(page)
    assert "Plan 1: 1 job for 1 crew." in words
    assert world.job.short_name in page.content.decode()
    assert "Propose a plan" in words


def test_a_dispatcher_sees_the_plan_but_no_button_to_publish(world: SmallYard) -> None:
    Plan.objects.create(
        yard=world.yard, number=2, made_from=world.plan, first_day=WORK_DAY, days=10, seed=1, made_at=local(8)
    )
    dispatcher = client_of(person(world.yard, "dirk", Role.DISPATCHER))
    words = words_of(dispatcher.get("/plan/"))
    assert "The project manager proposes and publishes plans." in words
    assert "Publish plan" not in words


def test_publish_stays_dashed_and_says_which_rule_is_broken(world: SmallYard) -> None:
    rule = {"rule": "drops_over", "text": "5 drops.", "job": None, "crew": None, "day": DAY, "used": 5, "limit": 4}
    Plan.objects.create(
        yard=world.yard, number=2, made_from=world.plan, first_day=WORK_DAY, days=10, seed=1, made_at=local(8),
        broken_rules=[rule],
    )  # fmt: skip
    page = client_of(world.manager).get("/plan/")
    words = words_of(page)
    assert "1 drop is too many on Tue 14." in words
    assert "5 drops on Tue 14, 4 at most." in words
    assert "Publish: 1 rule broken" in words
    assert "/publish/" not in page.content.decode()


def test_keeping_the_published_plan_puts_the_proposal_away(world: SmallYard) -> None:
    made = Plan.objects.create(
        yard=world.yard, number=2, made_from=world.plan, first_day=WORK_DAY, days=10, seed=1, made_at=local(8)
    )
    client_of(world.manager).post(reverse("plan_drop", args=[made.pk]))
    made.refresh_from_db()
    assert made.state == PlanState.DROPPED


def test_pinning_marks_the_bar_and_says_what_it_means(world: SmallYard) -> None:
    sent = {"plan": str(world.plan.pk), "job": str(world.job.pk), "pinned": "1"}
    page = client_of(world.manager).post(reverse("plan_pin"), sent, follow=True)
    assert world.plan.assignments.get().pinned
    assert "Pinned. The next proposal keeps it." in words_of(page)
    assert "pinned" in page.content.decode()


def test_the_job_page_says_the_verdict_hours_takeoff_and_what_is_owed(world: SmallYard) -> None:
    words = words_of(client_of(world.manager).get(reverse("job", args=[world.job.pk])))
    assert "OK to tear off." in words
    assert "No more than" in words
    # Field labor of 2 x 7.04 squares: the handbook's table stands in tests of jobs; here the phases are all there.
    for phase in ("Tear-off", "Deck", "Underlayment", "Shingles", "Ridge"):
        assert phase in words
    assert "Ready: it may be published." in words
    assert "Laminate shingles" in words


def test_a_line_of_the_checklist_is_ticked_off_and_back(world: SmallYard) -> None:
    line = world.job.ready_items.filter(needed=True).earliest("pk")
    address = reverse("job_ready", args=[world.job.pk, line.pk])
    client = client_of(world.manager)
    client.post(address, {"done": "0"})
    line.refresh_from_db()
    assert line.done_at is None
    assert "1 line is owed." in words_of(client.get(reverse("job", args=[world.job.pk])))
    client.post(address, {"done": "1"})
    line.refresh_from_db()
    assert line.done_at is not None


def test_an_inspectors_window_that_ends_before_it_begins_is_refused_and_kept(world: SmallYard) -> None:
    visit = world.job.inspections.get()
    prefix = f"i{visit.pk}"
    sent = {
        "act": "booked",
        f"{prefix}-day": "2026-07-15",
        f"{prefix}-from_time": "10:00",
        f"{prefix}-until_time": "09:30",
    }
    page = client_of(world.manager).post(reverse("job_inspection", args=[world.job.pk, visit.pk]), sent)
    assert page.status_code == 422
    assert "The window must end after it begins." in words_of(page)
    assert 'value="09:30"' in page.content.decode()


def only_load(world: SmallYard) -> Load:
    return world.job.loads.get()


def test_the_deliveries_page_names_the_load_its_slot_and_its_window(world: SmallYard) -> None:
    words = words_of(client_of(world.manager).get(f"/deliveries/?day={DAY}"))
    assert "1 load today." in words
    assert world.job.street in words


def test_a_dispatcher_confirms_a_load_with_one_button(world: SmallYard) -> None:
    row = only_load(world)
    dispatcher = client_of(person(world.yard, "dirk", Role.DISPATCHER))
    sent = {"act": "confirm", "day": DAY, "revision": str(row.revision)}
    assert dispatcher.post(reverse("load_change", args=[row.pk]), sent).status_code == 302
    assert only_load(world).state == LoadState.CONFIRMED


def test_two_people_changing_one_load_the_second_is_told(world: SmallYard) -> None:
    row = only_load(world)
    client = client_of(world.manager)
    sent = {"day": DAY, "revision": str(row.revision)}
    client.post(reverse("load_change", args=[row.pk]), {**sent, "act": "confirm"})
    page = client.post(reverse("load_change", args=[row.pk]), {**sent, "act": "came"})
    assert page.status_code == 422
    assert "Somebody else changed this load in between" in words_of(page)
    assert only_load(world).state == LoadState.CONFIRMED


def test_a_moved_load_needs_its_time_and_what_was_typed_is_kept(world: SmallYard) -> None:
    row = only_load(world)
    sent = {"act": "moved", "day": DAY, "revision": str(row.revision), "note": "truck broke down"}
    page = client_of(world.manager).post(reverse("load_change", args=[row.pk]), sent)
    assert page.status_code == 422
    assert "Enter the time that was agreed." in words_of(page)
    assert 'value="truck broke down"' in page.content.decode()
    client_of(world.manager).post(reverse("load_change", args=[row.pk]), {**sent, "time": "13:30"})
    moved = visible_load(world.manager, row.pk)
    assert (moved.state, moved.slot_start, moved.note) == (LoadState.MOVED, local(13.5), "truck broke down")


def test_dropping_on_the_ground_keeps_the_slot(world: SmallYard) -> None:
    row = only_load(world)
    Load.objects.filter(pk=row.pk).update(placement=Placement.ROOF)
    sent = {"act": "ground", "day": DAY, "revision": str(row.revision)}
    client_of(world.manager).post(reverse("load_change", args=[row.pk]), sent)
    after = only_load(world)
    assert (after.placement, after.slot_start) == (Placement.GROUND, row.slot_start)


def test_loosening_a_safety_limit_without_a_reason_is_refused_and_the_value_is_kept(world: SmallYard) -> None:
    client, address = client_of(world.manager), reverse("limit", args=["off_roof_gust_mph"])
    page = client.post(address, {"off_roof_gust_mph-value": "34"})
    assert page.status_code == 422
    assert "A safety limit is loosened only with a reason." in words_of(page)
    assert 'value="34"' in page.content.decode()
    assert not WorkLimit.objects.exists()
    client.post(address, {"off_roof_gust_mph-value": "34", "off_roof_gust_mph-reason": "low roof, no edge work"})
    assert WorkLimit.objects.get().value == 34
    assert "34 mph" in words_of(client.get("/limits/"))


def test_the_day_sheet_says_the_key_line_the_slopes_and_where_to_stop(world: SmallYard) -> None:
    page = client_of(world.lead).get(reverse("day_sheet", args=[world.crew.pk, DAY]))
    words = words_of(page)
    assert "OK to tear off" in words
    assert "No more than" in words
    assert "Dry in by" in words
    assert "Report squares" in words
    assert 'data-theme="light"' in page.content.decode()


def test_past_its_time_the_sheet_says_open_nothing_more_and_the_dry_in_time_stands(world: SmallYard) -> None:
    with time_machine.travel(local(23), tick=False):
        words = words_of(client_of(world.lead).get(reverse("day_sheet", args=[world.crew.pk, DAY])))
    assert "Open nothing more, call." in words
    assert "The dry-in time still stands." in words


@pytest.mark.parametrize("tab", ["safety", "material", "photos"])
def test_each_part_of_the_sheet_opens(world: SmallYard, tab: str) -> None:
    page = client_of(world.lead).get(reverse("day_sheet", args=[world.crew.pk, DAY]), {"tab": tab})
    assert page.status_code == 200
    if tab == "safety":
        # 29 CFR 1926.501(b)(13): fall protection from 6 ft in residential construction.
        assert "Tie off at 6 ft and above, at any pitch." in words_of(page)


def test_a_lead_sees_no_other_crews_sheet(world: SmallYard) -> None:
    other = crew(world.yard, "Tamm")
    assert client_of(world.lead).get(reverse("day_sheet", args=[other.pk, DAY])).status_code == 404


def test_the_sheet_offers_no_language_without_a_catalogue(world: SmallYard, tmp_path: Path) -> None:
    client: Client = client_of(world.lead)
    address = reverse("day_sheet", args=[world.crew.pk, DAY])
    original = settings.LOCALE_PATHS
    settings.LOCALE_PATHS = [tmp_path]
    try:
        assert 'name="language"' not in client.get(address).content.decode()
    finally:
        settings.LOCALE_PATHS = original
