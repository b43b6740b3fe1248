"""A small JSON document that names an invented pattern, place and moment, to be read like a saved forecast."""

from datetime import datetime

from weather.hourly import Hourly
from weather.parsing.document import UnreadableForecast, load_object, number
from weather.sources import recorded


def read(document: bytes | str, now: datetime | None = None) -> Hourly:
    """The invented table that the document names: {"pattern", "lat", "lon", "zone", "now"}.

    Raises
    ------
    UnreadableForecast
        It is no such document, or names a pattern, place, zone or moment that there is not.
    """
    value = load_object(document)
    if now is None:
        try:
            now = datetime.fromisoformat(str(value.get("now")))
        except ValueError:
            raise UnreadableForecast("The document does not say for which moment it was invented.") from None
        if now.utcoffset() is None:
            raise UnreadableForecast("The document's moment has no time zone.")
    try:
        return recorded.hourly(
            str(value.get("pattern")),
            number(value.get("lat")),
            number(value.get("lon")),
            now,
            str(value.get("zone", "")),
        )
    except (ValueError, KeyError) as error:  # zoneinfo says KeyError for a zone that it does not know
        raise UnreadableForecast(str(error).strip("'\"")) from None
