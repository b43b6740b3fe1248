"""What an import file was read as: jobs, or the rows that are refused."""

from collections.abc import Iterable
from dataclasses import dataclass

from jobs.job_data import JobData

MAX_BYTES = 4 * 1024 * 1024
MAX_ROWS = 20_000
MAX_JOBS = 500
MAX_REFUSED = 200  # so that a file of nonsense does not fill the page


@dataclass(frozen=True)
class RefusedRow:
    """One reason to refuse the file: where, in which column (empty: the whole row), and why in a sentence.

    line: the line of a CSV file, or the number of a GeoJSON feature, from 1; 0 is the file as a whole.
    """

    line: int
    column: str
    reason: str
    place: str = "line"  # or "feature"

    def __str__(self) -> str:
        where = f"{self.place} {self.line}" if self.line else "file"
        return f"{where}, column {self.column}: {self.reason}" if self.column else f"{where}: {self.reason}"


@dataclass(frozen=True)
class ParsedJob:
    """One job of the file and the line or feature it stands on."""

    line: int
    data: JobData
    place: str = "line"


@dataclass(frozen=True)
class ParsedJobs:
    """The whole file: either every job of it, or every reason why none is taken."""

    jobs: tuple[ParsedJob, ...] = ()
    refused: tuple[RefusedRow, ...] = ()

    def __post_init__(self) -> None:
        if self.jobs and self.refused:
            raise ValueError("A file is imported whole or not at all.")

    @property
    def ok(self) -> bool:
        """Nothing was refused and something is there."""
        return bool(self.jobs) and not self.refused


class FileRefused(ValueError):
    """The file as a whole cannot be read; carries the row that says why."""

    def __init__(self, reason: str, line: int = 0, column: str = "", place: str = "line") -> None:
        super().__init__(reason)
        self.row = RefusedRow(line, column, reason, place)


def whole_or_nothing(jobs: Iterable[ParsedJob], refused: Iterable[RefusedRow]) -> ParsedJobs:
    """Return the jobs when nothing was refused, else the refused rows in the order of the file."""
    rows = sorted(refused, key=lambda row: row.line)
    if rows:
        return ParsedJobs(refused=tuple(rows[:MAX_REFUSED]))
    return ParsedJobs(jobs=tuple(jobs))
