"""The decision log only grows."""

from datetime import UTC, datetime

import pytest
from django.contrib.auth.models import User

from roofops.record.access import Access, Role
from roofops.record.actions import log
from roofops.record.models import LogEntry, Work
from roofops.record.queries import log_entries

pytestmark = pytest.mark.django_db
NOW = datetime(2026, 6, 1, 12, tzinfo=UTC)


@pytest.fixture
def manager() -> Access:
    """The manager of yard 1."""
    return Access(user=User.objects.create_user("mara"), role_by_yard={1: Role.MANAGER})


def test_an_entry_names_who_what_when_and_why(manager: Access) -> None:
    entry = log(manager, "loosen-limit", ("limit", "closing_wind_mph"), NOW, yard_id=1, old=20, new=22, reason="lee")
    stored = LogEntry.objects.get()
    assert stored == entry
    assert (stored.actor, stored.verb, stored.subject_id, stored.at) == (
        manager.user,
        "loosen-limit",
        "closing_wind_mph",
        NOW,
    )
    assert stored.data == {"old": 20, "new": 22, "reason": "lee"}


def test_the_yard_is_taken_from_the_row(manager: Access) -> None:
    row = Work.objects.create(kind="plan", yard_id=1, created_at=NOW, sent_at=NOW)
    assert log(manager, "start", row, NOW).yard_id == 1
    assert LogEntry.objects.get().subject_type == "record.work"


def test_moments_are_stored_as_text(manager: Access) -> None:
    log(manager, "start", ("job", 3), NOW, yard_id=1, dry_in_by=NOW)
    assert LogEntry.objects.get().data == {"dry_in_by": "2026-06-01T12:00:00Z"}


def test_a_stored_entry_can_neither_be_changed_nor_deleted(manager: Access) -> None:
    entry = log(manager, "start", ("job", 3), NOW, yard_id=1)
    entry.verb = "stop"
    with pytest.raises(ValueError, match="cannot be changed"):
        entry.save()
    with pytest.raises(ValueError, match="cannot be deleted"):
        entry.delete()
    with pytest.raises(ValueError, match="cannot be changed"):
        LogEntry.objects.update(verb="stop")
    with pytest.raises(ValueError, match="cannot be deleted"):
        LogEntry.objects.filter(pk=entry.pk).delete()
    assert LogEntry.objects.get().verb == "start"


def test_a_forged_entry_does_not_replace_a_stored_one(manager: Access) -> None:
    from django.db import IntegrityError, transaction

    entry = log(manager, "start", ("job", 3), NOW, yard_id=1)
    with pytest.raises(IntegrityError), transaction.atomic():
        LogEntry(pk=entry.pk, at=NOW, verb="stop", subject_type="job", subject_id="3").save()
    assert LogEntry.objects.get().verb == "start"


def test_people_read_the_log_of_their_yards_only(manager: Access) -> None:
    mine = log(manager, "start", ("job", 3), NOW, yard_id=1)
    log(Access.system(), "start", ("job", 4), NOW, yard_id=2)
    log(Access.system(), "start", ("job", 5), NOW)
    assert list(log_entries(manager)) == [mine]
    assert list(log_entries(manager, "job", 4)) == []
    assert log_entries(Access.system()).count() == 3
