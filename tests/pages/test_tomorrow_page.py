"""Tomorrow in the browser's terms: the choice about each job, who has been told, who may see it, what it costs."""

import re
from collections.abc import Iterator
from datetime import date, timedelta

import pytest
import time_machine
from django.contrib.auth.models import User
from django.db import connection
from django.http import HttpResponse
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from crews.models import DayChoice
from roofops.record.access import Access, Role
from tests.factories.crews import WORK_DAY, SmallYard, assign, cell, crew, local, person, point_of, small_yard
from tests.factories.jobs import ready_job
from tests.factories.people import person as stored_person
from tests.factories.people import yard as stored_yard

pytestmark = pytest.mark.django_db
BACKEND = "django.contrib.auth.backends.ModelBackend"
NEXT_DAY = WORK_DAY + timedelta(days=1)
HTMX = {"HTTP_HX_REQUEST": "true"}


@pytest.fixture
def world() -> Iterator[SmallYard]:
    """The small yard at noon of its first day; the job goes on tomorrow under a dry sky."""
    made = small_yard(issued_at=local(11))
    with time_machine.travel(local(12 + 10 / 60), tick=False):
        yield made


def client_of(access: Access) -> Client:
    client = Client()
    assert access.user is not None
    client.force_login(User.objects.get(pk=access.user.pk), BACKEND)
    return client


def words_of(response: HttpResponse) -> str:
    text = re.sub(r"<[^>]+>", " ", response.content.decode())
    return " ".join(text.replace("\xa0", " ").split())


def post(world: SmallYard, name: str, **data: str) -> HttpResponse:
    url = reverse(name, args=[world.job.pk])
    return client_of(world.manager).post(url, {"day": NEXT_DAY.isoformat(), **data}, follow=True)


def chosen(world: SmallYard) -> DayChoice | None:
    return DayChoice.objects.filter(job=world.job, day=NEXT_DAY).first()


def test_the_headline_says_by_when_what_is_undecided(world: SmallYard) -> None:
    page = client_of(world.manager).get("/tomorrow/")
    assert page.status_code == 200
    assert "Tomorrow, decide by 1 pm: 1 is undecided." in words_of(page)


def test_a_choice_is_kept_with_its_time_and_can_be_changed(world: SmallYard) -> None:
    words = words_of(post(world, "tomorrow_choose", choice="go"))
    assert "1 job goes" in words
    assert "Chosen 12:10 pm: go" in words
    words = words_of(post(world, "tomorrow_choose", choice="at_530"))
    assert "1 waits for 5:30 am" in words
    row = chosen(world)
    assert row is not None
    assert (row.choice, row.chosen_by) == ("at_530", world.manager.user)


def test_moving_needs_a_day(world: SmallYard) -> None:
    refused = post(world, "tomorrow_choose", choice="move")
    assert refused.status_code == 422
    assert "Name the day to move to." in words_of(refused)
    assert '<details class="act" open>' in refused.content.decode()
    assert post(world, "tomorrow_choose", choice="move", move_to="next week").status_code == 422
    assert chosen(world) is None or chosen(world).choice == ""
    assert post(world, "tomorrow_choose", choice="move", move_to="2026-07-17").status_code == 200
    row = chosen(world)
    assert row is not None
    assert row.move_to == date(2026, 7, 17)


def test_a_choice_that_is_none_of_the_three_is_refused(world: SmallYard) -> None:
    assert post(world, "tomorrow_choose", choice="maybe").status_code == 422
    assert chosen(world) is None or chosen(world).choice == ""


def test_a_partial_request_gets_the_row_and_the_headline(world: SmallYard) -> None:
    url = reverse("tomorrow_choose", args=[world.job.pk])
    response = client_of(world.manager).post(url, {"day": NEXT_DAY.isoformat(), "choice": "go"}, **HTMX)
    html = response.content.decode()
    assert html.lstrip().startswith("<article")
    assert 'hx-swap-oob="true"' in html
    assert "1 job goes" in html


def test_a_tick_goes_from_to_tell_over_asked_to_told_with_its_time(world: SmallYard) -> None:
    words = words_of(post(world, "tomorrow_tell", party="homeowner", state="asked"))
    assert "homeowner asked 12:10" in words
    words = words_of(post(world, "tomorrow_tell", party="homeowner", state="told"))
    assert "homeowner 12:10" in words
    assert post(world, "tomorrow_tell", party="mayor", state="told").status_code == 422


def test_the_backup_is_kept_beside_the_choice(world: SmallYard) -> None:
    post(world, "tomorrow_choose", choice="go")
    words = words_of(post(world, "tomorrow_backup", backup="leak call, 3 Orchard Way"))
    assert "Backup: leak call, 3 Orchard Way" in words
    row = chosen(world)
    assert row is not None
    assert row.choice == "go"


def test_what_people_typed_is_escaped(world: SmallYard) -> None:
    html = post(world, "tomorrow_backup", backup='"><script>alert(1)</script>').content.decode()
    assert "<script>alert" not in html
    assert "&lt;script&gt;" in html


def test_a_dispatcher_sees_the_page_and_a_crew_lead_does_not(world: SmallYard) -> None:
    assert client_of(person(world.yard, "dirk", Role.DISPATCHER)).get("/tomorrow/").status_code == 200
    assert client_of(world.lead).get("/tomorrow/").status_code == 403
    assert Client().get("/tomorrow/").status_code == 302


def test_another_yards_job_does_not_exist(world: SmallYard) -> None:
    stored_person("otto", stored_yard("Eastmere yard"), Role.MANAGER)
    client = Client()
    client.force_login(User.objects.get(username="otto"), BACKEND)
    for name in ("tomorrow_choose", "tomorrow_tell", "tomorrow_backup"):
        data = {"day": NEXT_DAY.isoformat(), "choice": "go", "party": "crew", "state": "told", "backup": "x"}
        assert client.post(reverse(name, args=[world.job.pk]), data).status_code == 404
    assert chosen(world) is None


def test_a_day_that_is_none_is_not_there(world: SmallYard) -> None:
    client = client_of(world.manager)
    for day in ("", "tomorrow", "2026-13-45"):
        response = client.post(reverse("tomorrow_choose", args=[world.job.pk]), {"day": day, "choice": "go"})
        assert response.status_code == 404


def test_no_script_or_style_stands_in_the_page(world: SmallYard) -> None:
    html = client_of(world.manager).get("/tomorrow/").content.decode()
    assert " style=" not in html
    assert "<style" not in html
    assert not re.search(r"\son[a-z]+=", html)
    assert all("src=" in tag for tag in re.findall(r"<script[^>]*>", html))


def test_the_page_costs_the_same_queries_for_four_jobs_as_for_one(world: SmallYard) -> None:
    client = client_of(world.manager)
    with CaptureQueriesContext(connection) as one_job:
        client.get("/tomorrow/")
    for number in range(3):
        job = ready_job(yard=world.yard)
        assign(world.plan, job, crew(world.yard, f"Crew {number}"))
        point_of(job, cell())
    with CaptureQueriesContext(connection) as four_jobs:
        page = client.get("/tomorrow/")
    assert page.content.decode().count("<article") == 4
    assert len(four_jobs) <= len(one_job) + 2


def test_a_yard_without_work_says_what_to_do_next() -> None:
    stored_person("mara", stored_yard(), Role.MANAGER)
    client = Client()
    client.force_login(User.objects.get(username="mara"), BACKEND)
    words = words_of(client.get("/tomorrow/"))
    assert "No job is planned for the next work day." in words
    assert "Propose a plan on the Plan page." in words
