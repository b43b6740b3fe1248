"""One roof's day in a word and two figures: what a walk under a sky means for the people on the roof."""

from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from enum import StrEnum

from crews.planner.exposure import OPEN, OPENING_WITH_BARRIER, Cause, Sky
from crews.planner.problem import AREA_SLACK, CrewDay, RoofWork, Run, StepKind
from weather.work_hours import Kind

HOUR = timedelta(hours=1)
BAND_HOURS = 24
LEAST_STRIP = timedelta(minutes=30)  # a band says 'tear off' no later than this before the dry-in moment
SQUARES_STEP = 0.05  # figures are shown to a tenth: less than half of it is no change
TIME_STEP = timedelta(minutes=1)
NO_LONGER_ASKED = "ice_barrier_owed"


class Word(StrEnum):
    """The verdict. Values are those of the stored decisions."""

    TEAR_OFF = "tear_off"
    NO_TEAR_OFF = "no_tear_off"
    UNKNOWN = "unknown"
    STAY_OFF = "stay_off"


STRICTNESS = {Word.TEAR_OFF: 0, Word.NO_TEAR_OFF: 1, Word.UNKNOWN: 2, Word.STAY_OFF: 3}


@dataclass(frozen=True)
class Because:
    """The one cause that the key line names: a reason code with its value, the limit it meets and the hour."""

    code: str
    value: float | None = None
    limit: float | None = None
    hour: datetime | None = None


@dataclass(frozen=True)
class StopLine:
    """Where the second limit ends: a plane, how far into it [squares], and whether it is opened whole."""

    section_id: int
    section_name: str
    stop_name: str
    squares_into_section: float
    whole: bool


@dataclass(frozen=True)
class Band:
    """A span of hours of one kind, for the strip's verdict band."""

    start: datetime
    end: datetime
    kind: Word
    code: str


@dataclass(frozen=True)
class DayVerdict:
    """The verdict of one roof from `now` to the end of its working day.

    bare_at_once_squares and in_all_today_squares are the two limits [squares]; the second counts what was opened today.
    bare_now_squares lies uncovered now; must_close says that it will not be dried in before the sky or the shift
    forbids it, so it is covered at once. valid_until: past it nothing more may be opened; the dry-in moment stands.
    """

    verdict: Word
    bare_at_once_squares: float
    in_all_today_squares: float
    stop_line: StopLine | None
    dry_in_by: datetime | None
    valid_until: datetime | None
    p_wet: float
    because: Because
    bands: tuple[Band, ...] = ()
    reasons: tuple[tuple[datetime, str, float | None, float | None], ...] = ()
    bare_now_squares: float = 0.0
    must_close: bool = False

    def __post_init__(self) -> None:
        if self.verdict is not Word.TEAR_OFF and self.stop_line is not None:
            raise ValueError("Only a roof that may be torn off has a stop line.")
        if not 0 <= self.p_wet <= 1:
            raise ValueError("A chance lies between 0 and 1.")


def verdict_of(
    run: Run,
    sky: Sky,
    work: RoofWork,
    now: datetime,
    *,
    crew_day: CrewDay | None = None,
    valid_until: datetime | None = None,
    bands_from: datetime | None = None,
    bands_until: datetime | None = None,
) -> DayVerdict:
    """The verdict that a run of today means.

    crew_day gives the working hours; without it they are the run's own first day. Bands cover [bands_from,
    bands_until), by default 24 hours from the hour of `now`. An unknown sky is 'unknown', whatever the run found.
    """
    hours = _working_hours(run, crew_day, now)
    word = _word(run, sky, work, hours)
    opens = word is Word.TEAR_OFF
    bare_now = sum(s.bare_squares - s.tarped_squares for s in work.sections)
    before = max(work.opened_today_squares, sum(s.bare_squares for s in work.sections))
    first = bands_from or now.replace(minute=0, second=0, microsecond=0)
    because = _because(run, sky, word, hours, now)
    return DayVerdict(
        verdict=word,
        bare_at_once_squares=run.bare_at_once_squares if opens else bare_now,
        in_all_today_squares=run.in_all_today_squares if opens else before,
        stop_line=_stop_line(run, work) if opens else None,
        dry_in_by=run.dry_in_by,
        valid_until=valid_until,
        p_wet=run.p_wet,
        because=because,
        bands=bands(run, sky, word, first, bands_until or first + BAND_HOURS * HOUR),
        reasons=run.reasons or _as_reasons(because, word),
        bare_now_squares=bare_now,
        must_close=not run.closes_in_time,
    )


def _working_hours(run: Run, crew_day: CrewDay | None, now: datetime) -> list[datetime]:
    """The beginnings of the hours still to be worked today."""
    if crew_day is not None:
        first, last = max(now, crew_day.start), crew_day.end
    elif run.steps:
        first = max(now, run.steps[0].start)
        cleaned = [s.end for s in run.steps if s.kind is StepKind.CLEAN_UP]
        last = max(first, cleaned[0] if cleaned else run.steps[-1].end)
    else:
        first, last = now, now + HOUR
    at = first.replace(minute=0, second=0, microsecond=0)
    hours = [at]
    while (at := at + HOUR) < last:
        hours.append(at)
    return hours


def _word(run: Run, sky: Sky, work: RoofWork, hours: list[datetime]) -> Word:
    """Unknown before all else; then what the run could do; then whether the roof may be walked at all."""
    minutes = [sky.minute(hour) for hour in hours]
    before = max(work.opened_today_squares, sum(s.bare_squares for s in work.sections))
    if run.opened_section_ids and run.in_all_today_squares > before + AREA_SLACK:
        return Word.TEAR_OFF
    known = [sky.flag(sky.known, minute, outside=False) for minute in minutes]
    unknown_stopped_it = any(code == "unknown" for _, code, _, _ in run.reasons)
    if not any(known) or (unknown_stopped_it and not all(known)):
        return Word.UNKNOWN
    walkable = [_allowed(sky, Kind.ON_ROOF, m) and _any_work(sky, m) for m in minutes]
    if any(walkable):
        return Word.NO_TEAR_OFF
    open_now = any(s.bare_squares - s.tarped_squares > AREA_SLACK for s in work.sections)
    can_close = any(_allowed(sky, Kind.UNDERLAYMENT, m) or _allowed(sky, Kind.TARP, m) for m in minutes)
    # Nobody is told to stay off a roof that lies open while people may still cover it.
    return Word.NO_TEAR_OFF if open_now and can_close else Word.STAY_OFF


def _allowed(sky: Sky, kind: Kind, minute: float) -> bool:
    """Whether a kind is allowed at a minute."""
    return sky.allowed_until(kind.value, minute) > minute


def _any_work(sky: Sky, minute: float) -> bool:
    """Whether any work that is not covering may run at a minute."""
    return any(_allowed(sky, kind, minute) for kind in (Kind.TEAR_OFF, Kind.FIELD, Kind.RIDGE))


def _stop_line(run: Run, work: RoofWork) -> StopLine | None:
    """The place where the second limit ends."""
    section = next((s for s in work.sections if s.section_id == run.stop_section_id), None)
    if section is None:
        return None
    into = run.stop_squares_into_section
    whole = into >= section.squares - SQUARES_STEP
    return StopLine(section.section_id, section.name, section.stop_name, into, whole)


def _because(run: Run, sky: Sky, word: Word, hours: list[datetime], now: datetime) -> Because:
    """The cause of the verdict: what the dry-in moment waits for, or what stops the work."""
    if word is Word.TEAR_OFF and run.dry_in_cause is not None:
        hour, code, value, limit = run.dry_in_cause
        return Because(code, value, limit, hour)
    if word is Word.UNKNOWN:
        return Because("unknown", hour=hours[0])
    if word is Word.STAY_OFF:
        for hour in hours:
            cause = sky.cause((Kind.ON_ROOF, Kind.FIELD, Kind.RIDGE, Kind.TEAR_OFF), sky.minute(hour))
            if cause is not None:
                return Because(cause.code, cause.value, cause.limit, hour)
    asked = [reason for reason in run.reasons if reason[1] != NO_LONGER_ASKED]
    # The minutes before sunrise hold nobody for a whole day: another cause goes before them.
    for hour, code, value, limit in [reason for reason in asked if reason[1] != "dark"] or asked:
        return Because(code, value, limit, hour)
    return Because("nothing_to_open", hour=now)


def _as_reasons(because: Because, word: Word) -> tuple[tuple[datetime, str, float | None, float | None], ...]:
    """The cause as the one reason of a day on which the walk noted none, because nobody could set foot on the roof."""
    if word is not Word.STAY_OFF or because.hour is None:
        return ()
    return ((because.hour, because.code, because.value, because.limit),)


def bands(run: Run, sky: Sky, word: Word, first: datetime, last: datetime) -> tuple[Band, ...]:
    """Spans of hours of one kind: tear-off only before the last strip can still be dried in, else what is left."""
    strips = [e.end - e.start for e in run.exposures]
    latest = None if run.dry_in_by is None else run.dry_in_by - max([min(strips, default=LEAST_STRIP), LEAST_STRIP])
    found: list[Band] = []
    at = first
    while at < last:
        kind, code = _band_kind(sky, sky.minute(at), word is Word.TEAR_OFF and latest is not None and at <= latest)
        if found and found[-1].kind is kind and found[-1].code == code:
            found[-1] = replace(found[-1], end=at + HOUR)
        else:
            found.append(Band(at, at + HOUR, kind, code))
        at += HOUR
    return tuple(found)


def _band_kind(sky: Sky, minute: float, may_open: bool) -> tuple[Word, str]:
    """Kind and reason code of one hour."""
    cause: Cause | None
    if not sky.flag(sky.known, minute, outside=False):
        return Word.UNKNOWN, "unknown"
    if sky.flag(sky.dark, minute, outside=True):
        return Word.STAY_OFF, "dark"
    if not _allowed(sky, Kind.ON_ROOF, minute) or not _any_work(sky, minute):
        cause = sky.cause((Kind.ON_ROOF, Kind.FIELD, Kind.TEAR_OFF), minute)
        return Word.STAY_OFF, cause.code if cause else ""
    if may_open and sky.allowed_until(OPEN, minute) > minute:
        return Word.TEAR_OFF, ""
    cause = sky.cause(OPENING_WITH_BARRIER, minute)
    return Word.NO_TEAR_OFF, cause.code if cause else ""


def is_tighter(new: DayVerdict, old: DayVerdict) -> bool:
    """Whether any part of the new verdict asks for more care: word, either limit, or an earlier dry-in moment."""
    return (
        STRICTNESS[new.verdict] > STRICTNESS[old.verdict]
        or new.in_all_today_squares < old.in_all_today_squares - SQUARES_STEP
        or new.bare_at_once_squares < old.bare_at_once_squares - SQUARES_STEP
        or (new.must_close and not old.must_close)
        or _earlier(new.dry_in_by, old.dry_in_by)
    )


def is_looser(new: DayVerdict, old: DayVerdict) -> bool:
    """Whether any part of the new verdict would let more happen than the old one."""
    return is_tighter(old, new)


def _earlier(new: datetime | None, old: datetime | None) -> bool:
    """Whether a dry-in moment is earlier; a moment where there was none asks for more care, too."""
    if new is None:
        return False
    return old is None or new < old - TIME_STEP


def merge_in_force(in_force: DayVerdict, new: DayVerdict) -> DayVerdict:
    """What holds until a person accepts the new verdict: of each part the tighter one.

    Where the new verdict is tighter in one part and looser in another, only its tighter parts hold.
    """
    if not is_looser(new, in_force):
        return new
    stricter = new if STRICTNESS[new.verdict] > STRICTNESS[in_force.verdict] else in_force
    smaller = new if new.in_all_today_squares < in_force.in_all_today_squares else in_force
    opens = stricter.verdict is Word.TEAR_OFF
    moments = [v.dry_in_by for v in (in_force, new) if v.dry_in_by is not None]
    earliest = min(moments, default=None) if opens or new.bare_now_squares > AREA_SLACK else in_force.dry_in_by
    sooner = new if earliest is not None and earliest == new.dry_in_by else in_force
    return replace(
        stricter,
        bare_at_once_squares=min(new.bare_at_once_squares, in_force.bare_at_once_squares),
        in_all_today_squares=smaller.in_all_today_squares,
        stop_line=smaller.stop_line if opens else None,
        dry_in_by=earliest,
        valid_until=new.valid_until,
        p_wet=new.p_wet,
        because=stricter.because if new.verdict != in_force.verdict else sooner.because,
        bands=new.bands if is_tighter(new, in_force) else in_force.bands,
        bare_now_squares=new.bare_now_squares,
        must_close=new.must_close or in_force.must_close,
    )
