"""The crews app's tasks on the timetable: fetch what is in use, then look at every roof again."""

from datetime import timedelta

from celery import shared_task
from structlog import get_logger

from crews.actions.forecasts import refresh_forecasts as fetch_all
from crews.actions.pruning import prune_old_forecasts
from crews.actions.watch import watch_yards
from roofops.record import clock
from roofops.record.access import Access
from roofops.record.actions import take_slot

logger = get_logger(__name__)

EVERY = timedelta(minutes=15)
PRUNE_EVERY = timedelta(days=1)


@shared_task(name="crews.refresh_forecasts")  # type: ignore[untyped-decorator]
def refresh_forecasts() -> None:
    """Fetch the forecast of every place in use, then compute the verdicts that follow from it."""
    if take_slot("refresh-forecasts", clock.now(), EVERY):
        found = fetch_all(Access.system(), clock.now)
        logger.info("forecasts_refreshed", cells=len(found), failed=sum(1 for cell in found if not cell.ok))
        watch_yards(clock.now)
    if take_slot("prune-forecasts", clock.now(), PRUNE_EVERY):
        logger.info("forecasts_pruned", deleted=prune_old_forecasts(clock.now()))


@shared_task(name="crews.watch")  # type: ignore[untyped-decorator]
def watch() -> None:
    """Compute the verdicts of every yard; a forecast that grows too old is noticed here."""
    if take_slot("watch", clock.now(), EVERY):
        logger.info("watched", yards=watch_yards(clock.now))
