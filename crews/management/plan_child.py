"""A planning process of its own: `python -m crews.management.plan_child`.

The parent writes one pickled (problem, seed, budget) to stdin and reads pickled messages from stdout: ("progress",
Progress), then ("result", PlanResult) or ("error", text). Anything more on stdin, and its end, mean: stop at the next
step. Only this program's own parent writes to it, so unpickling is safe here.
"""

import os
import pickle
import sys
import threading
from typing import BinaryIO

from crews.planner.plan_problem import PlanProblem
from crews.planner.solve import Budget, Progress, plan


def main(source: BinaryIO, target: BinaryIO) -> None:
    """Plan what the parent asks and answer it."""
    asked: tuple[PlanProblem, int, Budget] = pickle.load(source)  # noqa: S301 - from our own parent only
    problem, seed, budget = asked
    stop = threading.Event()

    def listen() -> None:
        source.read(1)  # one byte, or the end: the parent wants us to stop, or is gone
        stop.set()

    threading.Thread(target=listen, daemon=True).start()

    def say(kind: str, what: object) -> None:
        pickle.dump((kind, what), target)
        target.flush()

    def tell(progress: Progress) -> None:
        say("progress", progress)

    try:
        say("result", plan(problem, seed, budget, tell, stop.is_set))
    except ValueError as error:
        say("error", str(error))


if __name__ == "__main__":
    # Libraries print to file descriptor 1, C code included; nothing of it may get between the messages.
    answers = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)
    main(sys.stdin.buffer, answers)
    sys.stderr.flush()
    # The listener may still sit in its read, and an orderly shutdown would trip over that; all is said and flushed.
    os._exit(0)
