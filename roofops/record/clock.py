"""The one place that asks what time it is. Views, tasks and commands take `now` from here and pass it on."""

from datetime import datetime

from django.utils import timezone


def now() -> datetime:
    """Return the present moment in UTC."""
    return timezone.now()
