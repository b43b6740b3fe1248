"""Jobs from CSV: read whole, or refused row by row with line, column and reason."""

import csv
import io
from datetime import date, time
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.importing import MAX_BYTES, ParsedJobs, parse
from jobs.importing.values import ALL_COLUMNS
from jobs.job_data import JobData
from jobs.roof_data import EdgeData, RoofData, SectionData
from jobs.roof_measure import DetailKind, EdgeKind

EXAMPLES = Path(__file__).parents[2] / "fixtures" / "import"
HEAD = "record,job,short_name,street,lat,lon,time_zone,section,pitch_in_12,squares,kind,length_ft,vented,layers\n"
JOB = "job,7,Holt,18 Alder Court,44.9,-93.1,,,,,,,,\n"
SECTION = "section,7,,,,,,front slope,6/12,7.04,,,,\n"


def read(*rows: str, head: str = HEAD) -> ParsedJobs:
    return parse((head + "".join(rows)).encode())


def refusals(parsed: ParsedJobs) -> list[tuple[int, str]]:
    assert parsed.jobs == ()
    return [(row.line, row.column) for row in parsed.refused]


def test_the_example_file_is_read() -> None:
    parsed = parse((EXAMPLES / "invented-jobs.csv").read_bytes())
    assert parsed.ok
    first, second = (job.data for job in parsed.jobs)
    assert (first.number, first.short_name, first.storeys) == ("X-101", "Invented Tamarack", 1)
    assert sum(section.squares for section in first.roof.sections) == pytest.approx(14.087, abs=0.002)
    assert first.ready["permit"] == "done"
    assert first.contact is not None
    assert {edge.kind for edge in second.roof.edges} >= {EdgeKind.VALLEY, EdgeKind.RIDGE, EdgeKind.EAVE}
    assert second.roof.details[0].kind is DetailKind.PIPE_BOOT


def test_rows_may_stand_in_any_order_and_empty_lines_between() -> None:
    assert read(SECTION, "\n", ",,,,,,,,,,,,,\n", JOB).ok


def test_a_byte_order_mark_and_windows_line_ends_are_read() -> None:
    document = (HEAD + JOB + SECTION).replace("\n", "\r\n").encode("utf-8-sig")
    assert parse(document).ok


@pytest.mark.parametrize(
    ("row", "column", "reason"),
    [
        ("section,7,,,,,,back slope,40/12,7.04,,,,\n", "pitch_in_12", "A pitch of 40/12 is not a roof"),
        ("section,7,,,,,,back slope,6,-7,,,,\n", "squares", "more than 0"),
        ("section,7,,,,,,back slope,6,nan,,,,\n", "squares", "but is nan"),
        ("section,7,,,,,,back slope,six,7,,,,\n", "pitch_in_12", "“six” is not a number"),
        ("section,7,,,,,,,6,7,,,,\n", "section", "must not be empty"),
        ("section,7,,,,,,front slope,6,7,,,,\n", "section", "Two sections are named “front slope”"),
        ("edge,7,,,,,,front slope,,,eave,-42,,\n", "length_ft", "more than 0 and at most 2000 ft"),
        ("edge,7,,,,,,front slope,,,gutter,42,,\n", "kind", "“gutter” is not known; use one of eave, rake"),
        ("edge,7,,,,,,garage,,,eave,42,,\n", "section", "No section of this job is named “garage”"),
        ("edge,7,,,,,,front slope,,,eave,42,yes,\n", "", "Only a ridge can have a vent"),
        ("edge,7,,,,,,front slope,6,,eave,42,,\n", "pitch_in_12", "no such column; leave it empty"),
        ("edge,8,,,,,,front slope,,,eave,42,,\n", "job", "No job row of this file carries the number 8"),
        ("wall,7,,,,,,,,,,,,\n", "record", "“wall” is not a kind of row"),
        ("section,7,,,,,,back slope,6,7,,,,,,surplus\n", "", "16 cells, but the first line names 14"),
    ],
)
def test_a_wrong_row_is_named_by_line_and_column(row: str, column: str, reason: str) -> None:
    parsed = read(JOB, SECTION, row)
    assert refusals(parsed) == [(4, column)]
    assert reason in parsed.refused[0].reason


@pytest.mark.parametrize(
    ("row", "column", "reason"),
    [
        ("job,7,Holt,18 Alder Court,44.9,-93.1,America/Westmere,,,,,,,\n", "time_zone", "is not a time zone name"),
        ("job,7,Holt,18 Alder Court,93.1,-44.9,,,,,,,,\n", "lat", "between -90 and 90"),
        ("job,7,Holt,18 Alder Court,,-93.1,,,,,,,,\n", "lat", "must not be empty"),
        ("job,7,Holt,18 Alder Court,44.9,-93.1,,,,,,,,9\n", "layers", "between 1 and 5"),
        ("job,7,Holt,18 Alder Court,44.9,-93.1,,,,,,,,1.5\n", "layers", "whole number"),
        ("job,,Holt,18 Alder Court,44.9,-93.1,,,,,,,,\n", "job", "job number is missing"),
    ],
)
def test_a_wrong_job_row_is_named_once_and_its_sections_are_not_blamed(row: str, column: str, reason: str) -> None:
    parsed = read(row, SECTION) if column != "job" else read(row)
    assert refusals(parsed) == [(2, column)]
    assert reason in parsed.refused[0].reason


def test_a_job_without_sections_is_refused() -> None:
    parsed = read(JOB)
    assert refusals(parsed) == [(2, "")]
    assert "a job needs at least one roof section" in parsed.refused[0].reason


def test_all_wrong_rows_are_named_and_nothing_half_is_taken() -> None:
    good = JOB.replace("job,7", "job,8") + SECTION.replace("section,7", "section,8")
    parsed = read(good, JOB, SECTION.replace("6/12", "40"), JOB.replace("44.9", "north"))
    assert refusals(parsed) == [(5, "pitch_in_12"), (6, "lat")]


def test_a_job_that_stands_twice_is_refused() -> None:
    assert refusals(read(JOB, SECTION, JOB)) == [(4, "job")]


def test_a_line_break_inside_quotes_keeps_the_line_numbers_right() -> None:
    broken = JOB.replace("18 Alder Court", '"18 Alder\nCourt"')
    parsed = read(broken, SECTION, SECTION.replace("front", "back").replace("6/12", "40"))
    assert refusals(parsed) == [(2, "street"), (5, "pitch_in_12")]


@pytest.mark.parametrize(
    ("document", "reason"),
    [
        (b"", "The file is empty"),
        (b"\n\n", "The file is empty"),
        (b"record,name\n", "lacks the column “job”"),
        (b"record,job,job\n", "stands there twice"),
        (b"record,job,gutter\n", "“gutter” is not a known column"),
        (HEAD.encode(), "The file holds no job"),
        (HEAD.encode() + b'job,7,"Holt\n', "quoting or the separators are broken"),
        (HEAD.encode() + b"job,7,Holt\xff\n", "not UTF-8"),
        (HEAD.encode() + b"job,7,\x00\n", "zero bytes"),
        (b"x" * (MAX_BYTES + 1), "larger than 4 MB"),
        (b"PK\x03\x04 some spreadsheet", "lacks the column"),
    ],
)
def test_a_file_that_is_none_is_refused_as_a_whole(document: bytes, reason: str) -> None:
    parsed = parse(document)
    assert parsed.jobs == ()
    assert reason in parsed.refused[0].reason


@given(st.binary(max_size=400))
def test_no_file_of_any_bytes_is_half_read_or_breaks_the_reader(document: bytes) -> None:
    parsed = parse(document)
    assert not parsed.jobs
    assert parsed.refused


words = st.text("abcdefghijklmnopqrstuvwxyzäéß ,;'\"-", min_size=1, max_size=20).filter(lambda w: w.strip() == w)
sections = st.builds(
    SectionData,
    name=words,
    pitch_in_12=st.floats(0, 24),
    squares=st.floats(0.01, 500),
    eave_ft=st.floats(0, 2000),
    run_ft=st.floats(0, 2000),
    downslope_deg=st.none() | st.floats(0, 360),
)


@st.composite
def roofs(draw: st.DrawFn) -> RoofData:
    found = draw(st.lists(sections, min_size=1, max_size=5, unique_by=lambda section: section.name))
    names = st.sampled_from([section.name for section in found])
    edges = st.builds(
        EdgeData,
        kind=st.sampled_from(EdgeKind),
        length_ft=st.floats(0.01, 2000),
        section=st.none() | names,
        other_section=st.none() | names,
    )
    return RoofData(tuple(found), tuple(draw(st.lists(edges, max_size=6))))


jobs = st.builds(
    JobData,
    number=words.filter(lambda w: len(w) <= 20),
    short_name=words,
    street=words,
    lat=st.floats(-90, 90),
    lon=st.floats(-180, 180),
    roof=roofs(),
    time_zone=st.sampled_from(["", "America/Chicago", "America/New_York"]),
    layers=st.integers(1, 5),
    debris_carry=st.booleans(),
    blocked_dates=st.lists(st.dates(date(2026, 1, 1), date(2030, 1, 1)), max_size=3).map(tuple),
    allowed_start=st.none() | st.times().map(lambda t: time(t.hour, t.minute)),
    contract_value_usd=st.integers(0, 100_000),
)


def as_csv(data: JobData) -> bytes:
    """Write a job the way the documentation of the columns says."""
    out = io.StringIO()
    writer = csv.DictWriter(out, ALL_COLUMNS)
    writer.writeheader()
    row: dict[str, object] = {"record": "job", "job": data.number}
    for name in ("short_name", "street", "lat", "lon", "time_zone", "layers", "contract_value_usd"):
        row[name] = getattr(data, name)
    row["debris_carry"] = "yes" if data.debris_carry else "no"
    row["blocked_dates"] = " ".join(day.isoformat() for day in data.blocked_dates)
    row["allowed_start"] = data.allowed_start.isoformat("minutes") if data.allowed_start else ""
    writer.writerow(row)
    for section in data.roof.sections:
        writer.writerow(
            {
                "record": "section",
                "job": data.number,
                "section": section.name,
                "pitch_in_12": section.pitch_in_12,
                "squares": section.squares,
                "eave_ft": section.eave_ft,
                "run_ft": section.run_ft,
                "downslope_deg": "" if section.downslope_deg is None else section.downslope_deg,
            }
        )
    for edge in data.roof.edges:
        writer.writerow(
            {
                "record": "edge",
                "job": data.number,
                "kind": edge.kind.value,
                "length_ft": edge.length_ft,
                "section": edge.section or "",
                "other_section": edge.other_section or "",
            }
        )
    return out.getvalue().encode()


@given(jobs)
def test_a_job_written_as_csv_is_read_back_the_same(data: JobData) -> None:
    parsed = parse(as_csv(data))
    assert [job.data for job in parsed.jobs] == [data]
