"""What the crews app's commands share: the yard that is meant, moments and days as typed, JSON as printed."""

import json
from argparse import ArgumentTypeError
from datetime import UTC, date, datetime
from typing import Any

from django.core.management.base import CommandError
from django.core.serializers.json import DjangoJSONEncoder

from jobs.models import Yard
from jobs.queries import yards_for
from roofops.record.access import Access

YARD_HELP = "the yard; may be left out where there is one"


def yard_named(name: str) -> Yard:
    """Return the yard of a name, or the only yard.

    Raises CommandError where the name is not there, or none is given and there are several.
    """
    yards = yards_for(Access.system())
    found = list(yards.filter(name=name) if name else yards[:2])
    if len(found) == 1:
        return found[0]
    names = ", ".join(yards.values_list("name", flat=True)) or "none yet"
    raise CommandError(f"There is no yard “{name}”." if name else f"Say which yard with --yard: {names}.")


def moment(text: str) -> datetime:
    """Return a typed moment; one without a zone is UTC."""
    try:
        found = datetime.fromisoformat(text.replace("Z", "+00:00"))
    except ValueError as error:
        raise ArgumentTypeError(f"“{text}” is no moment; write it like 2026-10-13T14:20Z.") from error
    return found.replace(tzinfo=UTC) if found.tzinfo is None else found.astimezone(UTC)


def day(text: str) -> date:
    """Return a typed day."""
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise ArgumentTypeError(f"“{text}” is no day; write it like 2026-10-13.") from error


def as_json(value: Any) -> str:
    """Return a value as printed JSON."""
    return json.dumps(value, cls=DjangoJSONEncoder, ensure_ascii=False, indent=2)


def iso(value: datetime | None) -> str | None:
    """Return a moment as ISO text in UTC."""
    return None if value is None else value.astimezone(UTC).isoformat().replace("+00:00", "Z")
