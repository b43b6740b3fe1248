"""Reads a person's roles."""

from django.contrib.auth.base_user import AbstractBaseUser
from django.contrib.auth.models import AnonymousUser, User

from roofops.access.models import Membership
from roofops.record.access import Access, Role


def access_of(user: AbstractBaseUser | AnonymousUser) -> Access:
    """Return the access of a signed-in person by their memberships; nobody's for a visitor or a closed account."""
    if not isinstance(user, User) or not user.is_active:
        return Access.nobody()
    rows = Membership.objects.filter(user=user).values_list("yard_id", "role")
    return Access(user=user, role_by_yard={yard_id: Role(role) for yard_id, role in rows})
