"""Tells the broker that work waits. Losing the message loses nothing: the sweep sends it again."""

from celery import current_app
from django.db import transaction
from kombu.exceptions import OperationalError
from structlog import get_logger

RUN_WORK_TASK = "record.run_work"

logger = get_logger(__name__)


def send(work_id: int) -> None:
    """Send the message that makes a worker run this work; a broker that does not answer is only logged."""
    try:
        current_app.send_task(RUN_WORK_TASK, args=[work_id], retry=False)
    except (OperationalError, OSError) as error:
        logger.warning("broker_unreachable", work_id=work_id, error=str(error))


def send_on_commit(work_id: int) -> None:
    """Send once the row is there to be read; a rolled-back transaction sends nothing."""
    transaction.on_commit(lambda: send(work_id))
