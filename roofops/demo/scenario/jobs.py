"""Every job of the scenario."""

from roofops.demo.scenario.jobs_at_work import JOBS_AT_WORK
from roofops.demo.scenario.jobs_behind import JOBS_BEHIND
from roofops.demo.scenario.jobs_later import JOBS_LATER
from roofops.demo.scenario.jobs_next import JOBS_NEXT

JOBS = tuple(sorted((*JOBS_BEHIND, *JOBS_AT_WORK, *JOBS_NEXT, *JOBS_LATER), key=lambda story: story.number))
