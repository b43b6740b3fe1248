"""A roof whose data cannot be read or judged: it is unknown, and kept closed until they can be."""

from dataclasses import replace
from datetime import date, datetime

from django.db import transaction
from django.db.models import Sum

from crews.actions.verdicts import Decided, Standing, add_version, tell_crew
from crews.models import Decision
from crews.planner.verdict import DayVerdict
from crews.queries.day_inputs import DueRoof, OfficeOrder
from crews.queries.decisions import day_decisions, verdict_of_row
from crews.queries.yards import on_day
from crews.verdict.changes import Basis
from crews.verdict.day_verdict import Moments, unreadable
from crews.verdict.ruling import in_force as tightest
from crews.verdict.ruling import tightens, with_past
from jobs.models import Edge, Job, Section
from roofops.record.access import Access

# As a basis it differs from any that can be computed, so the next round judges the roof in full.
UNREADABLE = "unreadable"


@transaction.atomic
def keep_unreadable_closed(access: Access, roof: DueRoof, day: date, now: datetime) -> Decided:
    """Put 'unknown, keep it closed' in force; what is stricter already stays, and nothing looser waits any more."""
    job = Job.objects.select_for_update(of=("self",)).get(pk=roof.job.pk)
    known = day_decisions([job.pk], day)[job.pk]
    row, old = known.in_force, _verdict(known.in_force)
    moments = Moments(now, *on_day(roof.job.yard, day).axis())
    result = unreadable(row.dry_in_by if row else None, *_lying_open(job.pk), moments)
    if row is not None and old is not None and not tightens(result.verdict, old, now):
        Decision.objects.filter(job=job, day=day, waiting=True).update(waiting=False)
        return Decided(job.pk, row.pk, changed=False, waits=False)
    verdict = result.verdict
    if old is not None:
        verdict = replace(tightest(old, with_past(verdict, old, now), now), dry_in_by=old.dry_in_by)
    standing = Standing(roof, day, OfficeOrder.of(row), now, Basis(None, False, UNREADABLE, now))
    fresh = add_version(standing, known, verdict, result.run, in_force=True)
    tell_crew(access, fresh, now)
    return Decided(job.pk, fresh.pk, changed=True, waits=False)


def _verdict(row: Decision | None) -> DayVerdict | None:
    """What was in force, as far as it can be read."""
    try:
        return None if row is None else verdict_of_row(row)
    except (KeyError, TypeError, ValueError):
        return None


def _lying_open(job_id: int) -> tuple[float, float]:
    """Bare squares and feet of open ridge as they are stored; nothing else of the roof is read."""
    bare = Section.objects.filter(job_id=job_id).aggregate(sum=Sum("bare_squares"))["sum"]
    feet = Edge.objects.filter(job_id=job_id).aggregate(sum=Sum("open_ft"))["sum"]
    return max(0.0, bare or 0.0), max(0.0, feet or 0.0)
