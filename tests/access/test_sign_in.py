"""Signing in and out."""

import pytest
from django.contrib.auth.models import User
from django.test import Client

from tests.factories.people import PASSWORD, TwoYards, two_yards

pytestmark = pytest.mark.django_db


@pytest.fixture
def world() -> TwoYards:
    """Two yards and their people."""
    return two_yards()


def sign_in(client: Client, username: str, password: str = PASSWORD, **data: str):  # noqa: ANN201
    """Post the sign-in form."""
    return client.post("/sign-in/", {"username": username, "password": password, **data})


def test_the_form_is_shown_with_labels(client: Client) -> None:
    page = client.get("/sign-in/")
    assert page.status_code == 200
    for text in (
        'for="id_username"',
        'for="id_password"',
        'autocomplete="username"',
        'autocomplete="current-password"',
    ):
        assert text in page.content.decode()


def test_the_right_password_leads_to_the_start(client: Client, world: TwoYards) -> None:
    answer = sign_in(client, "mara")
    assert (answer.status_code, answer["Location"]) == (302, "/")
    assert client.session["_auth_user_id"] == str(world.manager.pk)


def test_next_leads_back_to_the_page_that_was_asked_for(client: Client, world: TwoYards) -> None:
    assert sign_in(client, "mara", next="/plan/?day=2")["Location"] == "/plan/?day=2"


@pytest.mark.parametrize("target", ["https://elsewhere.example/", "//elsewhere.example/", "javascript:alert(1)"])
def test_next_never_leads_to_another_site(client: Client, world: TwoYards, target: str) -> None:
    assert sign_in(client, "mara", next=target)["Location"] == "/"


def test_a_wrong_password_says_no_more_than_a_wrong_name_and_keeps_what_was_typed(
    client: Client, world: TwoYards
) -> None:
    wrong_password, wrong_name = sign_in(client, "mara", "no"), sign_in(client, "nobody", "no")
    assert wrong_password.status_code == wrong_name.status_code == 422
    for page in (wrong_password, wrong_name):
        assert "User name and password do not fit." in page.content.decode()
    assert 'value="mara"' in wrong_password.content.decode()


def test_a_closed_account_is_refused_like_a_wrong_password(client: Client, world: TwoYards) -> None:
    User.objects.filter(pk=world.manager.pk).update(is_active=False)
    page = sign_in(client, "mara")
    assert page.status_code == 422
    assert "User name and password do not fit." in page.content.decode()


def test_an_account_closed_while_signed_in_sees_nothing_more(client: Client, world: TwoYards) -> None:
    client.force_login(world.manager, "django.contrib.auth.backends.ModelBackend")
    User.objects.filter(pk=world.manager.pk).update(is_active=False)
    client.get("/healthz")
    assert not client.get("/sign-in/").wsgi_request.user.is_authenticated


def test_five_bad_tries_lock_this_person_at_this_place_only(client: Client, world: TwoYards) -> None:
    answers = [sign_in(client, "mara", "wrong").status_code for _ in range(5)]
    assert answers == [422, 422, 422, 422, 429]
    locked = sign_in(client, "mara")
    assert locked.status_code == 429
    assert "Too many tries" in locked.content.decode()
    assert sign_in(client, "dirk").status_code == 302
    elsewhere = Client(REMOTE_ADDR="192.0.2.7")
    assert sign_in(elsewhere, "mara").status_code == 302


def test_a_forged_forwarding_header_does_not_escape_the_lock(client: Client, world: TwoYards) -> None:
    for number in range(5):
        data = {"username": "mara", "password": "wrong"}
        client.post("/sign-in/", data, headers={"X-Forwarded-For": f"192.0.2.{number}"})
    answer = client.post(
        "/sign-in/", {"username": "mara", "password": PASSWORD}, headers={"X-Forwarded-For": "192.0.2.99"}
    )
    assert answer.status_code == 429


def test_signing_out_needs_a_post(client: Client, world: TwoYards) -> None:
    client.force_login(world.manager, "django.contrib.auth.backends.ModelBackend")
    assert client.get("/sign-out/").status_code == 405
    answer = client.post("/sign-out/")
    assert (answer.status_code, answer["Location"]) == (302, "/sign-in/")
    assert "_auth_user_id" not in client.session


def test_a_post_without_the_csrf_token_is_refused(world: TwoYards) -> None:
    assert sign_in(Client(enforce_csrf_checks=True), "mara").status_code == 403


def test_a_new_session_key_is_given_at_sign_in(client: Client, world: TwoYards) -> None:
    session = client.session
    session["visited"] = True
    session.save()
    before = client.session.session_key
    sign_in(client, "mara")
    assert client.session.session_key != before
