"""Runs and verdicts as JSON, and back: what a stored decision keeps of the walk it came from."""

from dataclasses import asdict
from datetime import datetime
from typing import Any

from crews.planner.problem import Exposure, RoofAreas, Run, Step, StepKind
from crews.planner.verdict import Band, Because, DayVerdict, StopLine, Word

Data = dict[str, Any]


def run_to_data(run: Run) -> Data:
    """A run as JSON: moments as ISO text, everything else as it is."""
    return _as_data(asdict(run))


def run_from_data(data: Data) -> Run:
    """The run that `run_to_data` wrote.

    Raises KeyError or ValueError for what it did not write.
    """
    values = dict(data)
    values["steps"] = tuple(
        Step(**{**s, "kind": StepKind(s["kind"]), "start": _moment(s["start"]), "end": _moment(s["end"])})
        for s in data["steps"]
    )
    values["areas"] = tuple(RoofAreas(**{**a, "at": _moment(a["at"])}) for a in data["areas"])
    values["exposures"] = tuple(
        Exposure(**{**e, "start": _moment(e["start"]), "end": _moment(e["end"])}) for e in data["exposures"]
    )
    values["opened_section_ids"] = tuple(data["opened_section_ids"])
    values["reasons"] = tuple(_reason(reason) for reason in data["reasons"])
    values["dry_in_cause"] = None if data["dry_in_cause"] is None else _reason(data["dry_in_cause"])
    for name in ("dry_in_by", "finish", "finish_p90"):
        values[name] = _moment_or_none(data[name])
    return Run(**values)


def verdict_to_data(verdict: DayVerdict) -> Data:
    """A verdict as JSON."""
    return _as_data(asdict(verdict))


def verdict_from_data(data: Data) -> DayVerdict:
    """The verdict that `verdict_to_data` wrote."""
    values = dict(data)
    values["verdict"] = Word(data["verdict"])
    values["stop_line"] = None if data["stop_line"] is None else StopLine(**data["stop_line"])
    values["because"] = Because(**{**data["because"], "hour": _moment_or_none(data["because"]["hour"])})
    values["bands"] = tuple(
        Band(_moment(b["start"]), _moment(b["end"]), Word(b["kind"]), b["code"]) for b in data["bands"]
    )
    values["reasons"] = tuple(_reason(reason) for reason in data["reasons"])
    for name in ("dry_in_by", "valid_until"):
        values[name] = _moment_or_none(data[name])
    return DayVerdict(**values)


def _as_data(values: dict[str, Any]) -> Data:
    return {name: _plain(value) for name, value in values.items()}


def _plain(value: Any) -> Any:
    if isinstance(value, datetime):
        return value.isoformat()
    if isinstance(value, dict):
        return {str(key): _plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(item) for item in value]
    return value.value if isinstance(value, Word | StepKind) else value


def _reason(data: Any) -> tuple[datetime, str, float | None, float | None]:
    hour, code, value, limit = data
    return _moment(hour), code, value, limit


def _moment(text: str) -> datetime:
    return datetime.fromisoformat(text)


def _moment_or_none(text: str | None) -> datetime | None:
    return None if text is None else datetime.fromisoformat(text)
