"""Intervals as the weather service may write them (ISO 8601)."""

from datetime import UTC, datetime, timedelta

import pytest

from weather.parsing import UnreadableForecast
from weather.parsing.intervals import read_duration, read_interval

NOON = datetime(2026, 5, 4, 12, tzinfo=UTC)


@pytest.mark.parametrize(
    ("text", "hours"),
    [("PT1H", 1), ("PT12H", 12), ("P1D", 24), ("P1DT6H", 30), ("P8DT6H", 198), ("PT30M", 0.5), ("P1W", 168)],
)
def test_durations_are_read(text: str, hours: float) -> None:
    assert read_duration(text) == timedelta(hours=hours)


@pytest.mark.parametrize("text", ["", "P", "PT", "PT0H", "P1M", "P1Y", "6H", "PT-6H", "P99999999999D", "P41D", "PT6H "])
def test_what_is_no_length_of_time_is_refused(text: str) -> None:
    with pytest.raises(UnreadableForecast, match="no length of time"):
        read_duration(text)


@pytest.mark.parametrize(
    ("text", "start", "hours"),
    [
        ("2026-05-04T09:00:00+00:00/PT3H", NOON - timedelta(hours=3), 3),
        ("2026-05-04T09:00:00Z/2026-05-04T15:00:00+00:00", NOON - timedelta(hours=3), 6),
        ("PT3H/2026-05-04T12:00:00+00:00", NOON - timedelta(hours=3), 3),
        ("NOW/PT6H", NOON, 6),
        ("PT6H/NOW", NOON - timedelta(hours=6), 6),
        ("2026-05-04T07:00:00-05:00/P1DT6H", NOON, 30),
    ],
)
def test_every_form_of_interval_is_read_in_utc(text: str, start: datetime, hours: float) -> None:
    assert read_interval(text, NOON) == (start, start + timedelta(hours=hours))


@pytest.mark.parametrize(
    "text",
    [
        "2026-05-04T12:00:00+00:00",
        "PT1H/PT1H",
        "2026-05-04T12:00:00/PT1H",  # no zone
        "yesterday/PT1H",
        "2026-05-04T15:00:00Z/2026-05-04T12:00:00Z",
        "2026-05-04T12:00:00Z/2027-05-04T12:00:00Z",
        "/",
    ],
)
def test_what_is_no_interval_is_refused(text: str) -> None:
    with pytest.raises(UnreadableForecast):
        read_interval(text, NOON)
