"""Cells of an import file turned into checked values. Each reader raises ValueError in a sentence for the office."""

from collections.abc import Callable, Mapping
from datetime import date, time
from math import isfinite
from typing import Any

from jobs.building_code import EDITIONS
from jobs.job_data import JOB_KINDS, TEXT_LIMITS, check_time_zone
from jobs.production_table import CUT_UP_FACTORS
from jobs.roof_data import MAX_LENGTH_FT, MAX_SQUARES
from jobs.roof_measure import DetailKind, EdgeKind, Underlayment, check_pitch

TRUE_WORDS = frozenset({"yes", "true", "1", "y"})
FALSE_WORDS = frozenset({"no", "false", "0", "n"})

Reader = Callable[[str], Any]


def number(low: float, high: float, unit: str = "", *, above: bool = False) -> Reader:
    """Return a reader of a number between two bounds; with above=True the lower bound itself is refused."""

    def read(text: str) -> float:
        try:
            value = float(text)
        except ValueError:
            raise ValueError(f"“{text}” is not a number; write it like 14.5, without units.") from None
        if not isfinite(value) or not low <= value <= high or (above and value == low):
            bounds = f"more than {low:g} and at most {high:g}" if above else f"between {low:g} and {high:g}"
            raise ValueError(f"It must be {bounds}{' ' + unit if unit else ''}, but is {text}.")
        return value

    return read


def whole(low: int, high: int) -> Reader:
    """Return a reader of a whole number between two bounds."""
    read_number = number(low, high)

    def read(text: str) -> int:
        value = float(read_number(text))
        if value != int(value):
            raise ValueError(f"It must be a whole number, but is {text}.")
        return int(value)

    return read


def word(*allowed: str) -> Reader:
    """Return a reader of one of these words."""

    def read(text: str) -> str:
        if text not in allowed:
            raise ValueError(f"“{text}” is not known; use one of {', '.join(allowed)}.")
        return text

    return read


def text(limit: int) -> Reader:
    """Return a reader of a text of at most so many letters."""

    def read(value: str) -> str:
        if len(value) > limit:
            raise ValueError(f"It is longer than {limit} letters.")
        if any(ord(letter) < 32 for letter in value):
            raise ValueError("It holds a control character or a line break.")
        return value

    return read


def pitch(value: str) -> float:
    """Read a pitch as 6 or 6/12."""
    amount = value.removesuffix("/12").strip()
    return check_pitch(number(-1000, 1000)(amount))


def yes_no(value: str) -> bool:
    """Read yes or no."""
    lower = value.lower()
    if lower in TRUE_WORDS:
        return True
    if lower in FALSE_WORDS:
        return False
    raise ValueError(f"“{value}” is neither yes nor no.")


def day(value: str) -> date:
    """Read a date as 2026-05-31."""
    try:
        return date.fromisoformat(value)
    except ValueError:
        raise ValueError(f"“{value}” is not a date; write it like 2026-05-31.") from None


def days(value: str) -> tuple[date, ...]:
    """Read dates separated by spaces or semicolons."""
    return tuple(day(part) for part in value.replace(";", " ").split())


def clock_time(value: str) -> time:
    """Read a wall time as 07:30."""
    try:
        read = time.fromisoformat(value)
    except ValueError:
        raise ValueError(f"“{value}” is not a time of day; write it like 07:30.") from None
    if read.tzinfo is not None:
        raise ValueError("A time of day is the wall time there, without a zone.")
    return read


def checklist(value: str) -> dict[str, str]:
    """Read checklist lines as permit=done; asbestos_test=not_needed."""
    lines = {}
    for part in filter(None, (piece.strip() for piece in value.split(";"))):
        kind, _, state = (piece.strip() for piece in part.partition("="))
        word(*READY_KINDS)(kind)
        lines[kind] = word("done", "owed", "not_needed")(state)
    return lines


READY_KINDS = (
    "permit",
    "product_color",
    "payment",
    "association",
    "homeowner_dates",
    "things_off_roof",
    "asbestos_test",
)

JOB_COLUMNS: Mapping[str, Reader] = {
    **{name: text(limit) for name, limit in TEXT_LIMITS.items() if name != "number"},
    "time_zone": check_time_zone,
    "kind": word(*JOB_KINDS),
    "lat": number(-90, 90, "degrees north"),
    "lon": number(-180, 180, "degrees east"),
    "storeys": whole(1, 4),
    "layers": whole(1, 5),
    "cut_up": word(*CUT_UP_FACTORS),
    "debris_carry": yes_no,
    "code_edition": word(*EDITIONS),
    "ice_barrier_required": yes_no,
    "wall_thickness_in": number(0, 36, "inches"),
    "eave_overhang_in": number(0, 60, "inches"),
    "deck_sheets_allowance": whole(0, 500),
    "underlayment": word(*(kind.value for kind in Underlayment)),
    "promised_from": day,
    "promised_by": day,
    "blocked_dates": days,
    "allowed_start": clock_time,
    "allowed_end": clock_time,
    "priority": whole(0, 3),
    "contract_value_usd": whole(0, 100_000_000),
    "roof_drop_allowed": yes_no,
    "contact_name": text(120),
    "contact_phone": text(40),
    "contact_email": text(254),
    "contact_language": text(5),
    "ready": checklist,
}
SECTION_COLUMNS: Mapping[str, Reader] = {
    "section": text(60),
    "pitch_in_12": pitch,
    "squares": number(0, MAX_SQUARES, "squares", above=True),
    "eave_ft": number(0, MAX_LENGTH_FT, "ft"),
    "run_ft": number(0, MAX_LENGTH_FT, "ft"),
    "downslope_deg": number(0, 360, "degrees"),
}
EDGE_COLUMNS: Mapping[str, Reader] = {
    "kind": word(*(kind.value for kind in EdgeKind)),
    "length_ft": number(0, MAX_LENGTH_FT, "ft", above=True),
    "section": text(60),
    "other_section": text(60),
    "vented": yes_no,
}
DETAIL_COLUMNS: Mapping[str, Reader] = {
    "kind": word(*(kind.value for kind in DetailKind)),
    "count": whole(0, 1000),
    "length_ft": number(0, MAX_LENGTH_FT, "ft"),
    "section": text(60),
}
COLUMNS_BY_RECORD: Mapping[str, Mapping[str, Reader]] = {
    "job": JOB_COLUMNS,
    "section": SECTION_COLUMNS,
    "edge": EDGE_COLUMNS,
    "detail": DETAIL_COLUMNS,
}
REQUIRED_BY_RECORD: Mapping[str, tuple[str, ...]] = {
    "job": ("short_name", "street", "lat", "lon"),
    "section": ("section", "pitch_in_12", "squares"),
    "edge": ("kind", "length_ft"),
    "detail": ("kind",),
}
ALL_COLUMNS = ("record", "job", *dict.fromkeys(name for table in COLUMNS_BY_RECORD.values() for name in table))
