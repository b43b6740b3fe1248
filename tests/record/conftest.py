"""Background work for the tests of this folder."""

from collections.abc import Callable, Iterator
from datetime import UTC, datetime

import pytest

from roofops.record import dispatch, runners
from roofops.record.models import Work


@pytest.fixture
def noon() -> datetime:
    """A fixed moment."""
    return datetime(2026, 6, 1, 12, tzinfo=UTC)


@pytest.fixture
def queued(noon: datetime) -> Callable[..., Work]:
    """Return a function that makes a row of waiting work."""

    def make(**fields: object) -> Work:
        return Work.objects.create(**{"kind": "test", "yard_id": 1, "created_at": noon, "sent_at": noon, **fields})

    return make


@pytest.fixture
def sent(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """Collect the ids of work that the broker is told of, instead of telling it."""
    ids: list[int] = []
    monkeypatch.setattr(dispatch, "send", ids.append)
    return ids


@pytest.fixture
def no_kinds() -> Iterator[None]:
    """Let a test register runners of its own, and forget them afterwards."""
    before = dict(runners._kinds)
    yield
    runners._kinds.clear()
    runners._kinds.update(before)
