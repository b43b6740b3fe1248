"""Whether this installation fetches no forecasts at all: then the page says so, and not only that all is unknown."""

from django.conf import settings

from crews.boards.forecast_note import ForecastNote


def weather_is_off(forecast: ForecastNote | None) -> bool:
    """Return whether nobody named a contact for the weather service and no forecast is there to decide by.

    The service asks who calls; without an address no request leaves this machine. Invented weather needs none.
    """
    if settings.ROOFOPS_WEATHER_CONTACT:
        return False
    return forecast is None or not (forecast.usable_today or forecast.invented)
