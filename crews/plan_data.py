"""Plans as JSON, and back: what a stored assignment keeps of the planner's answer."""

from datetime import date, datetime
from typing import Any

from crews.planner.feasibility import BrokenRule
from crews.planner.plan_problem import Planned, PlannedDay, Said

Data = dict[str, Any]


def day_to_data(day: PlannedDay) -> Data:
    """One planned day as JSON."""
    return {
        "date": day.day.isoformat(),
        "start": day.start.isoformat(),
        "end": day.end.isoformat(),
        "torn_off": round(day.torn_off_squares, 3),
        "dried_in": round(day.dried_in_squares, 3),
        "shingled": round(day.shingled_squares, 3),
        "ridge_ft": round(day.ridge_ft, 2),
        "labor_hours": round(day.labor_hours, 3),
        "idle_labor_hours": round(day.idle_labor_hours, 3),
        "phases": [[kind, round(hours, 3)] for kind, hours in day.phases],
        "overtime": day.overtime,
        "typical": day.typical,
    }


def day_from_data(data: Data) -> PlannedDay:
    """The planned day that `day_to_data` wrote."""
    return PlannedDay(
        day=date.fromisoformat(data["date"]),
        start=datetime.fromisoformat(data["start"]),
        end=datetime.fromisoformat(data["end"]),
        torn_off_squares=data.get("torn_off", 0.0),
        dried_in_squares=data.get("dried_in", 0.0),
        shingled_squares=data.get("shingled", 0.0),
        ridge_ft=data.get("ridge_ft", 0.0),
        labor_hours=data.get("labor_hours", 0.0),
        idle_labor_hours=data.get("idle_labor_hours", 0.0),
        phases=tuple((str(kind), float(hours)) for kind, hours in data.get("phases", [])),
        overtime=bool(data.get("overtime", False)),
        typical=bool(data.get("typical", False)),
    )


def said_to_data(said: Said) -> Data:
    """One reason as JSON."""
    return {"code": said.code, "text": said.text, "params": dict(said.params)}


def rule_to_data(rule: BrokenRule) -> Data:
    """One broken rule as JSON."""
    return {
        "rule": rule.rule,
        "text": rule.text,
        "job": rule.job_id,
        "crew": rule.crew_id,
        "day": rule.day.isoformat() if rule.day else None,
        "used": rule.used,
        "limit": rule.limit,
        "params": dict(rule.params),
    }


def planned_from_data(
    job_id: int,
    crew_id: int,
    start: datetime,
    finish_p50: datetime,
    finish_p90: datetime,
    days: list[Data],
    cost: dict[str, float],
    *,
    pinned: bool,
    pencilled: bool,
    p_wet: float,
) -> Planned:
    """An assignment as the feasibility check wants it."""
    found = tuple(day_from_data(day) for day in days)
    return Planned(
        job_id=job_id,
        crew_id=crew_id,
        start=start,
        finish_p50=finish_p50,
        finish_p90=finish_p90,
        days=found,
        cost=dict(cost),
        value_usd=0.0,
        pinned=pinned,
        pencilled=pencilled,
        p_wet=p_wet,
        late_days=0,
        travel_miles=0.0,
        idle_labor_hours=sum(day.idle_labor_hours for day in found),
        typical=any(day.typical for day in found),
        half_days=(),
    )
