"""The Celery side of background work."""

from datetime import timedelta
from typing import Any

from celery import shared_task
from celery.signals import worker_ready
from structlog import get_logger

from roofops.record import actions, clock, runners
from roofops.record.sweep import sweep

logger = get_logger(__name__)

SWEEP_EVERY = timedelta(seconds=15)


@shared_task(name="record.run_work")
def run_work(work_id: int) -> None:
    """Do one piece of background work."""
    runners.run(work_id, clock.now())


@shared_task(name="record.sweep")
def sweep_work() -> None:
    """Heal what crashes and lost messages left behind, once per tick."""
    now = clock.now()
    if actions.take_slot("sweep", now, SWEEP_EVERY):
        found = vars(sweep(now))
        if any(found.values()):
            logger.info("swept", **found)


@worker_ready.connect
def _sweep_at_start(**_: Any) -> None:
    """Pick up at once what was left behind, and show that the worker lives; the timetable's first tick comes later."""
    sweep_work.apply_async(expires=SWEEP_EVERY.total_seconds())
