"""Everything that saves people, verdicts, plans and progress."""

from crews.actions.decide import Decided, decide
from crews.actions.office import accept, accept_all_unchanged, confirm_seen, hold, limit_further, release
from crews.actions.report import report
from crews.actions.tomorrow import choose, tell

__all__ = [
    "Decided",
    "accept",
    "accept_all_unchanged",
    "choose",
    "confirm_seen",
    "decide",
    "hold",
    "limit_further",
    "release",
    "report",
    "tell",
]
