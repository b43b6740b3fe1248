"""Registers the jobs app with Django."""

from django.apps import AppConfig


class JobsConfig(AppConfig):
    """The roof and its work."""

    name = "jobs"
    label = "jobs"
    default_auto_field = "django.db.models.BigAutoField"
