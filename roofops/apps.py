"""Registers the roofops app with Django."""

from django.apps import AppConfig


class RoofopsConfig(AppConfig):
    """The project itself: settings, commands, static files."""

    name = "roofops"
    label = "roofops"
    default_auto_field = "django.db.models.BigAutoField"
