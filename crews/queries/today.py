"""Today: one row per roof at work or due, the most urgent first."""

from collections import Counter
from datetime import date, datetime, timedelta

from crews.boards.today import TodayBoard, TodayRow
from crews.queries.day_inputs import due_roofs
from crews.queries.due import due_on
from crews.queries.roof_rows import judged_today, leads_of, notices_of, photos_of, today_row
from crews.queries.skies import SkyReader
from crews.queries.strips import axis_of
from crews.queries.yards import YardDay, yard_day, yard_seen
from jobs.models import Job
from roofops.record.access import Access, Role

OPEN_SQUARES = 0.05
LOOK_AHEAD_DAYS = 14


def today_board(access: Access, yard_id: int, now: datetime) -> TodayBoard:
    """The whole page of today for the office.

    Raises NotFound where the yard is not seen, Forbidden for a crew lead: the day sheet is theirs.
    """
    yard = yard_seen(access, yard_id)
    access.require(yard_id, Role.MANAGER, Role.DISPATCHER)
    today = yard_day(yard, now)
    reader = SkyReader(yard, now)
    judged = judged_today(due_roofs(yard, due_on(yard_id, today.day), today.day, now, reader), today.day, now)
    axis = axis_of([one.roof for one in judged], today.day, today.axis())
    leads = leads_of([one.roof for one in judged])
    notices = notices_of([one.row for one in judged if one.row is not None])
    photos = photos_of([one.roof.job.pk for one in judged], today)
    rows = [today_row(one, today.day, axis, now, leads=leads, notices=notices, photos=photos) for one in judged]
    return _board(access, today, now, _sorted(rows), reader, axis)


def today_rows(access: Access, yard_id: int, now: datetime) -> list[TodayRow]:
    """The rows of today, the most urgent first."""
    return list(today_board(access, yard_id, now).rows)


def _sorted(rows: list[TodayRow]) -> tuple[TodayRow, ...]:
    """By the time at which a decision is due, bare roofs first among equals."""
    far = datetime.max.replace(tzinfo=rows[0].strip.start.tzinfo) if rows else None
    return tuple(
        sorted(
            rows,
            key=lambda row: (
                row.due_at or far,
                row.line.bare_now_squares + row.line.open_ridge_now_ft <= OPEN_SQUARES,
                row.job.number,
            ),
        )
    )


def _board(
    access: Access,
    today: YardDay,
    now: datetime,
    rows: tuple[TodayRow, ...],
    reader: SkyReader,
    axis: tuple[datetime, datetime],
) -> TodayBoard:
    changed = [row for row in rows if row.change is not None and row.change.any]
    limits = [(row.job.street, row.line.dry_in_by) for row in rows if row.line.dry_in_by and row.line.dry_in_by > now]
    open_now = [r for r in rows if r.line.bare_now_squares > OPEN_SQUARES or r.line.open_ridge_now_ft > OPEN_SQUARES]
    return TodayBoard(
        yard_id=today.yard.pk,
        yard_name=today.yard.name,
        company=today.yard.company,
        zone=today.zone,
        day=today.day,
        now=now,
        rows=rows,
        forecast=reader.over_yard(today.day, 2).note,
        counts=dict(Counter(row.line.verdict for row in rows)),
        open_roofs=len(open_now),
        axis_start=axis[0],
        axis_end=axis[1],
        next_limit=min(limits, key=lambda pair: pair[1], default=None),
        since=min((row.change.since for row in rows if row.change), default=None),
        changed=len(changed),
        changed_worse=sum(1 for row in changed if row.change and row.change.tighter),
        may_decide=access.may_see(today.yard.pk, Role.MANAGER),
        may_tighten=access.may_see(today.yard.pk, Role.MANAGER, Role.DISPATCHER),
        next_work=None if rows else _next_work(today),
    )


def _next_work(today: YardDay) -> tuple[date, str] | None:
    for offset in range(1, LOOK_AHEAD_DAYS + 1):
        day = today.day + timedelta(days=offset)
        found = [due for due in due_on(today.yard.pk, day) if due.start is not None]
        if found:
            first = min(found, key=lambda due: due.start or today.end)
            street = Job.objects.filter(pk=first.job_id).values_list("street", flat=True).first()
            return day, street or ""
    return None
