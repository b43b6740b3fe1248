"""Two invented yards and the people who work there, one for each role."""

from dataclasses import dataclass

from django.contrib.auth.models import User

from jobs.models import Yard
from roofops.access.models import Membership
from roofops.record.access import Access, Role

PASSWORD = "a long invented phrase"


@dataclass(frozen=True)
class TwoYards:
    """`here` and `there` belong to the invented Pell & Marrow Roofing; everybody below works `here` only.

    `outsider` manages `there` and sees nothing of `here`; `stranger` has an account but no role anywhere.
    """

    here: Yard
    there: Yard
    manager: User
    dispatcher: User
    crew_lead: User
    outsider: User
    stranger: User

    def access(self, user: User) -> Access:
        """Return the access of one of these people, built without the middleware."""
        rows = Membership.objects.filter(user=user).values_list("yard_id", "role")
        return Access(user=user, role_by_yard={yard_id: Role(role) for yard_id, role in rows})


def yard(name: str = "Westmere yard", **fields: object) -> Yard:
    """Return a stored yard of the invented company, near Syracuse, New York."""
    given = {"company": "Pell & Marrow Roofing", "time_zone": "America/New_York", "lat": 43.05, "lon": -76.15}
    return Yard.objects.create(**{"name": name, **given, **fields})


def person(username: str, yard: Yard | None = None, role: Role | None = None) -> User:
    """Return a stored user, with a role in a yard if both are given."""
    user = User.objects.create_user(username, password=PASSWORD)
    if yard is not None and role is not None:
        Membership.objects.create(user=user, yard=yard, role=role)
    return user


def two_yards() -> TwoYards:
    """Return the small world that tests of rights share."""
    here, there = yard("Westmere yard"), yard("Eastmere yard")
    return TwoYards(
        here=here,
        there=there,
        manager=person("mara", here, Role.MANAGER),
        dispatcher=person("dirk", here, Role.DISPATCHER),
        crew_lead=person("lena", here, Role.CREW_LEAD),
        outsider=person("otto", there, Role.MANAGER),
        stranger=person("stig"),
    )
