"""Which hours a kind of work may run under a forecast, with every reason and its number against its limit.

Safety order: an unknown forecast, cold, wet or frost may stop opening a roof, never covering it. Only danger to people
(thunder, wind and gusts over the limits) stops underlayment and tarps. What the tool allows is never an order to go up:
the competent person on site, the manufacturer's instructions and local rules come first.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum

from weather.daylight import SunDay, dark_hours
from weather.hazards import Found, Hazard, hazards
from weather.hourly import Hourly
from weather.limits import Limits
from weather.moisture import HOUR
from weather.reasons import Code, Reason

__all__ = ["Code", "HourVerdict", "Kind", "Reason", "WorkHours", "judge"]


class Kind(StrEnum):
    """A kind of work, or a state that may be allowed to last through an hour."""

    TEAR_OFF = "tear_off"
    DECK = "deck"
    ICE_BARRIER = "ice_barrier"
    UNDERLAYMENT = "underlayment"
    TARP = "tarp"
    FIELD = "field"
    RIDGE = "ridge"
    OPEN_RIDGE = "open_ridge"  # may a ridge slot lie open
    BARE = "bare"  # may a deck lie bare
    ON_ROOF = "on_roof"  # may people be up there at all
    GROUND = "ground"


_OFF_ROOF = (Hazard.THUNDER, Hazard.OFF_ROOF_WIND, Hazard.OFF_ROOF_GUST)
# The tighter limit of a code comes first, so that an hour names the limit that stops this kind of work.
_CLOSING = (Hazard.THUNDER, Hazard.CLOSING_WIND, Hazard.CLOSING_GUST, *_OFF_ROOF[1:])
_SLIPPERY = (Hazard.WET, Hazard.FROST, Hazard.DEW)
_FALLING = (Hazard.RAIN, Hazard.SNOW)
_LAYING = (*_OFF_ROOF, *_FALLING, *_SLIPPERY, Hazard.SHINGLE_COLD, Hazard.DARK)
_WET = (*_FALLING, Hazard.RAIN_UNKNOWN)
_LIES_OPEN = (Hazard.UNKNOWN, *_FALLING, Hazard.DARK)

BLOCKED_BY: Mapping[Kind, tuple[Hazard, ...]] = {
    Kind.TEAR_OFF: (Hazard.UNKNOWN, *_CLOSING, *_FALLING, *_SLIPPERY, Hazard.DARK),
    Kind.DECK: (*_CLOSING, *_FALLING),
    Kind.ICE_BARRIER: (*_CLOSING, *_FALLING, *_SLIPPERY, Hazard.MEMBRANE_COLD),
    Kind.UNDERLAYMENT: _CLOSING,
    Kind.TARP: _CLOSING,
    Kind.FIELD: _LAYING,
    Kind.RIDGE: _LAYING,
    Kind.OPEN_RIDGE: (*_LIES_OPEN, Hazard.THUNDER, Hazard.RIDGE_GUST, Hazard.CLOSING_WIND, *_OFF_ROOF[1:]),
    Kind.BARE: (*_LIES_OPEN, *_CLOSING),
    Kind.ON_ROOF: _OFF_ROOF,
    Kind.GROUND: (Hazard.THUNDER,),
}

_CARE = (Hazard.UNKNOWN, *_FALLING, *_SLIPPERY, Hazard.DARK, Hazard.HEAT, Hazard.WIND_CHILL)
_STATES = (Kind.OPEN_RIDGE, Kind.BARE)
# What people at this work should know although it does not stop them.
CAUTIONED_BY: Mapping[Kind, tuple[Hazard, ...]] = {
    kind: () if kind in _STATES else tuple(hazard for hazard in _CARE if hazard not in BLOCKED_BY[kind])
    for kind in Kind
}

_DARK = Reason(Code.DARK)
_NO_FORECAST = Reason(Code.UNKNOWN, note="no_forecast")


@dataclass(frozen=True)
class HourVerdict:
    """Whether one kind of work is allowed through one hour; every reason against, and every caution."""

    allowed: bool
    known: bool
    reasons: tuple[Reason, ...] = ()
    cautions: tuple[Reason, ...] = ()

    def __post_init__(self) -> None:
        if self.allowed == bool(self.reasons):
            raise ValueError("An hour is allowed exactly when no reason stands against it.")


@dataclass(frozen=True)
class WorkHours:
    """The verdicts of consecutive hours; element i speaks of [start + i h, start + (i+1) h), UTC.

    wet: rain is flagged or not known. danger: nobody may be on the roof. dark: some part lies outside civil daylight.
    known: the forecast says all that is needed. thunder_forecast: the office gives a chance of thunder for some hour.
    """

    start: datetime
    n_hours: int
    by_kind: Mapping[Kind, tuple[HourVerdict, ...]]
    wet: tuple[bool, ...]
    danger: tuple[bool, ...]
    dark: tuple[bool, ...]
    known: tuple[bool, ...]
    thunder_forecast: bool = False

    def index_of(self, moment: datetime) -> int | None:
        """Index of the hour that holds a moment, or None outside."""
        index = int((moment - self.start) // HOUR)
        return index if 0 <= index < self.n_hours else None

    def allowed(self, kind: Kind) -> tuple[bool, ...]:
        """Per hour, whether this kind of work may run through it."""
        return tuple(verdict.allowed for verdict in self.by_kind[kind])


def judge(
    hourly: Hourly | None,
    limits: Limits,
    suns: Sequence[SunDay],
    start: datetime,
    n_hours: int,
    *,
    usable: bool = True,
) -> WorkHours:
    """What each hour allows, for every kind of work.

    Parameters
    ----------
    hourly : Hourly or None
        The forecast; it may start before `start`, so that rain and thunder of the hours before are felt.
    limits : Limits
        The limits in force for this roof.
    suns : sequence of SunDay
        Sun times of every day touched; an hour on a day without them counts as dark.
    start : datetime
        A whole UTC hour.
    n_hours : int
        How many hours, at least one. [h]
    usable : bool
        False when the forecast is too old to be believed: then every hour is unknown.

    Returns
    -------
    WorkHours
        Hours outside the table are unknown.

    Raises
    ------
    ValueError
        start is not a whole UTC hour, or n_hours is below one.
    """
    if start.utcoffset() != timedelta(0) or start.replace(minute=0, second=0, microsecond=0) != start:
        raise ValueError("Work hours are judged from a whole UTC hour.")
    if n_hours < 1:
        raise ValueError("At least one hour must be judged.")
    table = hourly if usable else None
    found = _found_from(table, limits, suns, start, n_hours)
    verdicts = [_verdicts(hour) for hour in found]
    return WorkHours(
        start=start,
        n_hours=n_hours,
        by_kind={kind: tuple(by_kind[kind] for by_kind in verdicts) for kind in Kind},
        wet=tuple(any(hazard in hour for hazard in _WET) for hour in found),
        danger=tuple(any(hazard in hour for hazard in _OFF_ROOF) for hour in found),
        dark=tuple(Hazard.DARK in hour for hour in found),
        known=tuple(Hazard.UNKNOWN not in hour for hour in found),
        thunder_forecast=table is not None and bool((table.thunder_p >= 0).any()),
    )


def _found_from(
    table: Hourly | None, limits: Limits, suns: Sequence[SunDay], start: datetime, n_hours: int
) -> list[Found]:
    """The hazards of the hours asked for, darkness and missing hours included."""
    rows = [] if table is None else hazards(table, limits, suns)
    first = 0 if table is None else int((start - table.start) // HOUR)
    unknown_rain = Reason(Code.RAIN, None, limits.wet_hour_chance, "chance")
    asked: list[Found] = []
    for hour, dark in enumerate(dark_hours(start, n_hours, suns)):
        row = first + hour
        found = (
            dict(rows[row])
            if 0 <= row < len(rows)
            else {Hazard.UNKNOWN: _NO_FORECAST, Hazard.RAIN_UNKNOWN: unknown_rain}
        )
        if dark:
            found[Hazard.DARK] = _DARK
        asked.append(found)
    return asked


_CLEAR = HourVerdict(allowed=True, known=True)
_ALL_CLEAR: Mapping[Kind, HourVerdict] = dict.fromkeys(Kind, _CLEAR)


def _verdicts(found: Found) -> Mapping[Kind, HourVerdict]:
    if not found:
        return _ALL_CLEAR
    if found == _ONLY_DARK:
        return _NIGHT
    return _weighed(found)


def _weighed(found: Found) -> Mapping[Kind, HourVerdict]:
    known = Hazard.UNKNOWN not in found
    verdicts = {}
    for kind in Kind:
        reasons = _reasons(found, BLOCKED_BY[kind])
        verdicts[kind] = HourVerdict(not reasons, known, reasons, _reasons(found, CAUTIONED_BY[kind]))
    return verdicts


def _reasons(found: Found, wanted: tuple[Hazard, ...]) -> tuple[Reason, ...]:
    """The reasons among the wanted hazards, one per code: the first named wins."""
    by_code: dict[Code, Reason] = {}
    for hazard in wanted:
        if hazard in found:
            by_code.setdefault(found[hazard].code, found[hazard])
    return tuple(by_code.values())


# The verdicts of a quiet night: most hours of a forecast are this or all clear.
_ONLY_DARK: Found = {Hazard.DARK: _DARK}
_NIGHT: Mapping[Kind, HourVerdict] = _weighed(_ONLY_DARK)
