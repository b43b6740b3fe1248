"""Registers the access app with Django."""

from django.apps import AppConfig


class AccessConfig(AppConfig):
    """Who may do what in which yard."""

    name = "roofops.access"
    label = "access"
    default_auto_field = "django.db.models.BigAutoField"
