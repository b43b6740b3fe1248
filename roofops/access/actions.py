"""Writes about roles."""

from datetime import datetime

from django.contrib.auth.models import User
from django.db import transaction

from roofops.access.models import Membership
from roofops.record.access import Access
from roofops.record.actions import log


@transaction.atomic
def note_role_change(by: User, membership: Membership, verb: str, now: datetime) -> None:
    """Write into the log of the yard who gave or took a role, and whose."""
    log(Access(user=by), verb, membership, now, user_id=membership.user_id, role=membership.role)
