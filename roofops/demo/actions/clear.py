"""Removes the demo. Accounts and the log stay: who decided what outlives the data."""

from django.db import transaction

from crews.models import Assignment, Crew, Decision, JobPoint, Plan, Worker
from jobs.models import Job, Load, Supplier, Yard
from roofops.access.models import Membership
from roofops.demo.actions.pictures import remove_pictures
from roofops.demo.scenario import company
from roofops.record.models import Notice, Work
from weather.models import Cell, Point, Source


@transaction.atomic
def clear() -> None:
    """Delete the demo's yard with everything that hangs on it, and the invented weather; no other yard is touched."""
    yards = list(Yard.objects.filter(is_demo=True, company=company.COMPANY))
    for yard in yards:
        remove_pictures(yard.pk)
        # Keys that protect what they point at go first.
        Membership.objects.filter(yard=yard).delete()
        Load.objects.filter(job__yard=yard).delete()
        Supplier.objects.filter(yard=yard).delete()
        Decision.objects.filter(job__yard=yard).delete()
        JobPoint.objects.filter(job__yard=yard).delete()
        Assignment.objects.filter(plan__yard=yard).delete()
        Plan.objects.filter(yard=yard).delete()
        Job.history.filter(yard_id=yard.pk).delete()
        Job.objects.filter(yard=yard).delete()
        Crew.objects.filter(yard=yard).delete()
        Worker.objects.filter(yard=yard).delete()
        Work.objects.filter(yard_id=yard.pk).delete()
        Notice.objects.filter(yard_id=yard.pk).delete()
        yard.delete()
    Point.objects.exclude(recorded_pattern="").delete()
    Cell.objects.filter(source=Source.RECORDED).delete()
