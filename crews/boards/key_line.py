"""The key line of a roof's day as data: two figures, one place, one time, one cause. Templates hold the words."""

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True)
class Cause:
    """One cause in numbers.

    code: rain, wet, thunder, gust, wind, cold, frost, dew, dark, shift_end, unknown, too_old, no_point, source_off,
    none, alert, held, own_limit, load, inspection, nothing_old, ready, people, done.
    value and limit are in `unit` (share: 0 to 1 of the chance of rain; mph; degF; h; min; squares).
    """

    code: str
    start: datetime | None = None
    end: datetime | None = None
    value: float | None = None
    limit: float | None = None
    unit: str = ""
    text: str = ""  # a name or a person's own words, never a sentence of ours


@dataclass(frozen=True)
class KeyLine:
    """What the crew must know, in one form everywhere.

    in_all_today_squares counts what is already open and equals the squares up to the stop line. off_from and off_until
    bound the time off the roof; shingle_squares is the closed work that the walk found for the day.
    """

    verdict: str  # tear_off, no_tear_off, stay_off, unknown
    bare_at_once_squares: float
    in_all_today_squares: float
    stop_line: str
    dry_in_by: datetime | None
    cause: Cause | None
    bare_now_squares: float = 0.0
    open_ridge_now_ft: float = 0.0
    off_from: datetime | None = None
    off_until: datetime | None = None
    shingle_squares: float = 0.0
    shingle_from: datetime | None = None
    old_squares: float = 0.0
    held: bool = False
    own_limit_squares: float | None = None
    office_reason: str = ""
    has_closed_work: bool = False  # False turns the word into plain 'No tear-off'
    valid_until: datetime | None = None
    ahead: bool = False  # of a day that has not begun: what is open is what the day begins with, not what is open now
    p_wet: float | None = None
