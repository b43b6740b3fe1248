"""Registers the record app with Django."""

from django.apps import AppConfig


class RecordConfig(AppConfig):
    """Decision log, background work, notices, idempotency keys."""

    name = "roofops.record"
    label = "record"
    default_auto_field = "django.db.models.BigAutoField"
