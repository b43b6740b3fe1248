"""`manage.py demo` loads the invented contractor once, makes no outside call, and never mixes with real data."""

import json
import socket
from datetime import datetime
from io import StringIO
from zoneinfo import ZoneInfo

import pytest
from django.contrib.auth.models import User
from django.core.management import CommandError, call_command

from crews.models import Crew, Decision, Plan, PlanState, ProgressEntry, Worker
from jobs.models import Contact, Job, Load, Yard
from roofops.demo.actions import DemoRefused, clear, load
from roofops.demo.scenario import company
from tests.factories.people import person, two_yards
from weather.models import Cell, Forecast, Source

pytestmark = pytest.mark.django_db
MORNING = datetime(2026, 10, 13, 9, 20, tzinfo=ZoneInfo("America/Chicago"))


@pytest.fixture
def no_network(monkeypatch: pytest.MonkeyPatch) -> list[object]:
    """Refuse every connection that Python code opens, and keep what was asked for."""
    asked: list[object] = []

    def refuse(self: socket.socket, address: object) -> None:
        asked.append(address)
        raise OSError("The demo must not call out.")

    monkeypatch.setattr(socket.socket, "connect", refuse)
    monkeypatch.setattr(socket.socket, "connect_ex", refuse)
    return asked


@pytest.fixture(autouse=True)
def short_plan(monkeypatch: pytest.MonkeyPatch) -> None:
    """Plan three days instead of fourteen: what is checked here does not depend on it."""
    monkeypatch.setattr("roofops.demo.actions.planning.DAYS", 3)


def demo(*arguments: str) -> str:
    out = StringIO()
    call_command("demo", *arguments, stdout=out)
    return out.getvalue()


def test_it_loads_everything_without_an_outside_call_and_prints_who_can_sign_in(no_network: list[object]) -> None:
    answer = json.loads(demo("--at", MORNING.isoformat(), "--json"))
    assert no_network == []
    yard = Yard.objects.get()
    assert (yard.name, yard.company, yard.is_demo) == ("Westmere yard", "Pell & Marrow Roofing", True)
    assert answer["yard"] == yard.pk
    assert (answer["jobs"], answer["crews"], answer["loaded_now"]) == (24, 4, True)
    assert Job.objects.count() == Contact.objects.count() == 24
    assert Crew.objects.count() == 4
    assert Worker.objects.count() == 20
    assert Load.objects.exists()
    assert Plan.objects.get(state=PlanState.PUBLISHED).assignments.exists()
    assert not Cell.objects.exclude(source=Source.RECORDED).exists()
    assert Forecast.objects.exists()
    assert [one["user"] for one in answer["sign_ins"]] == ["sorrel", "imre", "ruiz", "adeyemi", "okonjo", "szabo"]
    for one in answer["sign_ins"]:
        assert User.objects.get(username=one["user"], is_active=True).check_password(one["password"])


def test_loading_again_changes_nothing_and_fresh_begins_anew() -> None:
    first = load(MORNING)
    decisions = list(Decision.objects.order_by("pk").values_list("pk", "computed_at"))
    assert load(MORNING).fresh is False
    assert list(Decision.objects.order_by("pk").values_list("pk", "computed_at")) == decisions
    again = load(MORNING, anew=True)
    assert again.fresh
    assert again.yard_id != first.yard_id
    assert Yard.objects.count() == 1
    assert Job.objects.count() == 24
    assert User.objects.filter(username="sorrel").count() == 1


def test_it_refuses_to_stand_beside_a_real_company_and_touches_nothing() -> None:
    world = two_yards()
    with pytest.raises(CommandError, match="holds a company's data"):
        demo()
    clear()
    assert set(Yard.objects.all()) == {world.here, world.there}
    assert not User.objects.filter(username=company.MANAGER[0]).exists()


@pytest.mark.parametrize("rights", [{"is_superuser": True}, {"is_staff": True}, {"email": "sorrel@example.com"}])
def test_a_real_account_of_a_demo_name_never_gets_the_public_password(rights: dict[str, object]) -> None:
    somebody = person("sorrel")
    User.objects.filter(pk=somebody.pk).update(**rights)
    with pytest.raises(DemoRefused, match="sorrel"):
        load(MORNING)
    somebody.refresh_from_db()
    assert not somebody.check_password(company.PASSWORD)
    assert not Yard.objects.exists()


def test_a_load_that_fails_leaves_nothing_behind(monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*arguments: object) -> None:
        raise RuntimeError("planned fault")

    monkeypatch.setattr("roofops.demo.actions.day.publish_first_plan", fail)
    with pytest.raises(RuntimeError, match="planned fault"):
        load(MORNING)
    for model in (Yard, Job, Crew, Worker, ProgressEntry, Forecast):
        assert not model._default_manager.exists(), model


@pytest.mark.parametrize("text", ["yesterday", "2026-10-13T09:20", "2026-13-40T09:20-05:00"])
def test_a_moment_that_cannot_be_read_is_refused_in_a_sentence(text: str) -> None:
    with pytest.raises(CommandError, match="moment"):
        demo("--at", text)
