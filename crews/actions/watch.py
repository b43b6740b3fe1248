"""Looking at every roof again: after a forecast, after a report, and as time passes."""

from collections.abc import Callable
from datetime import datetime

from structlog import get_logger

from crews.actions.decide import decide
from crews.actions.delays import record_delays
from crews.actions.forecasts import yards_in_use
from roofops.record.access import Access

logger = get_logger(__name__)


def watch_yards(clock: Callable[[], datetime]) -> int:
    """Compute today's verdicts of every yard; one yard's fault stops no other. Returns how many went well."""
    sound = 0
    for yard_id in yards_in_use():
        try:
            decide(Access.system(), yard_id, clock())
            sound += 1
        except Exception:
            logger.exception("watch_failed", yard=yard_id)
        try:
            record_delays(Access.system(), yard_id, clock())
        except Exception:
            logger.exception("delays_failed", yard=yard_id)
    return sound
