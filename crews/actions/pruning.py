"""Old forecasts go, but for those that a verdict, a plan or a lost day still names."""

from datetime import datetime, timedelta

from crews.models import Decision, DelayDay, Plan
from weather.actions import prune_forecasts

KEPT_FOR = timedelta(days=30)


def prune_old_forecasts(now: datetime) -> int:
    """Delete forecasts older than 30 days that nothing refers to; returns how many."""
    kept: set[int] = set()
    for rows in (Decision.objects.all(), DelayDay.objects.all()):
        kept.update(rows.exclude(forecast=None).values_list("forecast_id", flat=True))
    for ids in Plan.objects.values_list("forecast_ids", flat=True):
        kept.update(ids)
    return prune_forecasts(now - KEPT_FOR, kept)
