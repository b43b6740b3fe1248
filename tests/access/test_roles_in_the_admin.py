"""Only an administrator gives and takes roles, and each change is in the log."""

import pytest
from django.contrib.auth.models import User
from django.test import Client

from roofops.access.models import Membership
from roofops.record.models import LogEntry
from tests.factories.people import TwoYards, two_yards

pytestmark = pytest.mark.django_db


@pytest.fixture
def world() -> TwoYards:
    """Two yards and their people."""
    return two_yards()


@pytest.fixture
def administrator() -> Client:
    """A browser in which a superuser is signed in."""
    client = Client()
    user = User.objects.create_superuser("ada")
    client.force_login(user, "django.contrib.auth.backends.ModelBackend")
    return client


def test_a_role_given_and_taken_is_logged_with_who_and_whose(administrator: Client, world: TwoYards) -> None:
    form = {"user": world.stranger.pk, "yard": world.here.pk, "role": "dispatcher"}
    assert administrator.post("/admin/access/membership/add/", form).status_code == 302
    membership = Membership.objects.get(user=world.stranger)
    address = f"/admin/access/membership/{membership.pk}/delete/"
    assert administrator.post(address, {"post": "yes"}).status_code == 302
    assert not Membership.objects.filter(user=world.stranger).exists()
    entries = LogEntry.objects.order_by("pk").values_list("verb", "actor__username", "yard_id", "data")
    data = {"user_id": world.stranger.pk, "role": "dispatcher"}
    assert list(entries) == [
        ("give-role", "ada", world.here.pk, data),
        ("take-role", "ada", world.here.pk, data),
    ]


def test_a_second_role_in_the_same_yard_is_refused(administrator: Client, world: TwoYards) -> None:
    form = {"user": world.manager.pk, "yard": world.here.pk, "role": "dispatcher"}
    page = administrator.post("/admin/access/membership/add/", form)
    assert page.status_code == 200
    assert Membership.objects.get(user=world.manager).role == "manager"


@pytest.mark.parametrize("address", ["record/logentry/", "record/work/", "record/notice/", "access/membership/"])
def test_the_lists_open(administrator: Client, world: TwoYards, address: str) -> None:
    assert administrator.get(f"/admin/{address}").status_code == 200


def test_the_log_cannot_be_changed_in_the_admin_either(administrator: Client, world: TwoYards) -> None:
    assert administrator.get("/admin/record/logentry/add/").status_code == 403
