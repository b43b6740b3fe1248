"""The rows of the Plan page: each crew's jobs as bars, and where the published plan has those that move."""

from collections.abc import Sequence
from datetime import date, timedelta

from crews.boards.plan import Blocker, PlanBar, PlanCrewRow, Segment, SnapLine
from crews.models import Assignment
from crews.plan_data import day_from_data
from crews.plan_segments import LEAVES, phase_spans
from crews.planner.table_labor import squares_on_a_dry_day
from crews.queries.plans_shown import ShownPlans, bar_change, blockers_of, is_started
from crews.queries.rosters import crews_for, roster_of, shift_hours, with_people
from crews.queries.yards import local_day
from crews.roster import CrewRoster, crew_days
from jobs.models import Yard
from jobs.production import phase_hours
from jobs.production_table import CLEAN_UP_MINUTES, LATER_SET_UP_MINUTES
from jobs.queries import measured_roof, ready
from roofops.record.access import Access


def crew_rows(access: Access, yard: Yard, shown: ShownPlans, first: date, n_days: int) -> tuple[PlanCrewRow, ...]:
    """One row for each crew that is seen."""
    blockers = blockers_of(shown)
    ids = list(crews_for(access, yard.pk).values_list("pk", flat=True))
    rows = []
    for crew in with_people(ids).order_by("name"):
        roster = roster_of(crew)
        mine = [row for row in shown.main if row.crew_id == crew.pk]
        bars = tuple(_bar(row, shown, blockers) for row in mine)
        rows.append(
            PlanCrewRow(
                crew_id=crew.pk,
                name=crew.name,
                subcontract=roster.subcontract,
                people=_people(roster, first, n_days),
                squares_a_day=_squares_a_day(roster, yard, first, n_days, [row.job_id for row in mine], shown),
                bars=bars,
                snap_lines=_snaps(crew.pk, shown),
                as_published=all(bar.change.code == "same" for bar in bars) and not _snaps(crew.pk, shown),
            )
        )
    return tuple(rows)


def _people(roster: CrewRoster, first: date, n_days: int) -> float:
    """The usual number of people: the most on any day shown."""
    return float(max((len(roster.people(first + timedelta(days=n))) for n in range(n_days)), default=0))


def _squares_a_day(
    roster: CrewRoster, yard: Yard, first: date, n_days: int, job_ids: Sequence[int], shown: ShownPlans
) -> float | None:
    """The crew's squares on a full dry day, by the table hours of its own jobs and its learned speed; None: no job."""
    jobs = [shown.jobs[pk] for pk in dict.fromkeys(job_ids) if pk in shown.jobs and shown.jobs[pk].sections.all()]
    roofs = [measured_roof(job) for job in jobs]
    squares = sum(roof.squares for roof in roofs)
    hours = shift_hours(yard)
    days = crew_days(roster, hours, first, n_days)
    if not days or not squares > 0:
        return None
    per_square = sum(phase_hours(roof).labor_hours for roof in roofs) / squares
    fullest = max(days, key=lambda day: day.people)
    return squares_on_a_dry_day(fullest, per_square, LATER_SET_UP_MINUTES, CLEAN_UP_MINUTES)


def _bar(row: Assignment, shown: ShownPlans, blockers: Sequence[Blocker]) -> PlanBar:
    job = shown.jobs.get(row.job_id)
    days = [day_from_data(day) for day in row.days]
    segments = tuple(
        Segment(span.start, span.end, span.phase, LEAVES.get(span.phase, "none"))
        for day in days
        for span in phase_spans(day)
    )
    last = local_day(row.finish_p50, shown.zone)
    return PlanBar(
        assignment_id=row.pk,
        job_id=row.job_id,
        number=job.number if job else "",
        name=job.short_name if job else "",
        squares=sum(s.squares for s in job.sections.all()) if job else 0.0,
        start=row.start,
        end=row.finish_p50,
        finish_p90=row.finish_p90,
        segments=segments,
        pinned=row.pinned,
        pencilled=row.pencilled,
        change=bar_change(row, shown),
        broken=tuple(blocker for blocker in blockers if blocker.job_id == row.job_id),
        reasons=tuple(said["text"] for said in row.reasons),
        not_ready=tuple(item.kind for item in ready(job)) if job else (),
        late_days=max(0, (last - job.promised_by).days) if job and job.promised_by else 0,
        started=bool(job and is_started(job)),
    )


def _snaps(crew_id: int, shown: ShownPlans) -> tuple[SnapLine, ...]:
    """Published places of this crew's jobs that move, or that another crew gets."""
    if shown.plan is shown.published:
        return ()
    now = {row.job_id: row for row in shown.main}
    found = []
    for job_id, old in shown.before.items():
        if old.crew_id != crew_id:
            continue
        new = now.get(job_id)
        if new is not None and bar_change(new, shown).code == "same":
            continue
        job = shown.jobs.get(job_id)
        to = shown.crews.get(new.crew_id, "") if new is not None and new.crew_id != crew_id else ""
        found.append(SnapLine(job_id, job.short_name if job else "", old.start, old.finish_p50, to))
    return tuple(found)
