"""People with fixed roles in a yard."""

import itertools

from django.contrib.auth.models import User

from jobs.models import Yard
from roofops.record.access import Access, Role

_names = itertools.count(1)


def access_to(yard: Yard, role: Role = Role.MANAGER) -> Access:
    """Return the access of a new person who holds this role in this yard and sees no other."""
    user = User.objects.create_user(f"{role.value}-{next(_names)}")
    return Access(user=user, role_by_yard={yard.pk: role})


def outsider() -> Access:
    """Return the access of a person of another yard."""
    user = User.objects.create_user(f"outsider-{next(_names)}")
    return Access(user=user, role_by_yard={2_000_000_000: Role.MANAGER})
