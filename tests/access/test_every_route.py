"""Every address x every role x own and foreign yard, from one table. A route that is missing here fails.

How to add a route: one line in TABLE. `statuses` lists the answers to a GET (or `method`) for VISITOR, STRANGER (an
account without a role), CREW_LEAD, DISPATCHER, MANAGER and OUTSIDER (a manager of another yard), in this order. Where
the address names a row, `kwargs` makes that row in the yard `here`; the outsider's answer must then be 404.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from tests.factories.people import TwoYards, two_yards

pytestmark = pytest.mark.django_db
BACKEND = "django.contrib.auth.backends.ModelBackend"
WHO = ("visitor", "stranger", "crew_lead", "dispatcher", "manager", "outsider")


@dataclass(frozen=True)
class Route:
    """What one address answers to whom."""

    statuses: tuple[int, int, int, int, int, int]
    kwargs: Callable[[TwoYards], dict[str, Any]] | None = None
    method: str = "get"
    data: dict[str, Any] = field(default_factory=dict)


TABLE: dict[str, Route] = {
    "healthz": Route((200, 200, 200, 200, 200, 200)),
    "readyz": Route((503, 503, 503, 503, 503, 503)),  # no worker runs beside the tests
    "sign_in": Route((200, 302, 302, 302, 302, 302)),
    "sign_out": Route((302, 302, 302, 302, 302, 302), method="post"),
}


def _routes(patterns: list[URLPattern | URLResolver], prefix: str = "") -> Iterator[tuple[str, str]]:
    """Yield (name, pattern) of every route; the admin is checked as a whole below."""
    for pattern in patterns:
        here = prefix + str(pattern.pattern)
        if isinstance(pattern, URLPattern):
            yield pattern.name or here, here
        elif pattern.namespace != "admin":
            yield from _routes(pattern.url_patterns, here)


ROUTES = dict(_routes(get_resolver().url_patterns))


@pytest.fixture
def world() -> TwoYards:
    """Two yards and their people."""
    return two_yards()


def client_of(user: User | None) -> Client:
    """Return a browser in which this person is signed in."""
    client = Client()
    if user is not None:
        client.force_login(user, BACKEND)
    return client


def test_no_route_is_missing_from_the_table() -> None:
    assert set(TABLE) == set(ROUTES)


def test_routes_with_the_same_name_do_not_hide_each_other() -> None:
    names = [name for name, _ in _routes(get_resolver().url_patterns)]
    assert len(names) == len(set(names))


@pytest.mark.parametrize("who", WHO)
@pytest.mark.parametrize("name", sorted(TABLE))
def test_each_role_gets_the_answer_in_the_table(name: str, who: str, world: TwoYards) -> None:
    route = TABLE[name]
    address = reverse(name, kwargs=None if route.kwargs is None else route.kwargs(world))
    answer = getattr(client_of(getattr(world, who, None)), route.method)(address, route.data)
    assert answer.status_code == route.statuses[WHO.index(who)]
    if who == "visitor" and answer.status_code == 302 and name != "sign_out":
        assert answer["Location"].startswith("/sign-in/?next=")


def test_a_row_of_another_yard_does_not_exist() -> None:
    rows = {name: route.statuses[WHO.index("outsider")] for name, route in TABLE.items() if route.kwargs is not None}
    assert set(rows.values()) <= {404}, rows


def test_the_admin_is_closed_to_every_role(world: TwoYards) -> None:
    for who in WHO:
        answer = client_of(getattr(world, who, None)).get("/admin/")
        assert (answer.status_code, answer["Location"].split("?")[0]) == (302, "/admin/login/")
