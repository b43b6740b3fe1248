"""Loads and inspections: proposing them for a job, agreeing on them, moving them."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from jobs.actions.jobs import OFFICE, LostUpdate
from jobs.models import Inspection, InspectionKind, InspectionState, Job, Load, LoadKind, LoadState, Placement, Section
from jobs.models import SupplierKind as Kind
from jobs.phases import Phase
from jobs.queries import inspection as visible_inspection
from jobs.queries import job as visible_job
from jobs.queries import load as visible_load
from jobs.queries import measured_roof, suppliers_for
from jobs.takeoff import Takeoff, takeoff
from roofops.record.access import Access, NotFound, Role
from roofops.record.actions import log


@transaction.atomic
def propose_loads(access: Access, job: Job, now: datetime) -> list[Load]:
    """Save what must come to a job and return it: materials, the container, swaps, the final haul.

    Weights and contents come from the takeoff. Loads that nobody has asked for yet are brought up to date; what was
    agreed with a supplier is left alone. Called again it adds nothing twice.

    Raises
    ------
    ValueError
        The job has no sections.
    NotFound, Forbidden
        The job is not seen, or the person is no manager or dispatcher there.
    """
    job = visible_job(access, job.pk)
    access.require(job.yard_id, *OFFICE)
    quantities = takeoff(measured_roof(job))
    there = {kind: list(job.loads.filter(kind=kind).order_by("id")) for kind in LoadKind.values}
    suppliers = {row.kind: row for row in reversed(suppliers_for(access, job.yard_id).order_by("name"))}
    proposed = []
    for wanted in _wanted_loads(job, quantities):
        same_kind = there[wanted["kind"]]
        row = same_kind.pop(0) if same_kind else Load(job=job)
        if row.pk is None or row.state == LoadState.PLANNED:
            for name, value in wanted.items():
                setattr(row, name, value)
            firm = Kind.MATERIALS if row.kind == LoadKind.MATERIALS else Kind.DUMPSTERS
            row.supplier = row.supplier or suppliers.get(firm.value)
            row.save()
        proposed.append(row)
    # Swaps that a smaller roof no longer needs, as long as nobody was asked for them.
    for row in there[LoadKind.DUMPSTER_SWAP]:
        if row.state == LoadState.PLANNED:
            row.delete()
    log(access, "loads_proposed", job, now, loads=[row.pk for row in proposed])
    return proposed


def _wanted_loads(job: Job, quantities: Takeoff) -> list[dict[str, Any]]:
    debris = quantities.debris
    full_lb = round(debris.weight_lb / debris.containers)
    container = {"container_yd3": debris.container_yd3, "placement": Placement.GROUND}
    contents = [
        {"item": line.label, "count": line.order, "unit": line.order_unit} for line in quantities.lines if line.order
    ]
    materials = {
        "kind": LoadKind.MATERIALS,
        "placement": Placement.ROOF if job.roof_drop_allowed else Placement.GROUND,
        # Dry-in sheets come with the same truck, so nothing may be opened before it is there.
        "needed_for": Phase.TEAR_OFF.value,
        "contents": contents,
        "weight_lb": round(quantities.weight_lb),
    }
    drop = {"kind": LoadKind.DUMPSTER_DROP, "needed_for": Phase.TEAR_OFF.value, "weight_lb": 0, **container}
    swaps = [
        {"kind": LoadKind.DUMPSTER_SWAP, "needed_for": "", "weight_lb": full_lb, **container}
        for _ in range(debris.containers - 1)
    ]
    haul = {"kind": LoadKind.FINAL_HAUL, "needed_for": "", "weight_lb": full_lb, **container}
    return [materials, drop, *swaps, haul]


@transaction.atomic
def set_load_state(
    access: Access,
    load_id: int,
    state: str,
    now: datetime,
    *,
    revision: int | None = None,
    slot_start: datetime | None = None,
    slot_minutes: int | None = None,
    note: str | None = None,
) -> Load:
    """Save what was agreed about a load and return it.

    Parameters
    ----------
    state
        A LoadState; CONFIRMED and MOVED need a slot, given here or agreed before.
    revision
        The revision that the page showed; None skips the check.
    slot_start
        Aware moment at which the truck comes.

    Raises
    ------
    NotFound, Forbidden
        The load is not seen, or the person is no manager or dispatcher there.
    LostUpdate
        Somebody else changed the load in between.
    ValueError
        Not a state, a slot without zone, no slot where one is needed, or a slot length outside 5 to 480 minutes.
    """
    row = visible_load(access, load_id)
    access.require(row.job.yard_id, *OFFICE)
    before, after = row.state, LoadState(state)
    if slot_start is not None and slot_start.utcoffset() is None:
        raise ValueError(_("The slot needs a time zone."))
    if after in (LoadState.CONFIRMED, LoadState.MOVED) and (slot_start or row.slot_start) is None:
        raise ValueError(_("A confirmed or moved load needs the time at which it comes."))
    if slot_minutes is not None and not 5 <= slot_minutes <= 480:
        raise ValueError(_("A slot lasts between 5 and 480 minutes."))
    wanted = row.revision if revision is None else revision
    if not Load.objects.filter(pk=row.pk, revision=wanted).update(revision=wanted + 1):
        raise LostUpdate(_("Somebody else changed this load in between; look at it again."))
    row.revision, row.state = wanted + 1, after.value
    row.slot_start = slot_start or row.slot_start
    row.slot_minutes = slot_minutes or row.slot_minutes
    row.note = row.note if note is None else note[:200]
    row.save()
    slot = row.slot_start.isoformat() if row.slot_start else None
    log(access, "load_state", row, now, yard_id=row.job.yard_id, before=before, after=row.state, slot=slot)
    return row


@transaction.atomic
def set_load_placement(
    access: Access, load_id: int, placement: str, now: datetime, *, revision: int | None = None
) -> Load:
    """Save where a load shall lie and return it; what was agreed about its time stays.

    Raises ValueError for another word, LostUpdate, NotFound and Forbidden as `set_load_state`.
    """
    row = visible_load(access, load_id)
    access.require(row.job.yard_id, *OFFICE)
    before, after = row.placement, Placement(placement)
    wanted = row.revision if revision is None else revision
    if not Load.objects.filter(pk=row.pk, revision=wanted).update(revision=wanted + 1):
        raise LostUpdate(_("Somebody else changed this load in between; look at it again."))
    row.revision, row.placement = wanted + 1, after.value
    row.save()
    log(access, "load_placement", row, now, yard_id=row.job.yard_id, before=before, after=row.placement)
    return row


@dataclass(frozen=True)
class LoadWindow:
    """What a plan asks of one load: aware moments, and where it shall lie (None leaves it)."""

    load_id: int
    not_before: datetime | None
    need_by: datetime | None
    placement: str | None = None


@transaction.atomic
def set_load_windows(access: Access, windows: Iterable[LoadWindow]) -> int:
    """Save the windows that a published plan gives to loads; return how many rows changed. Raises NotFound."""
    changed = 0
    for wanted in windows:
        row = visible_load(access, wanted.load_id)
        placement = row.placement if wanted.placement is None else Placement(wanted.placement).value
        if (row.not_before, row.need_by, row.placement) != (wanted.not_before, wanted.need_by, placement):
            row.not_before, row.need_by, row.placement = wanted.not_before, wanted.need_by, placement
            row.save(update_fields=["not_before", "need_by", "placement"])
            changed += 1
    return changed


@transaction.atomic
def book_inspection(
    access: Access,
    job_id: int,
    kind: str,
    window_start: datetime,
    window_end: datetime,
    now: datetime,
    *,
    section_id: int | None = None,
    hold_point: bool = True,
    call_ahead_hours: int = 24,
) -> Inspection:
    """Book the inspector for a job, or move what was booked of this kind and section, and return the inspection.

    Raises ValueError for moments without zone or a window that ends before it starts; NotFound where job or section do
    not exist for this person; Forbidden for who is no manager or dispatcher there.
    """
    job = visible_job(access, job_id)
    access.require(job.yard_id, *OFFICE)
    if window_start.utcoffset() is None or window_end.utcoffset() is None:
        raise ValueError(_("The inspector's window needs a time zone."))
    if window_end <= window_start:
        raise ValueError(_("The inspector's window ends before it starts."))
    if section_id is not None and not Section.objects.filter(pk=section_id, job=job).exists():
        raise NotFound("There is no such section in this job.")
    kind = InspectionKind(kind).value
    open_states = (InspectionState.TO_CALL, InspectionState.BOOKED)
    rows = Inspection.objects.filter(job=job, kind=kind, state__in=open_states)
    rows = rows.filter(section__isnull=True) if section_id is None else rows.filter(section_id=section_id)
    row = rows.first() or Inspection(job=job, kind=kind, section_id=section_id)
    row.state = InspectionState.BOOKED
    row.window_start, row.window_end = window_start, window_end
    row.hold_point, row.call_ahead_hours = hold_point, call_ahead_hours
    row.save()
    window = [window_start.isoformat(), window_end.isoformat()]
    log(access, "inspection_booked", row, now, yard_id=job.yard_id, kind=kind, window=window)
    return row


@transaction.atomic
def set_inspection_state(
    access: Access, inspection_id: int, state: str, now: datetime, *, note: str = ""
) -> Inspection:
    """Save what became of an inspection and return it; a crew lead may report it too. Raises ValueError, NotFound."""
    row = visible_inspection(access, inspection_id)
    access.require(row.job.yard_id, *OFFICE, Role.CREW_LEAD)
    before, row.state = row.state, InspectionState(state).value
    row.note = note[:200] or row.note
    row.save()
    log(access, "inspection_state", row, now, yard_id=row.job.yard_id, before=before, after=row.state)
    return row
