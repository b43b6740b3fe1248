"""ISO 8601 intervals as the weather service writes them."""

import re
from datetime import UTC, datetime, timedelta

from weather.parsing.document import UnreadableForecast

_DURATION = re.compile(
    r"P(?:(?P<weeks>\d+)W)?(?:(?P<days>\d+)D)?(?:T(?:(?P<hours>\d+)H)?(?:(?P<minutes>\d+)M)?(?:(?P<seconds>\d+)S)?)?"
)
# A forecast that claims to hold for longer is a fault; it also keeps a wild document from filling the memory.
LONGEST = timedelta(days=40)


def read_duration(text: str) -> timedelta:
    """Length of a duration such as PT6H, P1DT6H or PT30M.

    Raises
    ------
    UnreadableForecast
        It is no duration of weeks, days, hours, minutes and seconds, or not above zero, or longer than forty days.
    """
    match = _DURATION.fullmatch(text)
    parts = {} if match is None else {unit: int(value) for unit, value in match.groupdict().items() if value}
    try:
        length = timedelta(**parts)
    except OverflowError:
        length = timedelta(0)
    if not timedelta(0) < length <= LONGEST:
        raise UnreadableForecast(f"'{text}' is no length of time that a forecast can hold for.")
    return length


def read_moment(text: str, now: datetime) -> datetime:
    """A moment in UTC; the word NOW stands for `now`.

    Raises
    ------
    UnreadableForecast
        It is no moment with a time zone.
    """
    if text == "NOW":
        return now
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        raise UnreadableForecast(f"'{text}' is no moment in time.") from None
    if moment.utcoffset() is None:
        raise UnreadableForecast(f"'{text}' has no time zone.")
    return moment.astimezone(UTC)


def read_interval(text: str, now: datetime) -> tuple[datetime, datetime]:
    """Start and end, UTC, of `start/duration`, `start/end` or `duration/end`; either moment may be NOW.

    Raises
    ------
    UnreadableForecast
        It is no interval, or does not end after it starts, or is longer than forty days.
    """
    first, slash, second = text.partition("/")
    if not slash or (first.startswith("P") and second.startswith("P")):
        raise UnreadableForecast(f"'{text}' is no interval of time.")
    if second.startswith("P"):
        start = read_moment(first, now)
        end = start + read_duration(second)
    elif first.startswith("P"):
        end = read_moment(second, now)
        start = end - read_duration(first)
    else:
        start, end = read_moment(first, now), read_moment(second, now)
    if not timedelta(0) < end - start <= LONGEST:
        raise UnreadableForecast(f"'{text}' is no interval of time that a forecast can hold for.")
    return start, end
