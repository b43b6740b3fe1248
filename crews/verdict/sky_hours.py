"""Judged hours as the strip shows them, and the two ways in which what people see overrides a forecast."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from math import isnan

from crews.boards.sky_strip import MPH_PER_MS, RAIN_MM_PER_IN, Band, SkyHour
from weather.comfort import heat_index_f
from weather.hourly import Hourly
from weather.work_hours import Code, HourVerdict, Kind, Reason, WorkHours

HOUR = timedelta(hours=1)
FROST_CODES = frozenset({Code.FROST})
LYING_WET = frozenset({Code.WET, Code.DEW, Code.FROST})
# What rain that falls now stops; covering is never among it.
STOPPED_BY_RAIN = (
    Kind.TEAR_OFF,
    Kind.DECK,
    Kind.ICE_BARRIER,
    Kind.FIELD,
    Kind.RIDGE,
    Kind.OPEN_RIDGE,
    Kind.BARE,
)
# What the wet roof stops after that rain.
STOPPED_BY_WET = (Kind.TEAR_OFF, Kind.ICE_BARRIER, Kind.FIELD, Kind.RIDGE)
# What must be allowed together for an hour to count as one in which a deck may be bare.
MAY_BE_BARE = (Kind.TEAR_OFF, Kind.BARE, Kind.UNDERLAYMENT, Kind.TARP)


def sky_hours(work_hours: WorkHours, hourly: Hourly | None, first: datetime, n_hours: int) -> tuple[SkyHour, ...]:
    """The hours of a strip; hours outside what was judged are unknown.

    first: a whole UTC hour.
    """
    return tuple(_sky_hour(work_hours, hourly, first + i * HOUR) for i in range(n_hours))


def _sky_hour(work_hours: WorkHours, hourly: Hourly | None, start: datetime) -> SkyHour:
    index = work_hours.index_of(start)
    if index is None:
        return SkyHour(start=start, known=False, reasons=(Code.UNKNOWN.value,))
    opening = work_hours.by_kind[Kind.TEAR_OFF][index]
    codes = {reason.code for reason in opening.reasons}
    cautions = {reason.code for reason in work_hours.by_kind[Kind.UNDERLAYMENT][index].cautions}
    numbers = {} if hourly is None or not work_hours.known[index] else _numbers(hourly, start)
    return SkyHour(
        start=start,
        thunder=Code.THUNDER in codes,
        wet=work_hours.wet[index],
        roof_wet=bool(codes & LYING_WET),
        frost=bool(codes & FROST_CODES),
        heat=Code.HEAT in cautions,
        dark=work_hours.dark[index],
        known=work_hours.known[index],
        tear_off_allowed=opening.allowed,
        reasons=tuple(reason.code.value for reason in opening.reasons),
        **numbers,
    )


def _numbers(hourly: Hourly, start: datetime) -> dict[str, float | None]:
    row = hourly.row_at(start)
    if row is None:
        return {}
    air_f = _known(hourly.air_temp_c[row], 1.8, 32.0)
    humidity = _known(hourly.rel_humidity[row])
    return {
        "rain_chance": _known(hourly.pop[row]),
        "rain_period_h": _known(hourly.pop_period_h[row]),
        "rain_in": _known(hourly.qpf_mm[row], 1 / RAIN_MM_PER_IN),
        "snow_in": _known(hourly.snow_mm[row], 1 / RAIN_MM_PER_IN),
        "wind_mph": _known(hourly.wind_ms[row], MPH_PER_MS),
        "gust_mph": _known(hourly.gust_ms[row], MPH_PER_MS),
        "temp_f": air_f,
        "dew_point_f": _known(hourly.dew_point_c[row], 1.8, 32.0),
        "humidity": humidity,
        "heat_index_f": None if air_f is None or humidity is None else float(heat_index_f(air_f, humidity)),
        "thunder_chance": _known(hourly.thunder_p[row]),
    }


def _known(value: float, factor: float = 1.0, offset: float = 0.0) -> float | None:
    return None if isnan(value) else float(value) * factor + offset


def bands_of(work_hours: WorkHours, first: datetime, n_hours: int) -> tuple[Band, ...]:
    """The verdict band read off the sky alone, for a roof on which nothing is planned: equal hours joined."""
    bands: list[Band] = []
    for hour in range(n_hours):
        start = first + hour * HOUR
        kind, code = _permission(work_hours, start)
        if bands and (bands[-1].kind, bands[-1].code) == (kind, code):
            bands[-1] = replace(bands[-1], end=start + HOUR)
        else:
            bands.append(Band(start, start + HOUR, kind, code))
    return tuple(bands)


def _permission(work_hours: WorkHours, start: datetime) -> tuple[str, str]:
    index = work_hours.index_of(start)
    if index is None:
        return "unknown", Code.UNKNOWN.value
    on_roof, opening = work_hours.by_kind[Kind.ON_ROOF][index], work_hours.by_kind[Kind.TEAR_OFF][index]
    if not on_roof.allowed:
        return "stay_off", on_roof.reasons[0].code.value
    if not work_hours.known[index]:
        return "unknown", Code.UNKNOWN.value
    if opening.allowed:
        return "tear_off", ""
    laying = work_hours.by_kind[Kind.FIELD][index]
    code = opening.reasons[0].code.value
    wet = {reason.code for reason in laying.reasons} & {Code.RAIN, Code.SNOW, *LYING_WET}
    return ("stay_off", next(iter(sorted(wet))).value) if wet else ("no_tear_off", code)


def with_rain(work_hours: WorkHours, since: datetime, until: datetime, dry_from: datetime) -> WorkHours:
    """The hours with rain that somebody stands in: from `since` to `until` nothing is opened or laid, all is covered.

    From then to `dry_from` the roof lies wet: nothing is torn off or laid on it. A person's report is believed before
    any forecast; it tightens and never loosens.
    """
    raining = Reason(Code.RAIN, 1.0, None, "chance", "reported", until)
    drying = Reason(Code.WET, None, None, "min", "reported", dry_from)
    hit, lying = _hit(work_hours, since, until), _hit(work_hours, until, dry_from)
    by_kind = dict(work_hours.by_kind)
    for kind in STOPPED_BY_RAIN:
        by_kind[kind] = _stopped(by_kind[kind], hit, raining)
    for kind in STOPPED_BY_WET:
        by_kind[kind] = _stopped(
            by_kind[kind], [wet and not rain for wet, rain in zip(lying, hit, strict=True)], drying
        )
    wet = tuple(flag or rain for flag, rain in zip(work_hours.wet, hit, strict=True))
    return replace(work_hours, by_kind=by_kind, wet=wet)


def _hit(work_hours: WorkHours, since: datetime, until: datetime) -> list[bool]:
    """Per hour, whether a span touches it."""
    starts = [work_hours.start + i * HOUR for i in range(work_hours.n_hours)]
    return [since < until and start < until and start + HOUR > since for start in starts]


def _stopped(row: Sequence[HourVerdict], hit: Sequence[bool], reason: Reason) -> tuple[HourVerdict, ...]:
    return tuple(_with_reason(hour, reason) if stopped else hour for hour, stopped in zip(row, hit, strict=True))


def _with_reason(hour: HourVerdict, reason: Reason) -> HourVerdict:
    others = tuple(other for other in hour.reasons if other.code is not reason.code)
    return HourVerdict(False, hour.known, (reason, *others), hour.cautions)


def joined(first: WorkHours, then: WorkHours, at: datetime) -> WorkHours:
    """The hours of `first` before a moment and those of `then` from it on; both cover the same hours.

    Raises ValueError when they do not.
    """
    if (first.start, first.n_hours) != (then.start, then.n_hours):
        raise ValueError("Only judged hours of the same span can be joined.")
    cut = min(max(round((at - first.start) / HOUR), 0), first.n_hours)
    return WorkHours(
        start=first.start,
        n_hours=first.n_hours,
        by_kind={kind: first.by_kind[kind][:cut] + then.by_kind[kind][cut:] for kind in Kind},
        wet=first.wet[:cut] + then.wet[cut:],
        danger=first.danger[:cut] + then.danger[cut:],
        dark=first.dark[:cut] + then.dark[cut:],
        known=first.known[:cut] + then.known[cut:],
        thunder_forecast=first.thunder_forecast or then.thunder_forecast,
    )


def bare_hours(work_hours: WorkHours, start: datetime, end: datetime) -> float | None:
    """Hours of [start, end) in which deck may be torn off, lie bare and be covered; None where nothing is known [h].

    An hour counts only where all of tear-off, bare deck, underlayment and tarp are allowed: a roof that is still wet,
    dark, or too windy to cover is not counted, even where rain alone would let a deck lie bare.
    """
    known = False
    total = 0.0
    for index in _indices(work_hours, start, end):
        known = known or work_hours.known[index]
        if all(work_hours.by_kind[kind][index].allowed for kind in MAY_BE_BARE):
            begins = work_hours.start + index * HOUR
            total += (min(end, begins + HOUR) - max(start, begins)) / HOUR
    return total if known else None


def _indices(work_hours: WorkHours, start: datetime, end: datetime) -> Sequence[int]:
    first = max(0, int((start - work_hours.start) // HOUR))
    last = min(work_hours.n_hours, -int((work_hours.start - end) // HOUR))
    return range(first, last)


def whole_hour(moment: datetime) -> datetime:
    """The whole UTC hour that holds a moment."""
    return moment.replace(minute=0, second=0, microsecond=0)
