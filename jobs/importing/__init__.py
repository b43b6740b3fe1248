"""Import files read as jobs with their roofs, or refused row by row; nothing half."""

from jobs.importing.csv_file import parse_csv
from jobs.importing.geojson_file import parse_geojson
from jobs.importing.result import MAX_BYTES, FileRefused, ParsedJob, ParsedJobs, RefusedRow


def parse(document: bytes) -> ParsedJobs:
    """Return the jobs of an import file, CSV or GeoJSON, told apart by its first sign.

    Never raises for what stands in the file: every reason to refuse it is in `ParsedJobs.refused`.
    """
    try:
        return _parsed(document)
    except FileRefused as error:
        return ParsedJobs(refused=(error.row,))


def _parsed(document: bytes) -> ParsedJobs:
    if len(document) > MAX_BYTES:
        raise FileRefused(f"The file is larger than {MAX_BYTES // 1024 // 1024} MB.")
    try:
        text = document.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = document.count(b"\n", 0, error.start) + 1
        raise FileRefused("The file is not UTF-8; save it again with the encoding UTF-8.", line) from error
    if "\x00" in text:
        raise FileRefused(
            "The file holds zero bytes; it is not a text file.", text[: text.index("\x00")].count("\n") + 1
        )
    if text.lstrip().startswith(("{", "[")):
        return parse_geojson(text)
    return parse_csv(text)


__all__ = [
    "MAX_BYTES",
    "FileRefused",
    "ParsedJob",
    "ParsedJobs",
    "RefusedRow",
    "parse",
    "parse_csv",
    "parse_geojson",
]
