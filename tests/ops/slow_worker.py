"""A Celery app for tests: the project's own, with one more kind of work that takes its time and leaves a trace."""

import time
import uuid
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import django

django.setup()

from roofops.celery import app  # noqa: E402
from roofops.record.runners import Progress, Stopped, register  # noqa: E402

__all__ = ["app"]

LEASE = timedelta(seconds=3)


@register("slow", lease=LEASE)
def slow(work_id: int, token: uuid.UUID, progress: Progress, params: dict[str, Any], now: datetime) -> Any:
    """Write a line at the start and one at the end; in between, report progress every tenth of a second."""
    trace = Path(params["trace"])
    with trace.open("a") as file:
        file.write(f"start {work_id}\n")
    steps = int(params["seconds"] * 10)
    for step in range(steps):
        if not progress(step / steps, f"step {step}"):
            raise Stopped
        time.sleep(0.1)
    with trace.open("a") as file:
        file.write(f"end {work_id}\n")
    return {"number": params["number"]}
