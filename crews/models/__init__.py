"""Rows of people and plan. Each subject has a file of its own; import them from here."""

from crews.models.day import DayChoice, Decision, DelayDay, JobLimit, JobPoint, Verdict
from crews.models.plan import Assignment, Plan, PlanState
from crews.models.progress import EntryKind, ProgressEntry
from crews.models.roster import Absence, Crew, CrewKind, CrewMember, CrewRate, Training, Worker

__all__ = [
    "Absence",
    "Assignment",
    "Crew",
    "CrewKind",
    "CrewMember",
    "CrewRate",
    "DayChoice",
    "Decision",
    "DelayDay",
    "EntryKind",
    "JobLimit",
    "JobPoint",
    "Plan",
    "PlanState",
    "ProgressEntry",
    "Training",
    "Verdict",
    "Worker",
]
