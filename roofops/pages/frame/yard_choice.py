"""Which yard a page speaks of: the one named in the address, else the first in which the role is held."""

from django.http import HttpRequest

from roofops.access.requests import access_for
from roofops.record.access import NotFound, Role

OFFICE = (Role.MANAGER, Role.DISPATCHER)


def chosen_yard(request: HttpRequest, *roles: Role) -> int:
    """Return the yard's primary key.

    Raises
    ------
    NotFound
        The named yard is not seen, or no yard is.
    """
    access = access_for(request)
    held = access.yards(*(roles or OFFICE))
    named = request.GET.get("yard") or request.POST.get("yard") or ""
    if named:
        if not named.isdecimal() or int(named) not in held:
            raise NotFound("There is no such yard here.")
        return int(named)
    if not held:
        raise NotFound("There is no yard here.")
    return min(held)
