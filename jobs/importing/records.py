"""Rows that were read become jobs with their roofs; what does not fit is refused by line and column."""

from collections.abc import Container, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from jobs.importing.result import MAX_JOBS, ParsedJob, ParsedJobs, RefusedRow, whole_or_nothing
from jobs.importing.values import COLUMNS_BY_RECORD, REQUIRED_BY_RECORD, text
from jobs.job_data import TEXT_LIMITS, ContactData, JobData
from jobs.roof_data import DetailData, EdgeData, RoofData, SectionData
from jobs.roof_measure import DetailKind, EdgeKind

CONTACT_COLUMNS = ("contact_name", "contact_phone", "contact_email", "contact_language")


@dataclass(frozen=True)
class Record:
    """One row: where it stands, what it is, the job it belongs to, its checked values."""

    line: int
    record: str
    job: str
    values: Mapping[str, Any]
    place: str = "line"


@dataclass
class JobRecords:
    """The rows of one job while the file is read."""

    job: Record | None = None
    sections: list[Record] = field(default_factory=list)
    edges: list[Record] = field(default_factory=list)
    details: list[Record] = field(default_factory=list)


def read_row(
    line: int, cells: Mapping[str, str], *, place: str = "line", optional: Iterable[str] = ()
) -> tuple[Record | None, list[RefusedRow]]:
    """Return the record of one row, or why it is refused.

    Parameters
    ----------
    line
        Line or feature number.
    cells
        Texts by column; an empty text is a cell left empty.
    optional
        Columns that this kind of file gives in another way.
    """
    record, job = cells.get("record", "").strip(), cells.get("job", "").strip()
    if record not in COLUMNS_BY_RECORD:
        known = ", ".join(COLUMNS_BY_RECORD)
        return None, [RefusedRow(line, "record", f"“{record}” is not a kind of row; use one of {known}.", place)]
    readers = COLUMNS_BY_RECORD[record]
    refused: list[RefusedRow] = []
    values: dict[str, Any] = {}
    if not job:
        refused.append(RefusedRow(line, "job", "The job number is missing.", place))
    else:
        refused += _try("job", job, text(TEXT_LIMITS["number"]), line, place, {})
    for column, raw in cells.items():
        value = raw.strip()
        if column in ("record", "job") or not value:
            continue
        if column not in readers:
            refused.append(RefusedRow(line, column, f"A {record} row has no such column; leave it empty.", place))
        else:
            refused += _try(column, value, readers[column], line, place, values)
    wrong = {row.column for row in refused}
    refused += [
        RefusedRow(line, column, "It must not be empty.", place)
        for column in REQUIRED_BY_RECORD[record]
        if column not in values and column not in wrong and column not in optional
    ]
    return (None if refused else Record(line, record, job, values, place)), refused


def _try(column: str, value: str, reader: Any, line: int, place: str, values: dict[str, Any]) -> list[RefusedRow]:
    try:
        values[column] = reader(value)
    except ValueError as error:
        return [RefusedRow(line, column, str(error), place)]
    return []


def assembled(records: Sequence[Record], refused: Iterable[RefusedRow], doubtful: Container[str] = ()) -> ParsedJobs:
    """Return every job with its roof, or every reason to refuse the file.

    Parameters
    ----------
    records
        The rows that could be read, in the order of the file.
    refused
        The rows that could not.
    doubtful
        Job numbers of which a row was refused: what is wrong with the rest of them may only follow from it, so nothing
        more is said about them.
    """
    jobs, found = _grouped(records, doubtful)
    problems = [*refused, *found]
    parsed: list[ParsedJob] = []
    for number, rows in jobs.items():
        if rows.job is None or number in doubtful:
            continue
        roof, found = roof_of(rows.job, rows)
        problems += found
        if roof is None:
            continue
        try:
            parsed.append(ParsedJob(rows.job.line, job_of(rows.job, roof), rows.job.place))
        except ValueError as error:
            problems.append(RefusedRow(rows.job.line, "", str(error), rows.job.place))
    if not parsed and not problems:
        problems.append(RefusedRow(0, "", "The file holds no job."))
    return whole_or_nothing(parsed, problems)


def _grouped(records: Sequence[Record], doubtful: Container[str]) -> tuple[dict[str, JobRecords], list[RefusedRow]]:
    """Return the records by job number, and what belongs to no job or stands twice."""
    jobs: dict[str, JobRecords] = {}
    refused: list[RefusedRow] = []
    for record in records:
        if record.record != "job":
            continue
        if record.job in jobs:
            refused.append(RefusedRow(record.line, "job", f"Job {record.job} stands in the file twice.", record.place))
        jobs.setdefault(record.job, JobRecords(job=record))
    if len(jobs) > MAX_JOBS:
        refused.append(RefusedRow(0, "", f"The file holds {len(jobs)} jobs; at most {MAX_JOBS} at once."))
    for record in records:
        if record.record == "job" or record.job in doubtful:
            continue
        if record.job not in jobs:
            reason = f"No job row of this file carries the number {record.job}."
            refused.append(RefusedRow(record.line, "job", reason, record.place))
        else:
            getattr(jobs[record.job], f"{record.record}s").append(record)
    return jobs, refused


def job_of(record: Record, roof: RoofData) -> JobData:
    """Return the job of a job row; ValueError where its values contradict each other."""
    values = {name: value for name, value in record.values.items() if name not in CONTACT_COLUMNS}
    contact = {name.removeprefix("contact_"): record.values[name] for name in CONTACT_COLUMNS if name in record.values}
    if contact and "name" not in contact:
        raise ValueError("The homeowner's phone or e-mail is given without a name.")
    return JobData(number=record.job, roof=roof, contact=ContactData(**contact) if contact else None, **values)


def roof_of(job: Record, rows: JobRecords) -> tuple[RoofData | None, list[RefusedRow]]:
    """Return the roof of one job's rows, or why it is refused."""
    if not rows.sections:
        reason = f"Job {job.job} has no section row; a job needs at least one roof section."
        return None, [RefusedRow(job.line, "", reason, job.place)]
    refused = [*_twice(rows.sections), *_unknown_sections(rows)]
    parts: dict[str, list[Any]] = {"section": [], "edge": [], "detail": []}
    for record in (*rows.sections, *rows.edges, *rows.details):
        try:
            parts[record.record].append(_part(record))
        except ValueError as error:
            refused.append(RefusedRow(record.line, "", str(error), record.place))
    if refused:
        return None, refused
    try:
        return RoofData(tuple(parts["section"]), tuple(parts["edge"]), tuple(parts["detail"])), []
    except ValueError as error:
        return None, [RefusedRow(job.line, "", str(error), job.place)]


def _part(record: Record) -> SectionData | EdgeData | DetailData:
    values = dict(record.values)
    if record.record == "section":
        return SectionData(name=values.pop("section"), **values)
    kind = values.pop("kind")
    if record.record == "edge":
        return EdgeData(kind=EdgeKind(kind), **values)
    return DetailData(kind=DetailKind(kind), **values)


def _twice(sections: Sequence[Record]) -> list[RefusedRow]:
    seen: set[str] = set()
    refused = []
    for record in sections:
        name = record.values["section"]
        if name in seen:
            reason = f"Two sections are named “{name}”; name each by its side of the house."
            refused.append(RefusedRow(record.line, "section", reason, record.place))
        seen.add(name)
    return refused


def _unknown_sections(rows: JobRecords) -> list[RefusedRow]:
    names = {record.values["section"] for record in rows.sections}
    return [
        RefusedRow(record.line, column, f"No section of this job is named “{record.values[column]}”.", record.place)
        for record in (*rows.edges, *rows.details)
        for column in ("section", "other_section")
        if column in record.values and record.values[column] not in names
    ]
