"""Reads a roster file: one row per worker, further rows of the same worker add absences or certificates.

Columns (a header row names them, any order): name, phone, language, skills (; between them), working_days (RFC 5545
rule), hourly_cost_usd, crew, crew_kind (own or subcontract), lead (yes or empty), insurance_until, steep_limit_in_12,
from_day, to_day, absence_from, absence_days, absence_rule, absence_reason, training, trained_on, expires_on.
Only name is needed. Nothing is taken over unless every row is sound.
"""

import csv
import io
from dataclasses import dataclass, replace
from datetime import date

from crews.roster import AbsenceSpan, check_rule
from crews.roster_fields import FileRow, RowError, day, number, one_of, whole, yes_or_no

COLUMNS = (
    "name", "phone", "language", "skills", "working_days", "hourly_cost_usd", "crew", "crew_kind", "lead",
    "insurance_until", "steep_limit_in_12", "from_day", "to_day", "absence_from", "absence_days", "absence_rule",
    "absence_reason", "training", "trained_on", "expires_on",
)  # fmt: skip
LANGUAGES = ("en", "es")
CREW_KINDS = ("own", "subcontract")
DEFAULT_WORKING_DAYS = "FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR"
DEFAULT_HOURLY_COST_USD = 38.0
DEFAULT_STEEP_LIMIT_IN_12 = 12.0
NAME_LENGTH = 80
CREW_NAME_LENGTH = 40
MAX_BYTES = 2_000_000


@dataclass(frozen=True)
class TrainingRow:
    """One certificate."""

    topic: str
    trained_on: date
    expires_on: date | None


@dataclass(frozen=True)
class WorkerRow:
    """One worker with everything that the file says."""

    line: int
    name: str
    phone: str
    language: str
    skills: tuple[str, ...]
    working_days: str
    hourly_cost_usd: float
    crew: str
    lead: bool
    from_day: date | None
    to_day: date | None
    absences: tuple[AbsenceSpan, ...] = ()
    trainings: tuple[TrainingRow, ...] = ()


@dataclass(frozen=True)
class CrewRow:
    """One crew as its first row describes it."""

    line: int
    name: str
    subcontract: bool
    insurance_until: date | None
    steep_limit_in_12: float


@dataclass(frozen=True)
class RosterFile:
    """A read roster; errors empty means it can be taken over."""

    workers: tuple[WorkerRow, ...]
    crews: tuple[CrewRow, ...]
    errors: tuple[RowError, ...]


def read_roster(content: bytes) -> RosterFile:
    """What a roster file says, with every refused field.

    content: the file, UTF-8 (a byte order mark is allowed), comma-separated, at most 2 MB.
    """
    table, errors = _table(content)
    workers: dict[str, WorkerRow] = {}
    crews: dict[str, CrewRow] = {}
    for row in table:
        worker, crew = _worker(row), _crew(row)
        if worker.name:
            _merge(workers, worker, row)
        if crew is not None:
            _merge_crew(crews, crew, row)
        errors.extend(row.errors)
    errors.extend(_lead_errors(workers))
    return RosterFile(tuple(workers.values()), tuple(crews.values()), tuple(sorted(errors, key=lambda e: e.line)))


def _table(content: bytes) -> tuple[list[FileRow], list[RowError]]:
    if len(content) > MAX_BYTES:
        return [], [RowError(1, "", f"The file is larger than {MAX_BYTES // 1_000_000} MB.")]
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return [], [RowError(1, "", "The file is not UTF-8 text.")]
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    rows: list[FileRow] = []
    errors: list[RowError] = []
    try:
        header = [cell.strip().lower() for cell in next(reader, [])]
        errors.extend(_header_errors(header))
        for cells in reader:
            if not any(cell.strip() for cell in cells):
                continue
            if len(cells) > len(header):
                errors.append(
                    RowError(reader.line_num, "", f"{len(cells)} fields, but the header names {len(header)}.")
                )
            else:
                rows.append(FileRow(reader.line_num, dict(zip(header, cells, strict=False))))
    except csv.Error as error:
        errors.append(RowError(reader.line_num, "", f"Not readable as a comma-separated table: {error}."))
    if not rows and not errors:
        errors.append(RowError(1, "", "The file holds no worker."))
    return rows, errors


def _header_errors(header: list[str]) -> list[RowError]:
    if "name" not in header:
        return [RowError(1, "name", "The first line must name the columns; 'name' is missing.")]
    unknown = [name for name in header if name not in COLUMNS]
    twice = [name for index, name in enumerate(header) if name in header[:index]]
    return [RowError(1, name, f"There is no column “{name}”; known are {', '.join(COLUMNS)}.") for name in unknown] + [
        RowError(1, name, f"The column “{name}” stands twice.") for name in twice if name in COLUMNS
    ]


def _worker(row: FileRow) -> WorkerRow:
    name = row.text("name")
    if not name:
        row.refuse("name", "A worker needs a name.")
    elif len(name) > NAME_LENGTH:
        row.refuse("name", f"A name holds at most {NAME_LENGTH} characters.")
    from_day, to_day = row.read("from_day", None, day), row.read("to_day", None, day)
    if from_day and to_day and to_day < from_day:
        row.refuse("to_day", "The worker would leave the crew before joining it.")
    return WorkerRow(
        line=row.line,
        name=name,
        phone=row.text("phone"),
        language=row.read("language", "en", lambda text: one_of(text, LANGUAGES)),
        skills=tuple(part.strip() for part in row.text("skills").split(";") if part.strip()),
        working_days=row.read("working_days", DEFAULT_WORKING_DAYS, check_rule),
        hourly_cost_usd=row.read("hourly_cost_usd", DEFAULT_HOURLY_COST_USD, lambda text: number(text, 0, 500)),
        crew=row.text("crew"),
        lead=row.read("lead", False, yes_or_no),
        from_day=from_day,
        to_day=to_day,
        absences=_absences(row),
        trainings=_trainings(row),
    )


def _absences(row: FileRow) -> tuple[AbsenceSpan, ...]:
    first = row.read("absence_from", None, day)
    rule = row.read("absence_rule", "", check_rule)
    days = row.read("absence_days", 1, whole)
    if first is None:
        if (rule or row.text("absence_days")) and not row.text("absence_from"):
            row.refuse("absence_from", "An absence needs its first day.")
        return ()
    return (AbsenceSpan(first, days, rule, row.text("absence_reason")),)


def _trainings(row: FileRow) -> tuple[TrainingRow, ...]:
    topic = row.text("training")
    trained_on = row.read("trained_on", None, day)
    expires_on = row.read("expires_on", None, day)
    if not topic:
        return ()
    if trained_on is None:
        if not row.text("trained_on"):
            row.refuse("trained_on", "A certificate needs its date (29 CFR 1926.503(b)(1)).")
        return ()
    if expires_on is not None and expires_on < trained_on:
        row.refuse("expires_on", "A certificate cannot expire before it was given.")
    return (TrainingRow(topic, trained_on, expires_on),)


def _crew(row: FileRow) -> CrewRow | None:
    name = row.text("crew")
    if len(name) > CREW_NAME_LENGTH:
        row.refuse("crew", f"A crew's name holds at most {CREW_NAME_LENGTH} characters.")
    kind = row.read("crew_kind", "own", lambda text: one_of(text, CREW_KINDS))
    insurance = row.read("insurance_until", None, day)
    steep = row.read("steep_limit_in_12", DEFAULT_STEEP_LIMIT_IN_12, lambda text: number(text, 0, 24))
    return CrewRow(row.line, name, kind == "subcontract", insurance, steep) if name else None


def _merge(workers: dict[str, WorkerRow], new: WorkerRow, row: FileRow) -> None:
    known = workers.get(new.name)
    if known is None:
        workers[new.name] = new
        return
    if not new.absences and not new.trainings:
        row.refuse("name", f"“{new.name}” stands on line {known.line} already.")
    if new.crew and new.crew != known.crew:
        row.refuse("crew", f"“{new.name}” is in crew {known.crew or 'none'} on line {known.line}.")
    workers[new.name] = replace(
        known, absences=known.absences + new.absences, trainings=known.trainings + new.trainings
    )


def _merge_crew(crews: dict[str, CrewRow], new: CrewRow, row: FileRow) -> None:
    known = crews.setdefault(new.name, new)
    if row.text("crew_kind") and new.subcontract != known.subcontract:
        row.refuse("crew_kind", f"Crew {new.name} is of another kind on line {known.line}.")
    if new.insurance_until is not None and new.insurance_until != known.insurance_until:
        if known.insurance_until is not None:
            row.refuse("insurance_until", f"Crew {new.name} has another date on line {known.line}.")
        else:
            crews[new.name] = replace(known, insurance_until=new.insurance_until)


def _lead_errors(workers: dict[str, WorkerRow]) -> list[RowError]:
    leads: dict[str, WorkerRow] = {}
    errors = []
    for worker in workers.values():
        if worker.lead and not worker.crew:
            errors.append(RowError(worker.line, "lead", f"{worker.name} leads, but is in no crew."))
        elif worker.lead and worker.crew in leads:
            errors.append(RowError(worker.line, "lead", f"Crew {worker.crew} has the lead {leads[worker.crew].name}."))
        elif worker.lead:
            leads[worker.crew] = worker
    return errors
