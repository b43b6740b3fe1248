"""A plan is made by a real worker over the file queue; with two workers the same seed gives the same plan."""

import json
import signal
from typing import Any

WORKER = ("-m", "celery", "-A", "roofops", "worker", "--without-mingle", "--without-gossip", "-c", "1")
ASK = """
from datetime import timedelta
from zoneinfo import ZoneInfo
from crews import actions
from jobs.models import Yard
from roofops.record import clock
from roofops.record.access import Access
yard = Yard.objects.get()
first_day = clock.now().astimezone(ZoneInfo(yard.time_zone)).date() + timedelta(days=1)
print(actions.propose(Access.system(), yard.pk, first_day, 10, {seed}, clock.now()).pk)
"""
ENDED = """
import time
from roofops.record.models import Work
for _ in range(180):
    state = Work.objects.values_list("state", flat=True).get(pk={work})
    if state not in ("queued", "running"):
        break
    time.sleep(0.5)
print(state)
"""
PLAN = """
import json
from crews.models import Plan
from roofops.record.models import Work
work = Work.objects.get(pk={work})
plan = Plan.objects.get(pk=work.result["plan"])
rows = plan.assignments.order_by("job_id").values_list("job_id", "crew_id", "start", "finish_p50", "cost")
print(json.dumps([plan.stopped, plan.objective, plan.bound, sorted(map(str, rows))]))
"""


def plan_of(installation: Any, seed: int) -> Any:
    """Ask for a plan and return what the workers made of it."""
    work = installation.django(ASK.format(seed=seed)).strip()
    assert installation.django(ENDED.format(work=work)).strip() == "done"
    return json.loads(installation.django(PLAN.format(work=work)))


def test_one_worker_or_two_the_same_seed_gives_the_same_plan(installation: Any) -> None:
    assert installation.manage("migrate", "-v0").returncode == 0
    assert installation.manage("demo").returncode == 0
    first = installation.start(*WORKER)
    alone = plan_of(installation, seed=3)
    second = installation.start(*WORKER)
    beside = plan_of(installation, seed=3)
    stopped, objective, bound, rows = alone
    assert not stopped
    assert objective <= bound + 1e-6
    assert len(rows) > 5
    assert beside == alone
    for worker in (first, second):
        worker.send_signal(signal.SIGTERM)
        assert worker.wait(timeout=30) == 0
