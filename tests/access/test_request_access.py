"""Each request knows its person's roles, and a refusal becomes a page."""

from collections.abc import Callable

import pytest
from django.contrib.auth.models import AnonymousUser
from django.http import HttpRequest, HttpResponse
from django.test import Client, RequestFactory

from roofops.access.decorators import require_role
from roofops.access.middleware import AccessMiddleware
from roofops.access.queries import access_of
from roofops.access.requests import access_for
from roofops.record.access import Forbidden, NotFound, Role
from tests.factories.people import TwoYards, two_yards

pytestmark = pytest.mark.django_db


@pytest.fixture
def world() -> TwoYards:
    """Two yards and their people."""
    return two_yards()


@pytest.fixture
def ask() -> Callable[..., HttpResponse]:
    """Return a function that sends a request of a person through the middleware to a view."""

    def send(view: Callable[[HttpRequest], HttpResponse], user: object) -> HttpResponse:
        def guarded(request: HttpRequest) -> HttpResponse:
            try:
                return view(request)
            except Exception as error:
                answer = middleware.process_exception(request, error)
                if answer is None:
                    raise
                return answer

        middleware = AccessMiddleware(guarded)
        request = RequestFactory().get("/somewhere/?day=3")
        request.user = user  # type: ignore[assignment]
        return middleware(request)

    return send


def test_the_roles_come_from_the_memberships(world: TwoYards) -> None:
    assert dict(access_of(world.manager).role_by_yard) == {world.here.pk: Role.MANAGER}
    assert dict(access_of(world.outsider).role_by_yard) == {world.there.pk: Role.MANAGER}
    assert access_of(world.stranger).yards() == access_of(AnonymousUser()).yards() == frozenset()


def test_a_request_that_does_not_ask_costs_no_query(
    world: TwoYards, ask: Callable, django_assert_num_queries: Callable
) -> None:
    with django_assert_num_queries(0):
        ask(lambda request: HttpResponse("ok"), world.manager)
    with django_assert_num_queries(1):
        ask(lambda request: HttpResponse(f"{access_for(request).yards()}{access_for(request).yards()}"), world.manager)


def test_a_missing_role_is_a_403_page(world: TwoYards, ask: Callable) -> None:
    def view(request: HttpRequest) -> HttpResponse:
        access_for(request).require(world.here.pk, Role.MANAGER)
        return HttpResponse("in")

    answer = ask(view, world.crew_lead)
    assert answer.status_code == 403
    assert "another role" in answer.content.decode()
    assert ask(view, world.manager).status_code == 200


def test_another_yard_is_a_404_page(world: TwoYards, ask: Callable) -> None:
    def view(request: HttpRequest) -> HttpResponse:
        access_for(request).require(world.there.pk)
        return HttpResponse("in")

    answer = ask(view, world.manager)
    assert answer.status_code == 404
    assert "a yard you do not work for" in answer.content.decode()


def test_other_faults_are_not_swallowed(world: TwoYards, ask: Callable) -> None:
    def view(request: HttpRequest) -> HttpResponse:
        raise RuntimeError

    with pytest.raises(RuntimeError):
        ask(view, world.manager)


def test_the_door_lets_the_named_roles_through_only(world: TwoYards, ask: Callable) -> None:
    @require_role(Role.MANAGER, Role.DISPATCHER)
    def view(request: HttpRequest) -> HttpResponse:
        return HttpResponse("in")

    answers = {
        user.username: ask(view, user).status_code for user in (world.manager, world.dispatcher, world.crew_lead)
    }
    assert answers == {"mara": 200, "dirk": 200, "lena": 403}
    assert ask(view, world.stranger).status_code == 403


def test_the_door_sends_a_visitor_to_the_sign_in_page_and_back(world: TwoYards, ask: Callable) -> None:
    @require_role()
    def view(request: HttpRequest) -> HttpResponse:
        return HttpResponse("in")

    answer = ask(view, AnonymousUser())
    assert (answer.status_code, answer["Location"]) == (302, "/sign-in/?next=/somewhere/%3Fday%3D3")


def test_refusals_are_no_faults_of_the_program() -> None:
    assert not issubclass(Forbidden, ValueError)
    assert not issubclass(NotFound, ValueError)


def test_an_unknown_address_is_our_own_page(client: Client) -> None:
    answer = client.get("/nowhere/")
    assert answer.status_code == 404
    assert "There is nothing at this address" in answer.content.decode()


def test_a_form_without_its_token_is_refused_in_plain_words() -> None:
    answer = Client(enforce_csrf_checks=True).post("/sign-in/", {"username": "mara"})
    assert answer.status_code == 403
    assert "This form is too old" in answer.content.decode()
