"""Saving a day's verdict: one version a change, one in force, at most one that waits for a person."""

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from crews.models import Decision
from crews.planner.problem import Run
from crews.planner.verdict import DayVerdict
from crews.queries.day_inputs import DueRoof, OfficeOrder
from crews.queries.decisions import DayDecisions
from crews.queries.roof_work import stop_words
from crews.queries.yards import zone_of
from crews.verdict.changes import Basis, digest_of
from crews.verdict.verdict_data import run_to_data, verdict_to_data
from roofops.record import actions as record
from roofops.record.access import Access
from roofops.record.notices import add_notice

SHEET = "sheet"
STOP_LENGTH = 120


@dataclass(frozen=True)
class Decided:
    """What became of one roof's verdict. changed: a new version is in force; waits: a looser one waits for a person."""

    job_id: int
    decision_id: int
    changed: bool
    waits: bool


@dataclass(frozen=True)
class Standing:
    """Who and what a version is saved for."""

    roof: DueRoof
    day: date
    order: OfficeOrder
    now: datetime
    basis: Basis


def add_version(
    standing: Standing, known: DayDecisions, verdict: DayVerdict, run: Run, *, in_force: bool, waiting: bool = False
) -> Decision:
    """Save one more version; whatever was in force (or waited) before is so no longer."""
    if in_force:
        Decision.objects.filter(job=standing.roof.job, day=standing.day, in_force=True).update(in_force=False)
    if waiting or in_force:
        Decision.objects.filter(job=standing.roof.job, day=standing.day, waiting=True).update(waiting=False)
    last = Decision.objects.filter(job=standing.roof.job, day=standing.day).order_by("-version").first()
    return Decision.objects.create(
        job=standing.roof.job,
        day=standing.day,
        version=(last.version if last else known.next_version - 1) + 1,
        in_force=in_force,
        waiting=waiting,
        **_values(standing, verdict, run),
    )


def refresh(row: Decision, standing: Standing, verdict: DayVerdict, run: Run) -> None:
    """Bring a version whose limits stay the same up to the newest walk and forecast."""
    for name, value in _values(standing, verdict, run).items():
        setattr(row, name, value)
    row.save()


def _values(standing: Standing, verdict: DayVerdict, run: Run) -> dict[str, Any]:
    roof, order = standing.roof, standing.order
    chosen = roof.sky.chosen
    stop = verdict.stop_line
    place = (stop.section_id, stop.squares_into_section) if stop else (None, 0.0)
    because = verdict.because
    return {
        "crew_id": roof.due.crew_id,
        "verdict": verdict.verdict.value,
        "bare_at_once_squares": verdict.bare_at_once_squares,
        "in_all_today_squares": verdict.in_all_today_squares,
        "stop_line": stop_words(roof.work.roof, *place)[:STOP_LENGTH] if roof.work else "",
        "dry_in_by": verdict.dry_in_by,
        "valid_until": verdict.valid_until,
        "p_wet": verdict.p_wet,
        "reasons": [
            {"hour": hour.isoformat(), "reason": code, "value": value, "limit": limit}
            for hour, code, value, limit in verdict.reasons
        ],
        "because": {
            "code": because.code,
            "value": because.value,
            "limit": because.limit,
            "hour": because.hour.isoformat() if because.hour else None,
        },
        "run": {"run": run_to_data(run), "verdict": verdict_to_data(verdict)},
        "bands": [
            {"start": b.start.isoformat(), "end": b.end.isoformat(), "kind": b.kind.value, "code": b.code}
            for b in verdict.bands
        ],
        "forecast_id": chosen.forecast_id,
        "forecast_age_hours": chosen.age_hours,
        "checked_hours": chosen.checked_hours,
        "computed_at": standing.now,
        "basis": basis_data(roof, standing.basis),
        "own_limit_squares": order.own_limit_squares,
        "own_at_once_squares": order.own_at_once_squares,
        "held": order.held,
        "office_reason": order.reason,
    }


def basis_of(roof: DueRoof, order: OfficeOrder, now: datetime) -> Basis:
    """What a verdict computed now rests on."""
    inputs = roof.inputs
    others: dict[str, object] = {
        "work": repr(inputs.work) if inputs else "",
        "crew": repr(roof.crew_day),
        "limits": dict(roof.sky.limits.as_dict()),
        "order": repr(order),
        "choice": roof.due.choice,
        "rain": roof.sky.rain_at,
    }
    chosen = roof.sky.chosen
    return Basis(chosen.forecast_id, chosen.usable_today, digest_of(others), now)


def basis_of_row(row: Decision) -> Basis | None:
    """What a stored version rests on; None where it does not say."""
    data = row.basis
    if "others" not in data:
        return None
    return Basis(data["forecast"], data["usable"], data["others"], datetime.fromisoformat(data["full_at"]))


def basis_data(roof: DueRoof, basis: Basis) -> dict[str, Any]:
    """What a verdict was computed from, so that an acceptance can name it."""
    return {
        "usable": basis.usable,
        "others": basis.others,
        "full_at": basis.full_at.isoformat(),
        "forecast": roof.sky.chosen.forecast_id,
        "source": roof.sky.chosen.source,
        "limits": dict(roof.sky.limits.changed()),
        "people": roof.crew_day.people if roof.crew_day else 0,
        "speed": roof.crew_day.speed if roof.crew_day else 1.0,
        "choice": roof.due.choice,
    }


def tell_crew(access: Access, row: Decision, now: datetime) -> None:
    """Put the version in force on the crew's sheet and into the log; made once per version."""
    record.log(
        access,
        "verdict",
        row.job,
        now,
        forecast_ref=f"forecast:{row.forecast_id}" if row.forecast_id else "",
        decision=row.pk,
        version=row.version,
        verdict=row.verdict,
        at_once=row.bare_at_once_squares,
        in_all=row.in_all_today_squares,
        dry_in_by=row.dry_in_by,
        because=row.because.get("code", ""),
    )
    if row.crew_id is None:
        return
    add_notice(
        recipient=("crew", row.crew_id),
        channel=SHEET,
        subject=("decision", row.job_id),
        verdict_version=f"{row.day.isoformat()}:{row.version}",
        body=notice_text(row),
        yard_id=row.job.yard_id,
        now=now,
    )


def notice_text(row: Decision) -> str:
    """The version in one plain English line; the sheet words it in the reader's language."""
    parts = [f"{row.job.number} {row.job.street}: {row.get_verdict_display()}."]
    if row.verdict == "tear_off":
        parts.append(
            f"No more than {row.bare_at_once_squares:g} squares bare at once, in all today"
            f" {row.in_all_today_squares:g}, stop at {row.stop_line}."
        )
    if row.dry_in_by is not None:
        clock = row.dry_in_by.astimezone(ZoneInfo(zone_of(row.job)))
        parts.append(f"Dry in by {clock:%-I:%M %p}.")
    return " ".join(parts)
