"""Registers the pages app with Django."""

from django.apps import AppConfig


class PagesConfig(AppConfig):
    """Pages that join several apps."""

    name = "roofops.pages"
    label = "pages"
    default_auto_field = "django.db.models.BigAutoField"
