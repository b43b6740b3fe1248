"""Loads and inspections as one person sees them."""

from collections.abc import Iterable
from datetime import datetime

from django.db.models import Q, QuerySet

from jobs.models import Inspection, Load, LoadState, Supplier, Yard
from roofops.record.access import Access, NotFound

OPEN_LOAD_STATES = (
    LoadState.PLANNED,
    LoadState.ASKED,
    LoadState.CONFIRMED,
    LoadState.MOVED,
    LoadState.SHORT,
    LoadState.REFUSED,
)


def loads_between(access: Access, start: datetime, end: datetime, *, yard_id: int | None = None) -> QuerySet[Load]:
    """Return the loads whose agreed slot begins, or that without a slot must come, in [start, end); aware moments."""
    queryset = access.scope(Load.objects.select_related("job__yard", "supplier"), "job__yard_id")
    if yard_id is not None:
        queryset = queryset.filter(job__yard_id=yard_id)
    by_slot = Q(slot_start__gte=start, slot_start__lt=end)
    by_need = Q(slot_start__isnull=True, need_by__gte=start, need_by__lt=end)
    return queryset.filter(by_slot | by_need).order_by("need_by", "slot_start", "id")


def loads_of(access: Access, job_ids: Iterable[int], *, states: Iterable[str] | None = None) -> QuerySet[Load]:
    """Return the loads of some jobs; None gives every state."""
    queryset = access.scope(Load.objects.select_related("job__yard", "supplier"), "job__yard_id")
    queryset = queryset.filter(job_id__in=list(job_ids))
    return queryset if states is None else queryset.filter(state__in=list(states))


def load(access: Access, load_id: int) -> Load:
    """Return one load; NotFound where it does not exist for this person."""
    found = access.scope(Load.objects.select_related("job__yard", "supplier"), "job__yard_id").filter(pk=load_id)
    row = found.first()
    if row is None:
        raise NotFound("There is no such load here.")
    return row


def inspections_for(access: Access, *, job_ids: Iterable[int] | None = None) -> QuerySet[Inspection]:
    """Return inspections with their jobs; None gives those of every job seen."""
    queryset = access.scope(Inspection.objects.select_related("job__yard", "section"), "job__yard_id")
    return queryset if job_ids is None else queryset.filter(job_id__in=list(job_ids))


def inspection(access: Access, inspection_id: int) -> Inspection:
    """Return one inspection; NotFound where it does not exist for this person."""
    row = inspections_for(access).filter(pk=inspection_id).first()
    if row is None:
        raise NotFound("There is no such inspection here.")
    return row


def suppliers_for(access: Access, yard_id: int) -> QuerySet[Supplier]:
    """Return the suppliers of a yard."""
    return access.scope(Supplier.objects.filter(yard_id=yard_id))


def yard(access: Access, yard_id: int) -> Yard:
    """Return one yard; NotFound where this person does not see it."""
    found = access.scope(Yard.objects.all(), "pk").filter(pk=yard_id).first()
    if found is None:
        raise NotFound("There is no such yard here.")
    return found


def yards_for(access: Access) -> QuerySet[Yard]:
    """Return the yards this person sees."""
    return access.scope(Yard.objects.all(), "pk")
