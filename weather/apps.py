"""Registers the weather app with Django."""

from django.apps import AppConfig


class WeatherConfig(AppConfig):
    """The sky: forecasts and what they allow."""

    name = "weather"
    label = "weather"
    default_auto_field = "django.db.models.BigAutoField"
