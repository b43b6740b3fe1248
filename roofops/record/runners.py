"""Which function does which kind of background work.

An app registers its kinds when Django starts (in `AppConfig.ready`, by importing the module that registers):

    @register("plan", lease=timedelta(minutes=2))
    def make_plan(work_id, token, progress, params, now):
        if not progress(0.5, "choosing"):
            raise Stopped
        return {"plan_id": 7}
"""

import uuid
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, Protocol

from structlog import get_logger

from roofops.record import actions, clock
from roofops.record.access import Forbidden, NotFound
from roofops.record.models import Work

logger = get_logger(__name__)

Progress = Callable[[float, str], bool]


class Stopped(Exception):
    """Raised by a runner that stops because `progress` said so."""


class Runner(Protocol):
    """Does one kind of work and returns its result as JSON."""

    def __call__(
        self, work_id: int, token: uuid.UUID, progress: Progress, params: dict[str, Any], now: datetime
    ) -> Any: ...


@dataclass(frozen=True)
class Kind:
    """A runner, and how long it may be silent before its work goes to another."""

    runner: Runner
    lease: timedelta


_kinds: dict[str, Kind] = {}


def register(kind: str, lease: timedelta = actions.DEFAULT_LEASE) -> Callable[[Runner], Runner]:
    """Return a decorator that makes a function the runner of this kind.

    `lease`: longest time between two calls of `progress`.

    Raises
    ------
    ValueError
        The kind has another runner already.
    """

    def add(runner: Runner) -> Runner:
        known = _kinds.get(kind)
        if known is not None and known.runner is not runner:
            raise ValueError(f"Background work of kind '{kind}' has a runner already.")
        _kinds[kind] = Kind(runner, lease)
        return runner

    return add


def run(work_id: int, now: datetime) -> None:
    """Claim the work and do it; does nothing where another runner has it or it is over."""
    kind_name = Work.objects.filter(pk=work_id).values_list("kind", flat=True).first()
    if kind_name is None:
        return
    kind = _kinds.get(kind_name)
    lease = actions.DEFAULT_LEASE if kind is None else kind.lease
    token = actions.claim(work_id, now, lease)
    if token is None:
        return
    if kind is None:
        actions.fail(work_id, token, f"Nothing here can do background work of kind '{kind_name}'.", clock.now())
        return
    _do(work_id, token, kind, now)


def _do(work_id: int, token: uuid.UUID, kind: Kind, now: datetime) -> None:
    def progress(fraction: float, note: str = "") -> bool:
        return actions.report_progress(work_id, token, fraction, note, clock.now(), kind.lease)

    params = Work.objects.values_list("params", flat=True).get(pk=work_id)
    try:
        result = kind.runner(work_id, token, progress, params, now)
    except Stopped:
        actions.settle_cancel(work_id, token, clock.now())
    except (ValueError, Forbidden, NotFound) as error:
        # What our own code refuses says so in a sentence for people.
        actions.fail(work_id, token, str(error) or type(error).__name__, clock.now())
    except Exception as error:
        logger.exception("work_failed", work_id=work_id)
        actions.fail(work_id, token, f"Unexpected fault ({type(error).__name__}): {error}", clock.now())
    else:
        ended = clock.now()
        if not actions.finish(work_id, token, result, ended):
            actions.settle_cancel(work_id, token, ended)
