"""Everything that saves people, verdicts, plans and progress."""

from crews.actions.decide import decide
from crews.actions.delays import record_delays
from crews.actions.forecasts import ask_for_forecasts, job_point_for, refresh_forecasts
from crews.actions.job_limits import set_job_limit
from crews.actions.office import accept, accept_all_unchanged, confirm_seen, hold, limit_further, release
from crews.actions.planning import drop_plan, make_plan, pin, propose, stop_planning
from crews.actions.publish import PlanBroken, Published, publish
from crews.actions.report import report
from crews.actions.roster import RosterRefused, import_roster
from crews.actions.tomorrow import choose, tell
from crews.actions.verdicts import Decided

__all__ = [
    "Decided",
    "PlanBroken",
    "Published",
    "RosterRefused",
    "accept",
    "accept_all_unchanged",
    "ask_for_forecasts",
    "choose",
    "confirm_seen",
    "decide",
    "drop_plan",
    "hold",
    "import_roster",
    "job_point_for",
    "limit_further",
    "make_plan",
    "pin",
    "propose",
    "publish",
    "record_delays",
    "refresh_forecasts",
    "release",
    "report",
    "set_job_limit",
    "stop_planning",
    "tell",
]
