"""Who asks, and in which yards they hold which role. Every query and action takes one `Access`."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from types import MappingProxyType
from typing import Self, TypeVar

from django.contrib.auth.models import User
from django.db.models import Model, QuerySet

AnyModel = TypeVar("AnyModel", bound=Model)


class Role(StrEnum):
    """What a person may do in one yard."""

    MANAGER = "manager"
    DISPATCHER = "dispatcher"
    CREW_LEAD = "crew_lead"


class Forbidden(Exception):
    """The person sees the yard but does not hold the role that this needs."""


class NotFound(Exception):
    """The row does not exist for this person: it is not there, or in a yard they do not see."""


@dataclass(frozen=True)
class Access:
    """The rights of one request, task or command.

    Parameters
    ----------
    user
        The signed-in person; None for nobody and for background work.
    role_by_yard
        The role in each yard by the yard's primary key; a yard that is not named is not seen.
    everywhere
        Sees and may do all. For background work and commands only, made by `Access.system`.
    """

    user: User | None
    role_by_yard: Mapping[int, Role] = field(default_factory=dict)
    everywhere: bool = False

    def __post_init__(self) -> None:
        if self.everywhere and self.user is not None:
            raise ValueError("Access everywhere is for background work and commands, not for a signed-in person.")
        if self.user is None and self.role_by_yard:
            raise ValueError("Nobody cannot hold a role.")
        roles = {int(yard_id): Role(role) for yard_id, role in self.role_by_yard.items()}
        object.__setattr__(self, "role_by_yard", MappingProxyType(roles))

    @classmethod
    def system(cls) -> Self:
        """Return the access of background work and commands: everything, in nobody's name."""
        return cls(user=None, everywhere=True)

    @classmethod
    def nobody(cls) -> Self:
        """Return the access of a visitor who has not signed in: nothing."""
        return cls(user=None)

    def yards(self, *roles: Role) -> frozenset[int]:
        """Return the yards in which one of these roles is held; any role counts when none is named.

        Raises
        ------
        ValueError
            Asked of `Access.system`, which is not bound to named yards; use `scope` or `may_see`.
        """
        if self.everywhere:
            raise ValueError("Access everywhere has no list of yards.")
        wanted = frozenset(roles) or frozenset(Role)
        return frozenset(yard_id for yard_id, role in self.role_by_yard.items() if role in wanted)

    def role(self, yard_id: int | None) -> Role | None:
        """Return the role in this yard, None where none is held."""
        return None if yard_id is None else self.role_by_yard.get(yard_id)

    def may_see(self, yard_id: int | None, *roles: Role) -> bool:
        """Say whether one of these roles (any, when none is named) is held in this yard."""
        if self.everywhere:
            return True
        role = self.role(yard_id)
        return role is not None and (not roles or role in roles)

    def scope(
        self, queryset: QuerySet[AnyModel], path: str = "yard_id", roles: Iterable[Role] = ()
    ) -> QuerySet[AnyModel]:
        """Return only the rows of yards that are seen.

        Parameters
        ----------
        queryset
            The rows to filter.
        path
            The lookup from a row to its yard's primary key, such as `section__job__yard_id`.
        roles
            Only yards in which one of these is held; empty: any role.
        """
        if self.everywhere:
            return queryset
        return queryset.filter(**{f"{path}__in": self.yards(*roles)})

    def require(self, yard_id: int | None, *roles: Role) -> None:
        """Return if one of these roles (any, when none is named) is held in this yard.

        Raises
        ------
        NotFound
            No role at all is held there: the yard does not exist for this person.
        Forbidden
            The yard is seen, but none of these roles is held.
        """
        if not self.may_see(yard_id):
            raise NotFound("There is no such thing here.")
        if not self.may_see(yard_id, *roles):
            raise Forbidden("This needs another role.")
