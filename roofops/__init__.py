"""The project: settings, the Celery app, and the parts that join the apps."""

from roofops.celery import app as celery_app

__all__ = ["celery_app"]
