"""Two addresses for whoever watches the service: is the process alive, and can it do its work?"""

from datetime import timedelta

from django.db import DatabaseError
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from roofops.record import clock, queries

# Four sweeps missed, and a queue that nobody has looked at for two minutes.
HEARTBEAT_LIMIT = timedelta(seconds=60)
QUEUE_LIMIT = timedelta(seconds=120)


@require_safe
@never_cache
def healthz(request: HttpRequest) -> HttpResponse:
    """Answer 200 as long as the process answers at all; touches nothing."""
    return HttpResponse("ok\n", content_type="text/plain")


@require_safe
@never_cache
def readyz(request: HttpRequest) -> HttpResponse:
    """Answer 200 when the database answers, a worker shows life and no work waits too long, else 503."""
    try:
        state = queries.background_state(clock.now())
    except DatabaseError:
        return JsonResponse({"ready": False, "database": False}, status=503)
    heartbeat, queued = state.heartbeat_age, state.oldest_queued_age
    alive = state.working or (heartbeat is not None and heartbeat <= HEARTBEAT_LIMIT)
    ready = alive and (queued is None or queued <= QUEUE_LIMIT)
    body = {
        "ready": ready,
        "database": True,
        "heartbeat_age_s": None if heartbeat is None else round(heartbeat.total_seconds(), 1),
        "oldest_queued_age_s": None if queued is None else round(queued.total_seconds(), 1),
    }
    return JsonResponse(body, status=200 if ready else 503)
