"""The Celery app and its timetable. Intervals in UTC only: what is due at a local hour is decided inside a task."""

import os
from typing import Any

from celery import Celery
from celery.signals import setup_logging, worker_process_init
from django.conf import settings

from roofops.record.parent_death import die_with_parent

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "roofops.settings")

app = Celery("roofops")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks()

SWEEP_EVERY_S = 15
FORECASTS_EVERY_S = 15 * 60
WATCH_EVERY_S = 15 * 60


def _every(task: str, seconds: int) -> dict[str, Any]:
    """Return a timetable entry; a tick that nobody took before the next one is dropped, so no backlog pours out."""
    return {"task": task, "schedule": float(seconds), "options": {"expires": seconds}}


app.conf.beat_schedule = {
    "sweep": _every("record.sweep", SWEEP_EVERY_S),
    "refresh-forecasts": _every("crews.refresh_forecasts", FORECASTS_EVERY_S),
    "watch": _every("crews.watch", WATCH_EVERY_S),
}


@setup_logging.connect
def _use_our_logging(**_: Any) -> None:
    """Keep Celery from replacing our JSON log lines; Django has configured logging already."""
    settings.LOGGING  # noqa: B018 - reading a setting is what makes Django configure logging


@worker_process_init.connect
def _end_with_the_worker(**_: Any) -> None:
    """Tie each process of a prefork pool to its worker."""
    die_with_parent()
