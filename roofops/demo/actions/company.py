"""The demo's yard, suppliers and office people."""

from django.contrib.auth.models import User

from jobs.models import Supplier, Yard
from roofops.access.models import Membership
from roofops.demo.dates import Calendar
from roofops.demo.scenario import company
from roofops.demo.scenario.suppliers import SUPPLIERS
from roofops.record.access import Role


class DemoRefused(Exception):
    """The demo would mix invented data with a real company's."""


def open_yard(calendar: Calendar) -> Yard:
    """Save the yard with its suppliers; only a yard marked as a demo may be served by invented weather."""
    yard = Yard(
        name=company.YARD,
        company=company.COMPANY,
        time_zone=company.TIME_ZONE,
        lat=company.YARD_LAT,
        lon=company.YARD_LON,
        phone=company.PHONE,
        shift_start=company.SHIFT_START,
        shift_end=company.SHIFT_END,
        decide_by=company.DECIDE_BY,
        # The weekday of loading is a work day here, so that Today has roofs at work on a weekend, too.
        work_weekdays=calendar.weekday_digits,
        roof_drops_per_day=company.ROOF_DROPS_PER_DAY,
        dumpsters_per_day=company.DUMPSTERS_PER_DAY,
        is_demo=True,
    )
    yard.full_clean()
    yard.save()
    for story in SUPPLIERS:
        supplier = Supplier(
            yard=yard,
            name=story.name,
            kind=story.kind,
            phone=story.phone,
            loads_per_day=story.loads_per_day,
            order_cutoff=story.order_cutoff,
            truck_payload_lb=story.truck_payload_lb,
        )
        supplier.full_clean()
        supplier.save()
    return yard


def open_office(yard: Yard) -> User:
    """Save the manager and the dispatcher with their roles, and return the manager."""
    manager = sign_in_for(*company.MANAGER)
    Membership.objects.create(user=manager, yard=yard, role=Role.MANAGER)
    dispatcher = sign_in_for(*company.DISPATCHER)
    Membership.objects.create(user=dispatcher, yard=yard, role=Role.DISPATCHER)
    return manager


def sign_in_for(user_name: str, first_name: str, last_name: str) -> User:
    """Return the person's account with the demo password; an account of an earlier demo is used again.

    The log keeps who decided what, so accounts outlive the demo data that `clear` removes.

    Raises DemoRefused where the name belongs to somebody real: a public password must not open their account.
    """
    user, made = User.objects.get_or_create(username=user_name)
    if not made and (user.is_staff or user.is_superuser or user.memberships.exists() or user.email):
        raise DemoRefused(f"The user name “{user_name}” is taken by somebody who is not of the demo.")
    user.first_name, user.last_name, user.is_active = first_name, last_name, True
    user.set_password(company.PASSWORD)
    user.save()
    return user
