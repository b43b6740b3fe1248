"""`Access` says which yards and rows a person reaches."""

import pytest
from django.contrib.auth.models import User

from roofops.record.access import Access, Forbidden, NotFound, Role

WESTMERE, OTHER, UNSEEN = 1, 2, 3


@pytest.fixture
def lead_here_manager_there() -> Access:
    """A person who leads a crew in one yard and manages another."""
    return Access(user=User(pk=7), role_by_yard={WESTMERE: Role.CREW_LEAD, OTHER: Role.MANAGER})


def test_yards_without_a_role_are_all_yards(lead_here_manager_there: Access) -> None:
    assert lead_here_manager_there.yards() == {WESTMERE, OTHER}


def test_yards_of_a_role_are_only_those(lead_here_manager_there: Access) -> None:
    assert lead_here_manager_there.yards(Role.MANAGER, Role.DISPATCHER) == {OTHER}


def test_a_role_held_elsewhere_is_forbidden_here(lead_here_manager_there: Access) -> None:
    with pytest.raises(Forbidden):
        lead_here_manager_there.require(WESTMERE, Role.MANAGER)
    lead_here_manager_there.require(OTHER, Role.MANAGER)


def test_an_unseen_yard_does_not_exist(lead_here_manager_there: Access) -> None:
    with pytest.raises(NotFound):
        lead_here_manager_there.require(UNSEEN, Role.MANAGER)
    with pytest.raises(NotFound):
        lead_here_manager_there.require(None)


def test_nobody_sees_nothing() -> None:
    assert Access.nobody().yards() == frozenset()
    assert not Access.nobody().may_see(WESTMERE)


def test_the_system_may_do_all_but_lists_no_yards() -> None:
    Access.system().require(UNSEEN, Role.MANAGER)
    with pytest.raises(ValueError, match="no list of yards"):
        Access.system().yards()


def test_nonsense_is_refused() -> None:
    with pytest.raises(ValueError, match="Nobody cannot"):
        Access(user=None, role_by_yard={WESTMERE: Role.MANAGER})
    with pytest.raises(ValueError, match="background work"):
        Access(user=User(pk=7), everywhere=True)
    with pytest.raises(ValueError):
        Access(user=User(pk=7), role_by_yard={WESTMERE: "owner"})  # type: ignore[dict-item]


def test_roles_cannot_be_changed_afterwards(lead_here_manager_there: Access) -> None:
    with pytest.raises(TypeError):
        lead_here_manager_there.role_by_yard[UNSEEN] = Role.MANAGER  # type: ignore[index]
