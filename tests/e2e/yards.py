"""A real (not a demo) yard of the invented contractor for the browser: a manager, a crew of five, and no job yet."""

from dataclasses import dataclass

from django.contrib.auth.models import User

from crews.models import Crew
from jobs.models import Yard
from roofops.access.models import Membership
from roofops.record.access import Role
from tests.factories import crews
from tests.factories.jobs import SupplierFactory, YardFactory
from tests.factories.people import PASSWORD, person


@dataclass(frozen=True)
class OpenYard:
    """`manager` runs `yard`; `lead` leads `crew`, the only one there; all sign in with `password`."""

    yard: Yard
    crew: Crew
    manager: User
    lead: User
    password: str = PASSWORD


def open_yard() -> OpenYard:
    """Store the yard near 44.95 N, 93.09 W."""
    yard = YardFactory()
    SupplierFactory(yard=yard)
    crew = crews.crew(yard)
    manager = person("mara", yard, Role.MANAGER)
    lead = person("lena")
    Membership.objects.create(user=lead, yard=yard, role=Role.CREW_LEAD)
    assert crew.lead is not None
    crew.lead.user = lead
    crew.lead.save()
    return OpenYard(yard, crew, manager, lead)
