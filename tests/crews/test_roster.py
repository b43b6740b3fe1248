"""Who is there: RFC 5545 rules, absences, insurance, clock changes; and the import that takes all or nothing."""

from datetime import UTC, date, datetime, time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crews.roster import AbsenceSpan, CrewRoster, Member, ShiftHours, check_rule, crew_day, crew_days, days_of
from crews.roster_import import read_roster

WEEKDAYS = "FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR"
MONDAY = date(2026, 7, 13)
HOURS = ShiftHours(time(7, 0), time(17, 30), "America/Chicago")


def member(number: int = 1, rule: str = WEEKDAYS, **values: object) -> Member:
    return Member(
        worker_id=number,
        name=f"Worker {number}",
        working_days=rule,
        from_day=values.pop("from_day", date(2026, 1, 1)),  # type: ignore[arg-type]
        **values,  # type: ignore[arg-type]
    )


def roster(*members: Member, **values: object) -> CrewRoster:
    return CrewRoster(crew_id=1, name="Ruiz", members=members, **values)  # type: ignore[arg-type]


# RFC 5545 section 3.8.5.3 gives these rules with the days they mean (DTSTART 1997-09-02, a Tuesday).
@pytest.mark.parametrize(
    ("rule", "days"),
    [
        ("FREQ=DAILY;COUNT=10", [date(1997, 9, d) for d in range(2, 12)]),
        ("FREQ=WEEKLY;COUNT=4", [date(1997, 9, 2), date(1997, 9, 9), date(1997, 9, 16), date(1997, 9, 23)]),
        (
            "FREQ=WEEKLY;INTERVAL=2;COUNT=4;WKST=SU;BYDAY=TU,TH",
            [date(1997, 9, 2), date(1997, 9, 4), date(1997, 9, 16), date(1997, 9, 18)],
        ),
        ("FREQ=MONTHLY;COUNT=3;BYDAY=1FR", [date(1997, 9, 5), date(1997, 10, 3), date(1997, 11, 7)]),
        ("FREQ=MONTHLY;COUNT=3;BYMONTHDAY=-3", [date(1997, 9, 28), date(1997, 10, 29), date(1997, 11, 28)]),
    ],
)
def test_rules_mean_the_days_that_the_standard_lists(rule: str, days: list[date]) -> None:
    assert sorted(days_of(rule, date(1997, 9, 2), date(1997, 9, 2), date(1998, 1, 1))) == days


@pytest.mark.parametrize("text", ["", "every Monday", "FREQ=HOURLY", "FREQ=WEEKLY;BYDAY=XX", "FREQ=DAILY;BYHOUR=7"])
def test_what_is_no_rule_of_days_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r"rule|hours"):
        check_rule(text)


def test_every_other_friday_off_is_a_recurring_absence() -> None:
    away = AbsenceSpan(date(2026, 7, 17), rule="FREQ=WEEKLY;INTERVAL=2;BYDAY=FR")
    crew = roster(member(absences=(away,)))
    fridays = [date(2026, 7, 17), date(2026, 7, 24), date(2026, 7, 31), date(2026, 8, 7)]
    assert [len(crew.people(day)) for day in fridays] == [0, 1, 0, 1]


def test_a_recurring_absence_of_several_days_holds_through_its_last_day() -> None:
    away = AbsenceSpan(date(2026, 7, 1), days=3, rule="FREQ=MONTHLY;BYMONTHDAY=14")
    assert [away.holds(date(2026, 7, d)) for d in (13, 14, 16, 17)] == [False, True, True, False]
    assert away.holds(date(2026, 8, 15))


def test_members_count_from_their_first_to_their_last_day() -> None:
    crew = roster(member(from_day=date(2026, 7, 14), to_day=date(2026, 7, 15)))
    assert [len(crew.people(date(2026, 7, d))) for d in (13, 14, 15, 16)] == [0, 1, 1, 0]


def test_nobody_works_on_a_sunday_unless_it_is_overtime() -> None:
    crew = roster(member())
    saturday = date(2026, 7, 18)
    assert crew.people(saturday) == ()
    assert len(crew.people(saturday, overtime=True)) == 1


def test_an_absence_holds_in_overtime_too() -> None:
    crew = roster(member(absences=(AbsenceSpan(date(2026, 7, 18)),)))
    assert crew.people(date(2026, 7, 18), overtime=True) == ()


def test_a_subcontract_crew_works_only_while_its_insurance_is_known_to_run() -> None:
    insured = roster(member(), subcontract=True, insurance_until=date(2026, 7, 14))
    assert len(insured.people(date(2026, 7, 14))) == 1
    assert insured.people(date(2026, 7, 15)) == ()
    unknown = roster(member(), subcontract=True)
    assert unknown.people(MONDAY) == ()
    assert crew_day(unknown, HOURS, MONDAY, people_here=4.0) is None
    own = roster(member())
    assert len(own.people(MONDAY)) == 1


def test_a_crew_goes_no_steeper_than_its_limit() -> None:
    crew = roster(member(), steep_limit_in_12=9)
    assert crew.fit_for(9)
    assert not crew.fit_for(9.5)


def test_the_shift_is_wall_time_on_both_sides_of_a_clock_change() -> None:
    # Clocks in America/Chicago went forward on Sunday 2026-03-08 and go back on 2026-11-01 (IANA time zone database).
    before, _ = HOURS.span(date(2026, 3, 6))
    after, _ = HOURS.span(date(2026, 3, 9))
    assert before == datetime(2026, 3, 6, 13, 0, tzinfo=UTC)
    assert after == datetime(2026, 3, 9, 12, 0, tzinfo=UTC)
    assert HOURS.span(date(2026, 11, 2))[0] == datetime(2026, 11, 2, 13, 0, tzinfo=UTC)


def test_a_jobs_allowed_hours_narrow_the_shift_and_never_widen_it() -> None:
    start, end = HOURS.span(MONDAY, time(8, 0), time(20, 0))
    assert start == datetime(2026, 7, 13, 13, 0, tzinfo=UTC)
    assert end == datetime(2026, 7, 13, 22, 30, tzinfo=UTC)
    with pytest.raises(ValueError, match="nothing of the shift"):
        HOURS.span(MONDAY, time(18, 0))


def test_crew_days_leave_out_weekends_and_days_with_nobody() -> None:
    crew = roster(member(absences=(AbsenceSpan(date(2026, 7, 15)),)))
    days = crew_days(crew, HOURS, MONDAY, 8)
    assert [day.start.astimezone(UTC).day for day in days] == [13, 14, 16, 17, 20]
    assert days[0].breaks


@given(st.dates(date(2024, 1, 1), date(2030, 12, 31)), st.integers(1, 5))
def test_an_absence_without_a_rule_is_exactly_its_days(first: date, days: int) -> None:
    span = AbsenceSpan(first, days)
    held = [n for n in range(-3, 10) if span.holds(date.fromordinal(first.toordinal() + n))]
    assert held == list(range(days))


# --- The file

ROWS = """name,crew,lead,working_days,absence_from,absence_days,absence_rule,training,trained_on
Lena Ruiz,Ruiz,yes,"FREQ=WEEKLY;BYDAY=MO,TU,WE,TH",,,,fall protection,2026-02-03
Lena Ruiz,,,,2026-07-20,5,,,
Lena Ruiz,,,,2026-07-03,1,FREQ=MONTHLY;BYDAY=1FR,,
Pike Moreno,Ruiz,,,,,,,
"""


def test_further_rows_of_a_worker_add_absences_and_certificates() -> None:
    found = read_roster(ROWS.encode())
    assert found.errors == ()
    lena, pike = found.workers
    assert lena.lead
    assert len(lena.absences) == 2
    assert lena.absences[1].rule == "FREQ=MONTHLY;BYDAY=1FR"
    assert lena.trainings[0].topic == "fall protection"
    assert pike.working_days == "FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR"
    assert [crew.name for crew in found.crews] == ["Ruiz"]


@pytest.mark.parametrize(
    ("row", "column", "reason"),
    [
        ("Bo,,,,,,,,", None, None),
        (",Ruiz,,,,,,,", "name", "needs a name"),
        ("Bo,Ruiz,maybe,,,,,,", "lead", "neither yes nor no"),
        ("Bo,Ruiz,,sometimes,,,,,", "working_days", "not a rule"),
        ("Bo,Ruiz,,,13.10.2026,,,,", "absence_from", "no date"),
        ("Bo,Ruiz,,,2026-10-13,0,,,", "absence_days", "from 1 to 366"),
        ("Bo,Ruiz,,,,3,,,", "absence_from", "first day"),
        ("Bo,Ruiz,,,,,,fall protection,", "trained_on", "1926.503"),
        ("Bo,,yes,,,,,,", "lead", "in no crew"),
        ("Bo,Ruiz,yes,,,,,,\nCy,Ruiz,yes,,,,,,", "lead", "has the lead"),
        ("Bo,Ruiz,,,,,,,\nBo,Ruiz,,,,,,,", "name", "already"),
        ("Bo,Ruiz,,,,,,,,extra", "", "10 fields"),
    ],
)
def test_each_refused_field_is_named_with_line_column_and_reason(
    row: str, column: str | None, reason: str | None
) -> None:
    found = read_roster((ROWS.splitlines()[0] + "\n" + row + "\n").encode())
    if column is None:
        assert found.errors == ()
        return
    error = found.errors[-1]
    assert error.column == column
    assert reason is not None
    assert reason in error.reason
    assert error.line == 1 + len(row.splitlines())


def test_an_unquoted_comma_in_a_rule_is_noticed() -> None:
    row = "Bo,Ruiz,,FREQ=WEEKLY;BYDAY=MO,TU,,,,,\n"
    errors = read_roster((ROWS.splitlines()[0] + "\n" + row).encode()).errors
    assert errors
    assert errors[0].line == 2


@pytest.mark.parametrize("content", [b"", b"\xff\xfe\x00", b"who,what\n1,2\n", b"name\n", b'name\n"open\n'])
def test_a_file_that_is_no_roster_is_refused_with_its_line(content: bytes) -> None:
    found = read_roster(content)
    assert found.errors
    assert all(error.reason and error.line >= 1 for error in found.errors)


@given(st.binary(max_size=300))
def test_whatever_the_bytes_reading_a_roster_never_crashes(content: bytes) -> None:
    read_roster(content)
    read_roster(b"name,crew,working_days,absence_from,absence_rule\n" + content)
