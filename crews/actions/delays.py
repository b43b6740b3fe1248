"""Recording the days, and parts of days, that the weather took."""

from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from django.db import transaction

from crews.actions.decide import MORNING_ROUND
from crews.models import DelayDay
from crews.queries.delays import DayLost, days_lost
from crews.queries.yards import yard_day, yard_seen
from roofops.record import actions as record
from roofops.record.access import Access


def record_delays(access: Access, yard_id: int, now: datetime) -> list[DelayDay]:
    """Record what each roof lost whose shift is over today, and until the morning's round what it lost yesterday.

    The same day again brings the rows up to date and makes no others. Raises NotFound where the yard is not seen.
    """
    yard = yard_seen(access, yard_id)
    today = yard_day(yard, now)
    days = [today.day]
    if now.astimezone(ZoneInfo(yard.time_zone)).time() < MORNING_ROUND:
        days.append(today.day - timedelta(days=1))
    return [row for day in days for lost in days_lost(yard, day, now) for row in _record(access, lost, day, now)]


@transaction.atomic
def _record(access: Access, one: DayLost, day: date, now: datetime) -> list[DelayDay]:
    DelayDay.objects.filter(job_id=one.job_id, day=day).exclude(reason__in=[lost.code for lost in one.lost]).delete()
    rows = []
    for lost in one.lost:
        values = {
            "crew_id": one.crew_id,
            "hours_lost": round(lost.hours, 2),
            "value": lost.value,
            "limit": lost.limit,
            "forecast_id": lost.forecast_id,
        }
        row, made = DelayDay.objects.get_or_create(
            job_id=one.job_id, day=day, reason=lost.code, defaults={**values, "recorded_at": now}
        )
        if made:
            _log(access, row, now)
        else:
            DelayDay.objects.filter(pk=row.pk).update(**values)
            row.refresh_from_db()
        rows.append(row)
    return rows


def _log(access: Access, row: DelayDay, now: datetime) -> None:
    record.log(
        access,
        "delay",
        row.job,
        now,
        forecast_ref=f"forecast:{row.forecast_id}" if row.forecast_id else "",
        day=row.day,
        because=row.reason,
        hours=row.hours_lost,
        value=row.value,
        limit=row.limit,
    )
