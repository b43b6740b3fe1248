"""Deliveries: each load of a day with the window that plan and walk leave it, and the ways out if it does not fit."""

from collections.abc import Sequence
from datetime import date, datetime

from django.db.models import Q

from crews.boards.delivery import DeliveryBoard, LoadRow
from crews.queries.load_context import by_need, load_context
from crews.queries.load_rows import GONE, load_row
from crews.queries.skies import SkyReader
from crews.queries.yards import YardDay, on_day, yard_day, yard_seen
from crews.verdict.sky_hours import HOUR, sky_hours, whole_hour
from jobs.models import Load, LoadKind, LoadState, Placement, Yard
from roofops.record.access import Access, Role

DAYS_OFFERED = 3


def deliveries(access: Access, yard_id: int, day: date, now: datetime) -> DeliveryBoard:
    """The whole page of one day for the office; Forbidden for a crew lead, NotFound where the yard is not seen."""
    yard = yard_seen(access, yard_id)
    access.require(yard_id, Role.MANAGER, Role.DISPATCHER)
    on = on_day(yard, day)
    reader = SkyReader(yard, now)
    loads = list(_loads_on(yard, on))
    context = load_context(access, yard, loads, on, now, reader)
    rows = sorted((row for load in loads if _belongs(row := load_row(load, context), on)), key=by_need)
    sky = reader.over_yard(day, 1)
    axis = on.axis()
    first = whole_hour(axis[0])
    table = sky.chosen.hourly if sky.chosen.usable_beyond or sky.chosen.usable_today else None
    drops = sum(1 for r in rows if r.kind == LoadKind.MATERIALS and r.placement == Placement.ROOF)
    return DeliveryBoard(
        yard_id=yard.pk,
        yard_name=yard.name,
        company=yard.company,
        zone=yard.time_zone,
        day=day,
        now=now,
        days=_days(yard_day(yard, now), day),
        rows=tuple(rows),
        hours=sky_hours(sky.work_hours, table, first, max(1, round((axis[1] - first) / HOUR))),
        forecast=sky.note,
        drops_used=drops,
        drops_limit=yard.roof_drops_per_day,
        sunrise=sky.suns[0].sunrise,
        sunset=sky.suns[0].sunset,
        axis_start=axis[0],
        axis_end=axis[1],
        may_change=access.may_see(yard_id, Role.MANAGER, Role.DISPATCHER),
    )


def _loads_on(yard: Yard, day: YardDay) -> Sequence[Load]:
    """Loads whose slot is on the day, or that must come on it; what came or was cancelled on the day stays in view."""
    slot = Q(slot_start__gte=day.start, slot_start__lt=day.end)
    need = Q(slot_start__isnull=True, need_by__gte=day.start, need_by__lt=day.end) & ~Q(state__in=GONE)
    moved = Q(need_by__gte=day.start, need_by__lt=day.end) & ~Q(state__in=GONE)
    rows = Load.objects.filter(slot | need | moved, job__yard=yard).exclude(state=LoadState.CANCELLED)
    return list(rows.select_related("job__yard", "supplier").distinct().order_by("need_by", "slot_start", "id"))


def _belongs(row: LoadRow, day: YardDay) -> bool:
    """A load with a slot on another day stands here only where that slot does not fit what this day needs."""
    here = row.slot_start is None or day.start <= row.slot_start < day.end
    return here or row.fit != "fits"


def _days(today: YardDay, chosen: date) -> tuple[date, ...]:
    """The days offered at the top: today and the next work days, and the chosen one if it is another."""
    days = [today.day]
    while len(days) < DAYS_OFFERED:
        days.append(today.hours.next_workday(days[-1]))
    return tuple(days) if chosen in days else (*days, chosen)
