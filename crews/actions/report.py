"""Saving what the crew reports: the entry always, the totals that follow from it in the same transaction."""

import uuid
from datetime import datetime, timedelta

from django.db import transaction
from django.utils.translation import gettext as _

from crews.actions.decide import decide
from crews.models import Decision, EntryKind, ProgressEntry
from crews.progress import (
    AMOUNT_KINDS,
    RIDGE_KINDS,
    SQUARE_KINDS,
    NewEntry,
    Receipt,
    SlopeAreas,
    differs,
    done_share,
    more_than_measured,
    ridge_progress,
    slope_areas,
    totals,
)
from crews.queries.reports import may_report, reported
from crews.queries.yards import local_day
from crews.refusals import Refused
from jobs.actions.progress import set_areas, set_ridge
from jobs.models import Edge, EdgeKind, Job, JobStatus, PhaseWork, Photo, Section
from jobs.phases import Phase
from roofops.record import actions as record
from roofops.record.access import Access, NotFound

# A phone whose corrected clock runs ahead of ours is not believed further than this.
CLOCK_SLACK = timedelta(minutes=2)
# Names of the entries that keep what a slope was like before its first report.
BASELINE = "baseline"
BASELINE_SPACE = uuid.UUID("6f1f0b0a-52a6-4d5c-9a35-0d6f4c1f7a51")


def report(access: Access, entry: NewEntry, now: datetime) -> Receipt:
    """Keep one report and bring totals and today's verdict up to date; the same report again changes nothing.

    A report is never refused for its amount: more than measured is kept and marked.

    Raises
    ------
    NotFound
        The job, slope, ridge or photo is not there for this person.
    Refused
        The report's id belongs to another report.
    """
    receipt = _keep(access, entry, now)
    if not receipt.repeated:
        _judge_again(entry, now)
    return receipt


def _judge_again(entry: NewEntry, now: datetime) -> None:
    """What a crew says changes its own verdict; rain that it stands in changes those of the roofs around."""
    job = Job.objects.select_related("yard").get(pk=entry.job_id)
    today = Decision.objects.filter(in_force=True, day=local_day(now, job.yard.time_zone), job__yard_id=job.yard_id)
    if entry.kind != EntryKind.RAIN_HERE:
        today = today.filter(job=job)
    known = list(today.values_list("job_id", flat=True))
    if known:
        decide(Access.system(), job.yard_id, now, known)


@transaction.atomic
def _keep(access: Access, entry: NewEntry, now: datetime) -> Receipt:
    # The lock comes first: of two copies that arrive together the second must see the first.
    job = Job.objects.select_for_update(of=("self",)).filter(pk=entry.job_id).first()
    if job is None:
        raise NotFound("There is no such job here.")
    crew_id = may_report(access, job)
    known = ProgressEntry.objects.filter(client_uuid=entry.client_uuid).first()
    if known is not None:
        return _again(known, entry)
    section, edge = _place(entry)
    _keep_baseline(job, section, edge)
    present = _total(job.pk, entry.kind, section, edge)
    measured = _measured(entry, section, edge)
    row = ProgressEntry.objects.create(
        client_uuid=entry.client_uuid,
        device=entry.device[:64],
        sequence=entry.sequence,
        job=job,
        crew_id=crew_id,
        section=section,
        edge=edge,
        kind=entry.kind,
        phase=entry.phase,
        done_before=entry.done_before,
        done_after=entry.done_after,
        correction=entry.correction,
        more_than_measured=measured is not None and more_than_measured(entry.done_after or 0.0, measured),
        differs=entry.kind in AMOUNT_KINDS and differs(entry.done_before, present),
        note=entry.note,
        at=min(entry.at, now) if entry.at > now + CLOCK_SLACK else entry.at,
        received_at=now,
        by=access.user,
        by_name=entry.by_name[:80],
        photo=_photo(entry),
    )
    _bring_up_to_date(job, section, edge, now)
    _log(access, job, row, now)
    return _receipt(row, measured, repeated=False)


def _again(known: ProgressEntry, entry: NewEntry) -> Receipt:
    if (known.job_id, known.kind, known.section_id, known.edge_id) != (
        entry.job_id,
        entry.kind,
        entry.section_id,
        entry.edge_id,
    ):
        raise Refused("report_id_taken", _("This report carries the id of another one; nothing was saved."))
    return _receipt(known, None, repeated=True)


def _receipt(row: ProgressEntry, measured: float | None, *, repeated: bool) -> Receipt:
    counted = row.kind in AMOUNT_KINDS
    return Receipt(
        entry_id=row.pk,
        total=_total(row.job_id, row.kind, row.section, row.edge) if counted else row.done_after,
        more_than_measured=row.more_than_measured,
        differs=row.differs,
        repeated=repeated,
        measured=measured,
    )


def _place(entry: NewEntry) -> tuple[Section | None, Edge | None]:
    section = edge = None
    if entry.section_id is not None:
        section = Section.objects.filter(pk=entry.section_id, job_id=entry.job_id).first()
        if section is None:
            raise NotFound("There is no such slope on this roof.")
    if entry.edge_id is not None:
        edge = Edge.objects.filter(pk=entry.edge_id, job_id=entry.job_id).first()
        if edge is None:
            raise NotFound("There is no such ridge on this roof.")
    return section, edge


def _photo(entry: NewEntry) -> Photo | None:
    if entry.photo_id is None:
        return None
    photo = Photo.objects.filter(pk=entry.photo_id, job_id=entry.job_id).first()
    if photo is None:
        raise NotFound("There is no such photo of this roof.")
    return photo


def _measured(entry: NewEntry, section: Section | None, edge: Edge | None) -> float | None:
    """What was measured of the place that the report speaks of [squares or ft]."""
    if entry.kind not in AMOUNT_KINDS:
        return None
    if section is not None:
        return section.squares
    return edge.length_ft if edge is not None else None


def _total(job_id: int, kind: str, section: Section | None, edge: Edge | None) -> float:
    rows = ProgressEntry.objects.filter(job_id=job_id, kind=kind, section=section, edge=edge)
    found = totals(reported(row) for row in rows)
    return next(iter(found.values()), 0.0)


def _keep_baseline(job: Job, section: Section | None, edge: Edge | None) -> None:
    """Keep what a place was like before its first report, so that totals can be rebuilt from entries alone."""
    if section is not None and not ProgressEntry.objects.filter(section=section, kind__in=SQUARE_KINDS).exists():
        closed = section.dried_in_squares + section.shingled_squares
        amounts = {
            EntryKind.TORN_OFF: section.bare_squares + closed,
            EntryKind.DRIED_IN: closed,
            EntryKind.SHINGLED: section.shingled_squares,
        }
        _baseline_rows(job, amounts, section=section)
    if edge is not None and not ProgressEntry.objects.filter(edge=edge, kind__in=RIDGE_KINDS).exists():
        amounts = {
            EntryKind.RIDGE_OPENED: edge.open_ft + edge.finished_ft,
            EntryKind.RIDGE_FINISHED: edge.finished_ft,
        }
        _baseline_rows(job, amounts, edge=edge)


def _baseline_rows(
    job: Job, amounts: dict[EntryKind, float], section: Section | None = None, edge: Edge | None = None
) -> None:
    place = f"section {section.pk}" if section is not None else f"edge {edge.pk if edge else ''}"
    ProgressEntry.objects.bulk_create(
        ProgressEntry(
            client_uuid=uuid.uuid5(BASELINE_SPACE, f"{place} {kind}"),
            device=BASELINE,
            job=job,
            section=section,
            edge=edge,
            kind=kind,
            done_after=round(amount, 4),
            correction=True,
            note=BASELINE,
            at=job.created_at,
            received_at=job.created_at,
        )
        for kind, amount in amounts.items()
        if amount > 0
    )


def _bring_up_to_date(job: Job, section: Section | None, edge: Edge | None, now: datetime) -> None:
    if section is not None:
        _update_section(section)
    if edge is not None:
        _update_edge(job, edge)
    started = section is not None and section.old_squares < section.squares - 0.01
    if job.status == JobStatus.SIGNED and started:
        job.status = JobStatus.AT_WORK
        job.save(update_fields=["status"])


def section_areas(section: Section) -> SlopeAreas:
    """The areas of a slope as its reports say; as they are stored where nobody has reported."""
    rows = ProgressEntry.objects.filter(section=section, kind__in=SQUARE_KINDS)
    found = {kind: amount for (kind, _place_id), amount in totals(reported(row) for row in rows).items()}
    if not found:
        return SlopeAreas(section.old_squares, section.bare_squares, section.dried_in_squares, section.shingled_squares)
    return slope_areas(
        section.squares, found.get("torn_off", 0.0), found.get("dried_in", 0.0), found.get("shingled", 0.0)
    )


def _update_section(section: Section) -> None:
    areas = section_areas(section)
    set_areas(section, bare_squares=areas.bare, dried_in_squares=areas.dried_in, shingled_squares=areas.shingled)
    section.old_squares = areas.old
    for row in PhaseWork.objects.filter(section=section):
        row.done_labor_hours = row.planned_labor_hours * done_share(Phase(row.phase), areas)
        row.save(update_fields=["done_labor_hours"])


def _update_edge(job: Job, edge: Edge) -> None:
    rows = ProgressEntry.objects.filter(edge=edge, kind__in=RIDGE_KINDS)
    found = {kind: amount for (kind, _place_id), amount in totals(reported(row) for row in rows).items()}
    if found:
        state = ridge_progress(edge.length_ft, found.get("ridge_opened", 0.0), found.get("ridge_finished", 0.0))
        set_ridge(edge, open_ft=state.open_ft, finished_ft=state.finished_ft)
    lines = list(Edge.objects.filter(job=job, kind__in=(EdgeKind.RIDGE, EdgeKind.HIP)))
    length = sum(line.length_ft for line in lines)
    share = sum(min(line.finished_ft, line.length_ft) for line in lines) / length if length else 0.0
    for row in PhaseWork.objects.filter(job=job, section__isnull=True, phase=Phase.RIDGE):
        row.done_labor_hours = row.planned_labor_hours * share
        row.save(update_fields=["done_labor_hours"])


def _log(access: Access, job: Job, row: ProgressEntry, now: datetime) -> None:
    record.log(
        access,
        "reported",
        job,
        now,
        entry=row.pk,
        kind=row.kind,
        section=row.section_id,
        edge=row.edge_id,
        before=row.done_before,
        after=row.done_after,
        more_than_measured=row.more_than_measured,
        differs=row.differs,
        correction=row.correction,
    )
