"""Hours of a shift in which a roof's work could not run, each with the number that stopped it."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from crews.boards.sky_strip import AreaPoint
from crews.planner.problem import CrewDay
from crews.planner.verdict import Band, Word
from weather.work_hours import Kind, WorkHours

HOUR = timedelta(hours=1)
SMALL = 0.05  # squares: less is shown as nothing
# The sky's own causes; a load, a visit or an order of the office is no weather that took hours.
WEATHER = frozenset({"rain", "wet", "thunder", "gust", "wind", "cold", "frost", "dew", "snow", "alert", "unknown"})
LOWER_IS_WORSE = frozenset({"cold", "frost"})
NAMED_BY = (Kind.ON_ROOF, Kind.TEAR_OFF, Kind.FIELD, Kind.BARE)


@dataclass(frozen=True)
class Lost:
    """Hours lost to one cause on one day, with its worst number against the limit, and the forecast that said so [h].

    value and limit: in the unit of the cause (chance 0 to 1, mph, degrees Fahrenheit, minutes, inches); None: no
    number.
    """

    code: str
    hours: float
    value: float | None
    limit: float | None
    forecast_id: int | None

    def __post_init__(self) -> None:
        if not self.hours > 0:
            raise ValueError("A delay lasts longer than nothing.")


@dataclass(frozen=True)
class Judged:
    """The sky as it was judged for an hour, and the forecast it came from."""

    hours: WorkHours
    forecast_id: int | None


def lost_hours(
    shift: CrewDay, bands: Sequence[Band], areas: Sequence[AreaPoint], judged_at: Callable[[datetime], Judged | None]
) -> tuple[Lost, ...]:
    """What a crew lost of a day, by cause, longest first.

    An hour is lost where everybody stayed off the roof, or where nothing might be opened and nothing lay dried-in that
    could be shingled. It counts as far as it lies in the shift, the midday break left out. Hours after the roof is done
    count for nothing.

    Parameters
    ----------
    bands : sequence of Band
        What was told for the day's hours, each hour as it stood when it came. [UTC]
    areas : sequence of AreaPoint
        The roof by its reports, in order of time. [squares]
    judged_at : callable
        The sky as it was known at an hour's start.
    """
    sums: dict[str, list[tuple[float, float | None, float | None, int | None]]] = {}
    for band in bands:
        at = band.start
        while at < band.end:
            hours = _worked(shift, at, at + HOUR)
            if hours > 0 and _is_lost(band, _areas_at(areas, at)):
                sums.setdefault(band.code, []).append((hours, *_number(judged_at(at), at, band.code)))
            at += HOUR
    return tuple(sorted((_joined(code, rows) for code, rows in sums.items()), key=lambda lost: -lost.hours))


def _worked(shift: CrewDay, start: datetime, end: datetime) -> float:
    """Working hours of a span: within the shift, breaks left out [h]."""
    first, last = max(start, shift.start), min(end, shift.end)
    if last <= first:
        return 0.0
    pauses = sum((max(timedelta(), min(last, b) - max(first, a)) for a, b in shift.breaks), timedelta())
    return (last - first - pauses) / HOUR


def _is_lost(band: Band, areas: AreaPoint | None) -> bool:
    if band.code not in WEATHER or areas is None:
        return False
    to_lay, to_open = areas.dried_in > SMALL, areas.old + areas.bare + areas.tarped > SMALL
    if band.kind is Word.STAY_OFF:
        return to_lay or to_open
    return band.kind in (Word.NO_TEAR_OFF, Word.UNKNOWN) and to_open and not to_lay


def _areas_at(areas: Sequence[AreaPoint], moment: datetime) -> AreaPoint | None:
    """The roof at a moment: the last point not after it, else the first there is."""
    before = [point for point in areas if point.at <= moment]
    return before[-1] if before else (areas[0] if areas else None)


def _number(judged: Judged | None, at: datetime, code: str) -> tuple[float | None, float | None, int | None]:
    """The value and limit of a cause in an hour, and the forecast that names it."""
    if judged is None:
        return None, None, None
    index = judged.hours.index_of(at)
    if index is not None:
        for kind in NAMED_BY:
            for reason in judged.hours.by_kind[kind][index].reasons:
                if reason.code == code:
                    return reason.value, reason.limit, judged.forecast_id
    return None, None, judged.forecast_id


def _joined(code: str, rows: Sequence[tuple[float, float | None, float | None, int | None]]) -> Lost:
    """One cause's hours with its worst number and the forecast of that one."""
    numbered = [row for row in rows if row[1] is not None]
    sign = -1.0 if code in LOWER_IS_WORSE else 1.0
    worst = max(numbered, key=lambda row: sign * (row[1] or 0.0)) if numbered else rows[-1]
    return Lost(code, sum(row[0] for row in rows), worst[1], worst[2], worst[3])
