"""Registers the crews app with Django."""

from django.apps import AppConfig


class CrewsConfig(AppConfig):
    """People, plan, progress."""

    name = "crews"
    label = "crews"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        """Make known which functions do this app's background work."""
        from crews.actions import background  # noqa: F401
