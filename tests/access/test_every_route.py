"""Every address x every role x own and foreign yard, from one table. A route that is missing there fails here."""

from collections.abc import Iterator

import pytest
from django.contrib.auth.models import User
from django.db import transaction
from django.http import HttpResponse
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from tests.access.route_table import OPEN, OPEN_BY_POST, TABLE, Route, World, at_now, build_world

pytestmark = pytest.mark.django_db
BACKEND = "django.contrib.auth.backends.ModelBackend"
ROLES = ("crew_lead", "dispatcher", "manager", "outsider")
WITH_ROW = sorted(name for name, route in TABLE.items() if route.kwargs is not None and not route.by_yard)
BY_YARD = sorted(name for name, route in TABLE.items() if route.by_yard)
CHANGES = {name for name, route in TABLE.items() if route.method == "post" and not route.asks_first}
BY_POST = sorted(CHANGES | set(OPEN_BY_POST))


@pytest.fixture
def world() -> Iterator[World]:
    """A roof at work, and the clock at nine in the morning of that day."""
    with at_now():
        yield build_world()


def _routes(patterns: list[URLPattern | URLResolver], prefix: str = "") -> Iterator[str]:
    """Yield the name of every route, its pattern where it has none; the admin is checked as a whole below."""
    for pattern in patterns:
        here = prefix + str(pattern.pattern)
        if isinstance(pattern, URLPattern):
            yield pattern.name or here
        elif pattern.namespace != "admin":
            yield from _routes(pattern.url_patterns, here)


def ask(user: User | None, method: str, address: str, data: dict[str, object]) -> HttpResponse:
    """Send a request of this person, and undo what it saved: the next one finds the same world."""
    client = Client(raise_request_exception=False)  # a fault shows up as a 500 beside the other answers
    with transaction.atomic():
        if user is not None:
            client.force_login(user, BACKEND)
        answer = getattr(client, method)(address, data)
        transaction.set_rollback(True)
    return answer


def address_of(name: str, route: Route, world: World) -> str:
    """Return the route's address, with a row of the yard `here` where it names one."""
    return reverse(name, kwargs=None if route.kwargs is None else route.kwargs(world))


def test_no_route_is_missing_from_the_table_and_no_two_share_a_name() -> None:
    names = sorted(_routes(get_resolver().url_patterns))
    assert names == sorted([*TABLE, *OPEN, *OPEN_BY_POST])


@pytest.mark.parametrize("name", sorted(TABLE))
def test_each_role_gets_the_answer_in_the_table(name: str, world: World) -> None:
    route = TABLE[name]
    address = address_of(name, route, world)
    answers = {who: ask(world.user(who), route.method, address, route.data).status_code for who in ROLES}
    assert answers == {who: getattr(route, who) for who in ROLES}


@pytest.mark.parametrize("name", sorted(TABLE))
def test_who_has_no_role_gets_no_further_than_the_door(name: str, world: World) -> None:
    route = TABLE[name]
    address = address_of(name, route, world)
    visitor = ask(None, route.method, address, route.data)
    assert (visitor.status_code, visitor.headers.get("Location", "").split("=")[0]) == (302, "/sign-in/?next")
    assert ask(world.people.stranger, route.method, address, route.data).status_code == 403


@pytest.mark.parametrize("name", WITH_ROW)
def test_a_row_of_another_yard_does_not_exist(name: str) -> None:
    assert TABLE[name].outsider == 404


@pytest.mark.parametrize("name", BY_YARD)
def test_naming_another_yard_does_not_open_it(name: str, world: World) -> None:
    route = TABLE[name]
    address = f"{address_of(name, route, world)}?yard={world.people.here.pk}"
    assert ask(world.people.outsider, route.method, address, route.data).status_code == 404
    assert ask(world.people.manager, route.method, address, route.data).status_code == route.manager


@pytest.mark.parametrize("name", BY_POST)
def test_what_changes_something_cannot_be_done_by_a_link(name: str, world: World) -> None:
    address = address_of(name, TABLE[name], world) if name in TABLE else reverse(name)
    assert ask(world.people.manager, "get", address, {}).status_code == 405


@pytest.mark.parametrize("name", sorted([*OPEN, *OPEN_BY_POST]))
def test_open_addresses_answer_everybody(name: str, world: World) -> None:
    method, expected = ("get", OPEN[name]) if name in OPEN else ("post", OPEN_BY_POST[name])
    assert ask(None, method, reverse(name), {}).status_code == expected["visitor"]
    for who in (*ROLES, "stranger"):
        assert ask(world.user(who), method, reverse(name), {}).status_code == expected["anybody"]


def test_the_admin_is_closed_to_every_role(world: World) -> None:
    for who in (None, *ROLES, "stranger"):
        answer = ask(None if who is None else world.user(who), "get", "/admin/", {})
        assert (answer.status_code, answer.headers["Location"].split("?")[0]) == (302, "/admin/login/")
