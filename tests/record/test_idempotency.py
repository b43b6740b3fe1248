"""A POST that is sent twice with one key acts once and is answered twice alike."""

import uuid
from collections.abc import Callable
from datetime import datetime

import pytest
from django.contrib.auth.models import AnonymousUser, User
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.test import RequestFactory

from roofops.record.idempotency import idempotent
from roofops.record.models import IdempotencyKey, WorkSlot

pytestmark = pytest.mark.django_db


@pytest.fixture
def people() -> tuple[User, User]:
    """Two people."""
    return User.objects.create_user("mara"), User.objects.create_user("theo")


@pytest.fixture
def post(people: tuple[User, User], noon: datetime) -> Callable[..., HttpResponse]:
    """Return a function that posts to a view which adds one row and answers with the number of rows."""

    @idempotent
    def view(request: HttpRequest) -> HttpResponse:
        WorkSlot.objects.create(name=str(uuid.uuid4()), slot=noon)
        if "refuse" in request.POST:
            return HttpResponse("typed wrongly", status=422)
        if "fault" in request.POST:
            raise RuntimeError
        if "go" in request.POST:
            return HttpResponseRedirect("/there/")
        return HttpResponse(f"{WorkSlot.objects.count()} rows", status=201, content_type="text/plain")

    def send(key: str | None, user: object = people[0], path: str = "/a/", **data: str) -> HttpResponse:
        headers = {} if key is None else {"Idempotency-Key": key}
        request = RequestFactory().post(path, data, headers=headers)
        request.user = user  # type: ignore[assignment]
        return view(request)

    return send


def test_the_repetition_gets_the_first_answer_and_changes_nothing(post: Callable[..., HttpResponse]) -> None:
    key = str(uuid.uuid4())
    first, second = post(key), post(key)
    assert (first.status_code, first.content) == (second.status_code, second.content) == (201, b"1 rows")
    assert second.headers["Content-Type"] == "text/plain"
    assert WorkSlot.objects.count() == 1


def test_a_key_in_the_form_works_like_one_in_the_header(post: Callable[..., HttpResponse]) -> None:
    key = str(uuid.uuid4())
    post(None, idempotency_key=key)
    post(None, idempotency_key=key)
    assert WorkSlot.objects.count() == 1


def test_a_redirect_is_repeated_with_its_target(post: Callable[..., HttpResponse]) -> None:
    key = str(uuid.uuid4())
    assert [post(key, go="1")["Location"] for _ in range(2)] == ["/there/", "/there/"]


def test_without_a_key_each_post_acts(post: Callable[..., HttpResponse]) -> None:
    post(None)
    post(None)
    assert WorkSlot.objects.count() == 2


def test_a_refused_form_can_be_mended_and_sent_with_the_same_key(post: Callable[..., HttpResponse]) -> None:
    key = str(uuid.uuid4())
    assert post(key, refuse="1").status_code == 422
    assert post(key).status_code == 201


def test_a_fault_leaves_neither_effect_nor_key(post: Callable[..., HttpResponse]) -> None:
    key = str(uuid.uuid4())
    with pytest.raises(RuntimeError):
        post(key, fault="1")
    assert (WorkSlot.objects.count(), IdempotencyKey.objects.count()) == (0, 0)
    assert post(key).status_code == 201


def test_a_key_of_another_request_is_refused(post: Callable[..., HttpResponse]) -> None:
    key = str(uuid.uuid4())
    post(key)
    assert post(key, path="/b/").status_code == 422
    assert WorkSlot.objects.count() == 1


def test_two_people_may_use_the_same_key(post: Callable[..., HttpResponse], people: tuple[User, User]) -> None:
    key = str(uuid.uuid4())
    post(key, people[0])
    post(key, people[1])
    assert WorkSlot.objects.count() == 2


def test_a_key_that_is_no_uuid_is_refused(post: Callable[..., HttpResponse]) -> None:
    assert post("today").status_code == 400
    assert WorkSlot.objects.count() == 0


def test_a_visitor_gets_no_stored_answers(post: Callable[..., HttpResponse]) -> None:
    key = str(uuid.uuid4())
    post(key, AnonymousUser())
    post(key, AnonymousUser())
    assert IdempotencyKey.objects.count() == 0
