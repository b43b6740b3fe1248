"""Today in the browser's terms: who may see it, what it says, what its buttons do, how many queries it costs."""

import re
from collections.abc import Iterator

import pytest
import time_machine
from django.contrib.auth.models import User
from django.db import connection
from django.http import HttpResponse
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from crews import actions
from crews.models import Decision
from roofops.record.access import Access, Role
from tests.factories.crews import SmallYard, assign, cell, crew, local, person, point_of, sky_over, small_yard
from tests.factories.jobs import ready_job

pytestmark = pytest.mark.django_db
HTMX = {"HTTP_HX_REQUEST": "true"}
BACKEND = "django.contrib.auth.backends.ModelBackend"


@pytest.fixture
def world() -> Iterator[SmallYard]:
    """The small yard at 6:15 am with the day's verdict computed at 6 under rain from 3 pm."""
    made = small_yard(wet=range(15, 19))
    actions.decide(Access.system(), made.yard.pk, local(6))
    with time_machine.travel(local(6.25), tick=False):
        yield made


def client_of(access: Access) -> Client:
    client = Client()
    assert access.user is not None
    client.force_login(User.objects.get(pk=access.user.pk), BACKEND)
    return client


def in_force(world: SmallYard) -> Decision:
    return Decision.objects.get(job=world.job, in_force=True)


def words_of(response: HttpResponse) -> str:
    text = re.sub(r"<[^>]+>", " ", response.content.decode())
    return " ".join(text.replace("\xa0", " ").split())


def test_the_headline_is_a_sentence_with_figures(world: SmallYard) -> None:
    page = client_of(world.manager).get("/today/")
    assert page.status_code == 200
    [headline] = re.findall(r"<h1>(.*?)</h1>", page.content.decode())
    assert headline == "No roof is open, 1 may be torn off."
    assert f"Next limit: dry in {world.job.street} by" in words_of(page)


def test_the_row_says_both_limits_the_place_the_time_and_the_cause(world: SmallYard) -> None:
    row = in_force(world)
    words = words_of(client_of(world.manager).get("/today/"))
    assert "OK to tear off" in words
    assert f"No more than {row.bare_at_once_squares:g} squares bare at once." in words
    assert f"In all today {row.in_all_today_squares:g}" in words
    assert "Dry in by" in words
    assert "rain likely from 3 pm (70 %)" in words


def test_the_title_block_names_the_forecast_and_its_age(world: SmallYard) -> None:
    words = words_of(client_of(world.manager).get("/today/"))
    assert "Forecast issued 5 am" in words
    assert "1 h 15 min old" in words


def test_accepting_marks_the_row_and_names_who_did_it(world: SmallYard) -> None:
    decision = in_force(world)
    client = client_of(world.manager)
    page = client.get("/today/").content.decode()
    assert f"Accept {decision.in_all_today_squares:g}, {decision.bare_at_once_squares:g} at once" in page
    response = client.post(reverse("today_accept", args=[decision.pk]), follow=True)
    assert response.status_code == 200
    decision.refresh_from_db()
    assert decision.accepted_by == world.manager.user
    assert "Accepted 6:15 am" in words_of(response)


def test_a_partial_request_gets_the_row_and_the_headline_only(world: SmallYard) -> None:
    decision = in_force(world)
    response = client_of(world.manager).post(reverse("today_accept", args=[decision.pk]), **HTMX)
    html = response.content.decode()
    assert response.status_code == 200
    assert html.lstrip().startswith("<article")
    assert 'hx-swap-oob="true"' in html
    assert "<!doctype" not in html
    assert "Accepted 6:15\xa0am" in html


def test_a_tighter_limit_holds_and_only_less_is_taken(world: SmallYard) -> None:
    client = client_of(world.manager)
    url = reverse("today_limit", args=[world.job.pk])
    most = in_force(world).in_all_today_squares
    refused = client.post(url, {"squares": str(most + 3), "reason": "new crew"})
    assert refused.status_code == 422
    assert f"Your limit may only be lower. Enter {most:g} or less." in words_of(refused)
    assert f'value="{most + 3}"' in refused.content.decode()  # what was typed is kept
    assert in_force(world).own_limit_squares is None
    taken = client.post(url, {"squares": "3", "reason": "new crew"}, follow=True)
    assert taken.status_code == 200
    row = in_force(world)
    assert row.own_limit_squares == 3
    assert row.in_all_today_squares <= 3


@pytest.mark.parametrize("typed", ["", "nan", "inf", "-1", "lots"])
def test_what_is_no_number_of_squares_is_refused_and_changes_nothing(world: SmallYard, typed: str) -> None:
    before = in_force(world).pk
    response = client_of(world.manager).post(
        reverse("today_limit", args=[world.job.pk]), {"squares": typed, "reason": "x"}
    )
    assert response.status_code == 422
    assert "aria-invalid" in response.content.decode()
    assert in_force(world).pk == before


def test_a_hold_needs_a_reason_and_says_it_to_everybody(world: SmallYard) -> None:
    client = client_of(world.manager)
    url = reverse("today_hold", args=[world.job.pk])
    assert client.post(url, {"reason": "  "}).status_code == 422
    assert not in_force(world).held
    page = client.post(url, {"reason": "mason on the roof"}, follow=True)
    assert in_force(world).held
    assert "mason on the roof" in words_of(page)
    assert "OK to tear off" not in re.findall(r"<h2.*?</h2>", page.content.decode())[0]


def test_a_hold_is_released_by_a_manager_with_a_reason(world: SmallYard) -> None:
    client = client_of(world.manager)
    client.post(reverse("today_hold", args=[world.job.pk]), {"reason": "mason on the roof"})
    url = reverse("today_release", args=[world.job.pk])
    assert client.post(url, {"reason": ""}).status_code == 422
    assert client.post(url, {"reason": "mason is gone"}, follow=True).status_code == 200
    assert not in_force(world).held


def test_a_dispatcher_may_hold_but_not_accept(world: SmallYard) -> None:
    dispatcher = client_of(person(world.yard, "dirk", Role.DISPATCHER))
    page = dispatcher.get("/today/").content.decode()
    assert "Hold this roof" in page
    assert "Accept " not in page
    assert dispatcher.post(reverse("today_accept", args=[in_force(world).pk])).status_code == 403
    assert in_force(world).accepted_at is None


def test_a_crew_lead_is_sent_away_from_the_office_pages(world: SmallYard) -> None:
    assert client_of(world.lead).get("/today/").status_code == 403


def test_a_visitor_signs_in_first(world: SmallYard) -> None:
    response = Client().get("/today/")
    assert response.status_code == 302
    assert response.url.startswith("/sign-in/")


def test_another_yards_roof_does_not_exist(world: SmallYard) -> None:
    from tests.factories.people import person as stored_person
    from tests.factories.people import yard

    other = yard("Eastmere yard")
    stored_person("otto", other, Role.MANAGER)
    client = Client()
    client.force_login(User.objects.get(username="otto"), BACKEND)
    assert client.get("/today/").status_code == 200
    assert client.get("/today/", {"yard": world.yard.pk}).status_code == 404
    for name, pk in (("today_accept", in_force(world).pk), ("today_limit", world.job.pk), ("today_hold", world.job.pk)):
        assert client.post(reverse(name, args=[pk]), {"reason": "x", "squares": "1"}).status_code == 404


def test_nothing_changes_by_looking(world: SmallYard) -> None:
    assert client_of(world.manager).get(reverse("today_accept", args=[in_force(world).pk])).status_code == 405


def test_a_forecast_too_old_says_unknown_and_opens_nothing(world: SmallYard) -> None:
    with time_machine.travel(local(14), tick=False):
        actions.decide(Access.system(), world.yard.pk, local(14))
        page = client_of(world.manager).get("/today/")
    words = words_of(page)
    assert "Unknown, keep it closed" in words
    assert "Tear off nothing" in words
    assert "No usable forecast." in words
    assert "url(#p-no-sky)" in page.content.decode()


def test_a_change_shows_new_figures_bold_and_old_ones_struck_through(world: SmallYard) -> None:
    sky_over(world.job, issued_at=local(8), wet=range(11, 19))
    actions.decide(Access.system(), world.yard.pk, local(8))
    with time_machine.travel(local(8.1), tick=False):
        html = client_of(world.manager).get("/today/").content.decode()
    assert re.search(r"<del>.*?</del>", html)
    assert re.search(r'<strong class="changed-figure">', html)


def test_no_script_or_style_stands_in_the_page(world: SmallYard) -> None:
    html = client_of(world.manager).get("/today/").content.decode()
    assert " style=" not in html
    assert "<style" not in html
    assert not re.search(r"\son[a-z]+=", html)
    assert all("src=" in tag for tag in re.findall(r"<script[^>]*>", html))


def test_names_that_people_typed_are_escaped(world: SmallYard) -> None:
    world.job.street = '<img src=x onerror="alert(1)"> & Sons Lane'
    world.job.save()
    html = client_of(world.manager).get("/today/").content.decode()
    assert "<img" not in html
    assert "&lt;img src=x" in html


def test_the_page_costs_the_same_queries_for_four_roofs_as_for_one(world: SmallYard) -> None:
    client = client_of(world.manager)
    with CaptureQueriesContext(connection) as one_roof:
        client.get("/today/")
    for number in range(3):
        job = ready_job(yard=world.yard)
        assign(world.plan, job, crew(world.yard, f"Crew {number}"))
        point_of(job, cell())
    actions.decide(Access.system(), world.yard.pk, local(6.1))
    with CaptureQueriesContext(connection) as four_roofs:
        page = client.get("/today/")
    assert page.content.decode().count("<article") == 4
    assert len(four_roofs) == len(one_roof) <= 32


def test_the_theme_chosen_before_comes_from_the_server(world: SmallYard) -> None:
    client = client_of(world.manager)
    assert '<html lang="en">' in client.get("/today/").content.decode()
    client.cookies["roofops-theme"] = "dark"
    assert '<html lang="en" data-theme="dark">' in client.get("/today/").content.decode()
    client.cookies["roofops-theme"] = '"><script>'
    assert "data-theme" not in client.get("/today/").content.decode().split("<head>")[0]


def test_an_empty_day_says_so_and_what_comes_next() -> None:
    from tests.factories.people import person as stored_person
    from tests.factories.people import yard

    stored_person("mara", yard(), Role.MANAGER)
    client = Client()
    client.force_login(User.objects.get(username="mara"), BACKEND)
    words = words_of(client.get("/today/"))
    assert "No roof is at work today." in words
    assert "propose a plan on the Plan page" in words
