"""The table of every address: who gets which answer. The world it is asked in, and how to add a line.

A line names the answers for CREW_LEAD, DISPATCHER and MANAGER of the yard `here`, and for the OUTSIDER, who manages
another yard. Everywhere but in OPEN, a visitor is sent to the sign-in page and a stranger (an account without a role)
is refused with 403. An address that names a row names one of `here`; the outsider's answer is then always 404.
Answers to a POST with typed errors are 422; the sent data need not be right, the point is who gets that far.
"""

import uuid
from collections.abc import Callable
from dataclasses import dataclass, field
from io import BytesIO
from typing import Any

import time_machine
from django.contrib.auth.models import User
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from crews import actions as crew_actions
from crews.models import Crew, Decision, Plan
from jobs.actions.photos import store_photo
from jobs.models import Job, JobStatus, PhotoKind
from roofops.record.access import Access
from roofops.record.models import Work
from tests.factories.crews import WORK_DAY, assign, crew, local, published_plan, sky_over
from tests.factories.jobs import InspectionFactory, LoadFactory, ready_job
from tests.factories.people import TwoYards, two_yards

# At nine on a work day: the roof is due today and tomorrow.
NOW = local(9)


@dataclass(frozen=True)
class World:
    """`people.here` with one crew, led by `people.crew_lead`, and one roof at work; `people.there` is empty."""

    people: TwoYards
    job: Job
    crew: Crew
    plan: Plan
    decision: Decision

    def user(self, who: str) -> User | None:
        """Return the person of this part; None for the visitor."""
        return getattr(self.people, who, None)


def build_world() -> World:
    """Store the world; call it while the clock stands at NOW."""
    people = two_yards()
    job = ready_job(yard=people.here, status=JobStatus.AT_WORK)
    own = crew(people.here)
    assert own.lead is not None
    own.lead.user = people.crew_lead
    own.lead.save()
    plan = published_plan(people.here)
    assign(plan, job, own)
    sky_over(job, issued_at=local(5))
    crew_actions.decide(Access.system(), people.here.pk, NOW)
    decision = Decision.objects.filter(job=job, day=WORK_DAY).latest("pk")
    return World(people, job, own, plan, decision)


def at_now() -> time_machine.travel:
    """Return the clock standing at NOW."""
    return time_machine.travel(NOW, tick=False)


@dataclass(frozen=True)
class Route:
    """What one address answers to whom.

    `by_yard`: it takes `?yard=`, and a foreign yard is then not there. `asks_first`: a GET shows a question.
    """

    crew_lead: int
    dispatcher: int
    manager: int
    outsider: int
    kwargs: Callable[[World], dict[str, Any]] | None = None
    method: str = "get"
    data: dict[str, Any] = field(default_factory=dict)
    by_yard: bool = False
    asks_first: bool = False


Kwargs = dict[str, Any]


def _job(world: World) -> Kwargs:
    return {"pk": world.job.pk}


def _decision(world: World) -> Kwargs:
    return {"pk": world.decision.pk}


def _proposal(world: World) -> Kwargs:
    days = {"first_day": WORK_DAY, "days": 10, "seed": 1, "made_at": NOW}
    return {"pk": Plan.objects.create(yard=world.people.here, number=2, made_from=world.plan, **days).pk}


def _work(world: World) -> Kwargs:
    started = Work.objects.create(kind="plan", yard_id=world.people.here.pk, created_at=NOW, sent_at=NOW)
    return {"work_id": started.pk}


def _ready_item(world: World) -> Kwargs:
    return {"pk": world.job.pk, "item": world.job.ready_items.earliest("pk").pk}


def _inspection(world: World) -> Kwargs:
    return {"pk": world.job.pk, "item": InspectionFactory(job=world.job).pk}


def _load(world: World) -> Kwargs:
    return {"pk": LoadFactory(job=world.job).pk}


def _photo(world: World) -> Kwargs:
    picture = BytesIO()
    Image.new("RGB", (8, 8), "white").save(picture, "JPEG")
    file = SimpleUploadedFile("roof.jpg", picture.getvalue(), "image/jpeg")
    access = world.people.access(world.people.manager)
    return {"pk": store_photo(access, world.job.pk, file, NOW, client_uuid=uuid.uuid4(), kind=PhotoKind.CLOSED).pk}


def _sheet(world: World) -> Kwargs:
    return {"crew_id": world.crew.pk, "day": TODAY}


def _limit(world: World) -> Kwargs:
    return {"key": "closing_wind_mph"}


TODAY = WORK_DAY.isoformat()

# Open to everybody, whoever is signed in.
OPEN: dict[str, dict[str, int]] = {
    "healthz": {"visitor": 200, "anybody": 200},
    "readyz": {"visitor": 503, "anybody": 503},  # no worker runs beside the tests
    "sign_in": {"visitor": 200, "anybody": 302},
}
OPEN_BY_POST: dict[str, dict[str, int]] = {"sign_out": {"visitor": 302, "anybody": 302}}

TABLE: dict[str, Route] = {
    "home": Route(302, 302, 302, 302),
    "today": Route(403, 200, 200, 200, by_yard=True),
    "today_accept_unchanged": Route(403, 403, 302, 302, method="post", by_yard=True),
    "today_fetch": Route(403, 302, 302, 302, method="post", by_yard=True),
    "today_accept": Route(403, 403, 302, 404, _decision, "post"),
    "today_limit": Route(403, 422, 422, 404, _job, "post"),
    "today_hold": Route(403, 422, 422, 404, _job, "post"),
    "today_release": Route(403, 403, 422, 404, _job, "post"),
    "tomorrow": Route(403, 200, 200, 200, by_yard=True),
    "tomorrow_choose": Route(403, 422, 422, 404, _job, "post", {"day": TODAY, "choice": "fly"}),
    "tomorrow_backup": Route(403, 302, 302, 404, _job, "post", {"backup": "shop"}),
    "tomorrow_tell": Route(403, 422, 422, 404, _job, "post", {"day": TODAY, "party": "nobody"}),
    "plan": Route(403, 200, 200, 200, by_yard=True),
    "plan_progress": Route(403, 204, 204, 204, by_yard=True),
    "plan_propose": Route(403, 403, 302, 302, method="post", by_yard=True),
    "plan_pin": Route(403, 404, 404, 404, method="post"),
    "plan_stop": Route(403, 403, 302, 404, _work, "post"),
    "plan_publish": Route(403, 403, 422, 404, _proposal, "post", asks_first=True),
    "plan_drop": Route(403, 403, 302, 404, _proposal, "post"),
    "job_list": Route(403, 200, 200, 200, by_yard=True),
    "job_new": Route(403, 200, 200, 200),
    "job_import": Route(403, 200, 200, 200, by_yard=True),
    "job": Route(403, 200, 200, 404, _job),
    "job_edit": Route(403, 200, 200, 404, _job),
    "job_ready": Route(403, 302, 302, 404, _ready_item, "post", {"done": "1"}),
    "job_inspection": Route(403, 422, 422, 404, _inspection, "post"),
    "report": Route(200, 200, 200, 404, _job),
    "photo": Route(200, 200, 200, 404, _photo),
    "deliveries": Route(403, 200, 200, 200, by_yard=True),
    "deliveries_print": Route(403, 200, 200, 200, by_yard=True),
    "load_change": Route(403, 422, 422, 404, _load, "post"),
    "crews": Route(403, 200, 200, 200, by_yard=True),
    "roster_import": Route(403, 403, 200, 200, by_yard=True),
    "limits": Route(403, 200, 200, 200, by_yard=True),
    "limit": Route(403, 403, 422, 422, _limit, "post", by_yard=True),
    "my_sheet": Route(302, 404, 404, 404),
    "day_sheet": Route(200, 200, 200, 404, _sheet),
    "day_sheet_print": Route(200, 200, 200, 404, _sheet),
    "sheet_confirm": Route(404, 404, 404, 404, _sheet, "post"),
}
