"""Jobs from one CSV file.

The first line names the columns, in any order. The column `record` says what a row is (job, section, edge or detail),
`job` which job it belongs to; a row fills the columns of its kind and leaves the others empty:

- job: short_name, street, lat, lon (needed); kind (re_roof, repair, emergency_cover), city, state, time_zone, storeys,
  layers, cut_up, debris_carry, code_edition, ice_barrier_required, wall_thickness_in, eave_overhang_in,
  deck_sheets_allowance, product_line, shingle_color, metal_color, underlayment, permit_number, promised_from,
  promised_by, blocked_dates, allowed_start, allowed_end, priority, contract_value_usd, roof_drop_allowed, hazards,
  wishes, measured_by, contact_name, contact_phone, contact_email, contact_language, ready
- section: section (its name), pitch_in_12, squares (needed); eave_ft, run_ft (along the slope), downslope_deg
- edge: kind (eave, rake, ridge, hip, valley, wall), length_ft (needed); section, other_section, vented
- detail: kind (pipe_boot, chimney, step_flashing, skylight) (needed); count, length_ft, section

UTF-8, with or without byte order mark. A job row may stand before or after its sections.
"""

import csv
import io
from collections import Counter

from jobs.importing.records import Record, assembled, read_row
from jobs.importing.result import MAX_ROWS, FileRefused, ParsedJobs, RefusedRow
from jobs.importing.values import ALL_COLUMNS


def parse_csv(document: str) -> ParsedJobs:
    """Return the jobs of a CSV document, or every refused row with line, column and reason.

    Raises
    ------
    FileRefused
        The head line is missing or wrong, the quoting is broken, or the file is too long.
    """
    # newline="" keeps a line break inside quotes a part of its cell; line numbers count real lines.
    reader = csv.reader(io.StringIO(document, newline=""), strict=True)
    records: list[Record] = []
    refused: list[RefusedRow] = []
    doubtful: set[str] = set()
    try:
        columns = _head(next(reader, []))
        line = reader.line_num + 1
        for n_rows, cells in enumerate(reader, start=1):
            if n_rows > MAX_ROWS:
                raise FileRefused(f"The file holds more than {MAX_ROWS} rows.", line)
            if any(cell.strip() for cell in cells):
                record, problems = _row(line, columns, cells)
                records += [record] if record else []
                refused += problems
                if problems:
                    doubtful.add(cells[columns.index("job")].strip() if len(cells) > columns.index("job") else "")
            line = reader.line_num + 1
    except csv.Error as error:
        raise FileRefused(f"The quoting or the separators are broken ({error}).", reader.line_num) from error
    return assembled(records, refused, doubtful)


def _head(cells: list[str]) -> list[str]:
    columns = [cell.strip() for cell in cells]
    if not any(columns):
        raise FileRefused("The file is empty; its first line must name the columns.", 1)
    for name in ("record", "job"):
        if name not in columns:
            raise FileRefused(f"The first line lacks the column “{name}”.", 1, name)
    for name, count in Counter(columns).items():
        if name and count > 1:
            raise FileRefused(f"The column “{name}” stands there twice.", 1, name)
        if name and name not in ALL_COLUMNS:
            raise FileRefused(f"“{name}” is not a known column.", 1, name)
    return columns


def _row(line: int, columns: list[str], cells: list[str]) -> tuple[Record | None, list[RefusedRow]]:
    surplus = cells[len(columns) :]
    if any(cell.strip() for cell in surplus):
        reason = f"The row has {len(cells)} cells, but the first line names {len(columns)} columns."
        return None, [RefusedRow(line, "", reason)]
    named = {column: cell for column, cell in zip(columns, cells, strict=False) if column}
    return read_row(line, named)
