"""From a source's document to the canonical hourly table. Pure: bytes in, table out, no clock and no network."""

from weather.parsing.document import UnreadableForecast

__all__ = ["UnreadableForecast"]
