"""Does in the test's own process what a worker would do."""

from roofops.record import clock, runners
from roofops.record.models import Work


def run_queued_work() -> list[Work]:
    """Run all background work that waits, oldest first, and return its rows as they ended."""
    ids = list(Work.objects.filter(state=Work.State.QUEUED).order_by("pk").values_list("pk", flat=True))
    for work_id in ids:
        runners.run(work_id, clock.now())
    return list(Work.objects.filter(pk__in=ids).order_by("pk"))
