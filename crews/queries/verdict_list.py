"""Today's verdicts as plain records, for the command line and for scripts."""

from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from crews.planner.verdict import DayVerdict
from crews.queries.day_inputs import DueRoof, due_roofs, judged_or_none
from crews.queries.decisions import day_decisions, verdict_of_row
from crews.queries.due import due_on
from crews.queries.roof_work import stop_words
from crews.queries.skies import SkyReader
from crews.queries.yards import yard_day, yard_seen
from crews.verdict.day_verdict import as_of_hour, as_unknown, expired
from roofops.record.access import Access, Role


@dataclass(frozen=True)
class VerdictRecord:
    """One roof's verdict; squares, UTC moments, chances from 0 to 1. waiting: a looser one that a person may accept."""

    job: str
    job_id: int
    street: str
    crew: str
    verdict: str
    bare_at_once_squares: float
    in_all_today_squares: float
    stop_line: str
    dry_in_by: datetime | None
    valid_until: datetime | None
    p_wet: float
    because: str
    reasons: tuple[tuple[datetime, str, float | None, float | None], ...]
    source: str
    issued_at: datetime | None
    age_hours: float | None
    checked_hours: float | None
    version: int | None
    accepted: bool
    waiting: dict[str, Any] | None


def verdict_records(access: Access, yard_id: int, now: datetime, *, stored: bool) -> list[VerdictRecord]:
    """The verdicts of a yard's day. stored: what is in force; else what the moment itself would give, nothing saved.

    Raises NotFound or Forbidden as `today_board` does.
    """
    yard = yard_seen(access, yard_id)
    access.require(yard_id, Role.MANAGER, Role.DISPATCHER)
    today = yard_day(yard, now)
    roofs = due_roofs(yard, due_on(yard_id, today.day), today.day, now, SkyReader(yard, now))
    known = day_decisions([roof.job.pk for roof in roofs], today.day)
    records = []
    for roof in roofs:
        row = known[roof.job.pk].in_force if stored else None
        waiting = known[roof.job.pk].waiting if stored else None
        if row is not None:
            verdict = replace(verdict_of_row(row), valid_until=row.valid_until)
            verdict = as_unknown(verdict, now) if expired(verdict, now) else as_of_hour(verdict, now)
        else:
            result = judged_or_none(roof)
            if result is None:
                continue
            verdict = result.verdict
        beside = None
        if waiting is not None:
            beside = {
                "verdict": waiting.verdict,
                "bare_at_once_squares": waiting.bare_at_once_squares,
                "in_all_today_squares": waiting.in_all_today_squares,
                "dry_in_by": waiting.dry_in_by,
            }
        accepted = row is not None and row.accepted_at is not None
        records.append(_record(roof, verdict, row.version if row else None, accepted, beside))
    return records


def _record(
    roof: DueRoof, verdict: DayVerdict, version: int | None, accepted: bool, waiting: dict[str, Any] | None
) -> VerdictRecord:
    chosen, stop = roof.sky.chosen, verdict.stop_line
    place = (stop.section_id, stop.squares_into_section) if stop else (None, 0.0)
    return VerdictRecord(
        job=roof.job.number,
        job_id=roof.job.pk,
        street=roof.job.street,
        crew=roof.roster.name if roof.roster else "",
        verdict=verdict.verdict.value,
        bare_at_once_squares=verdict.bare_at_once_squares,
        in_all_today_squares=verdict.in_all_today_squares,
        stop_line=stop_words(roof.work.roof, *place) if roof.work else "",
        dry_in_by=verdict.dry_in_by,
        valid_until=verdict.valid_until,
        p_wet=verdict.p_wet,
        because=verdict.because.code,
        reasons=verdict.reasons,
        source=chosen.source,
        issued_at=chosen.issued_at,
        age_hours=chosen.age_hours,
        checked_hours=chosen.checked_hours,
        version=version,
        accepted=accepted,
        waiting=waiting,
    )
