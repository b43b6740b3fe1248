"""The fields of a roster file: one line while it is read, and what a typed value means."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import TypeVar

YES = ("yes", "y", "x", "1", "true")
NO = ("", "no", "n", "0", "false")
LONGEST_ABSENCE_DAYS = 366

Value = TypeVar("Value")


@dataclass(frozen=True)
class RowError:
    """One refused field: line in the file (the header is line 1), column, and why."""

    line: int
    column: str
    reason: str


class FileRow:
    """One line while it is read; every field that fails is noted and the reading goes on."""

    def __init__(self, line: int, cells: dict[str, str]) -> None:
        self.line = line
        self.cells = cells
        self.errors: list[RowError] = []

    def text(self, column: str) -> str:
        """What stands in a column, without blanks at its ends."""
        return self.cells.get(column, "").strip()

    def refuse(self, column: str, reason: str) -> None:
        """Note that a column is refused."""
        self.errors.append(RowError(self.line, column, reason))

    def read(self, column: str, default: Value, parse: Callable[[str], Value]) -> Value:
        """The value of a column; the default where it is empty, or refused and noted."""
        text = self.text(column)
        if not text:
            return default
        try:
            return parse(text)
        except ValueError as error:
            self.refuse(column, str(error))
            return default


def day(text: str) -> date:
    """The day that a text names; ValueError for what is none."""
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise ValueError(f"“{text}” is no date; write it like 2026-10-13.") from error


def whole(text: str) -> int:
    """A whole number of days; ValueError for what is none."""
    if not text.isdecimal() or not 1 <= int(text) <= LONGEST_ABSENCE_DAYS:
        raise ValueError(f"“{text}” is no number of days from 1 to {LONGEST_ABSENCE_DAYS}.")
    return int(text)


def number(text: str, low: float, high: float) -> float:
    """A number within bounds; ValueError for what is none or lies outside."""
    try:
        value = float(text)
    except ValueError as error:
        raise ValueError(f"“{text}” is no number.") from error
    if not low <= value <= high:
        raise ValueError(f"{text} must lie between {low:g} and {high:g}.")
    return value


def one_of(text: str, known: tuple[str, ...]) -> str:
    """One of the known words, whatever its case; ValueError for another."""
    if text.lower() not in known:
        raise ValueError(f"“{text}” is not one of {', '.join(known)}.")
    return text.lower()


def yes_or_no(text: str) -> bool:
    """True for yes, False for no; ValueError for anything else."""
    if text.lower() not in (*YES, *NO):
        raise ValueError(f"“{text}” is neither yes nor no.")
    return text.lower() in YES
