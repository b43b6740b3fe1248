"""The demo's jobs, from the scenario to what the jobs app saves."""

from datetime import time

from crews.models import JobPoint
from jobs.actions import create_job, propose_loads, set_ready
from jobs.job_data import ContactData, JobData
from jobs.models import Job, ReadyKind, Yard
from jobs.roof_data import DetailData, roof_data
from jobs.roof_measure import DetailKind
from roofops.demo.actions.deliveries import book_visits, bring_what_came
from roofops.demo.dates import Calendar
from roofops.demo.scenario import company
from roofops.demo.scenario.jobs import JOBS
from roofops.demo.story import JobStory
from roofops.record.access import Access
from weather.actions import point_for

# Every job was signed three weeks of work ago.
SIGNED_WORK_DAY, SIGNED_AT = -15, time(10, 0)

# What every re-roof needs; the association's approval and the asbestos test only where the scenario says so.
ALWAYS_NEEDED = (
    ReadyKind.PERMIT,
    ReadyKind.PRODUCT_COLOR,
    ReadyKind.PAYMENT,
    ReadyKind.HOMEOWNER_DATES,
    ReadyKind.THINGS_OFF_ROOF,
)


def sign_jobs(office: Access, yard: Yard, calendar: Calendar) -> dict[str, Job]:
    """Save every job with its place in the sky and its loads, and return them by number."""
    signed_at = calendar.moment(SIGNED_WORK_DAY, SIGNED_AT)
    jobs = {}
    for story in JOBS:
        job = create_job(office, yard, job_data(story, calendar), signed_at)
        point = point_for(story.lat, story.lon, story.sky, calendar.now, company.TIME_ZONE)
        JobPoint.objects.create(job=job, point=point)
        for kind, note in story.not_done.items():
            set_ready(office, job.pk, kind, "owed", signed_at, note=note)
        propose_loads(office, job, signed_at)
        if story.reports:
            bring_what_came(office, story, job, calendar)
        jobs[story.number] = job
    book_visits(office, jobs, calendar)
    return jobs


def job_data(story: JobStory, calendar: Calendar) -> JobData:
    """Return one job as the jobs app takes it, with its promised window and blocked days as dates."""
    details = tuple(
        DetailData(DetailKind(d.kind), count=d.count, length_ft=d.length_ft, section=d.section) for d in story.details
    )
    start, end = story.allowed or (None, None)
    return JobData(
        number=story.number,
        short_name=story.short_name,
        street=story.street,
        city=company.CITY,
        state=company.STATE,
        lat=story.lat,
        lon=story.lon,
        roof=roof_data(story.roof(), details),
        kind=story.kind,
        storeys=story.storeys,
        layers=story.layers,
        cut_up=story.cut_up,
        debris_carry=story.debris_carry,
        eave_overhang_in=story.eave_overhang_in,
        product_line=story.product,
        shingle_color=story.color,
        metal_color=story.metal_color,
        underlayment=story.underlayment,
        permit_number="" if "permit" in story.not_done else f"W-{story.number.removeprefix('J-2')}7",
        promised_from=calendar.work_day(story.promised[0]),
        promised_by=calendar.work_day(story.promised[1]),
        blocked_dates=tuple(calendar.work_day(number) for number in story.blocked),
        allowed_start=start,
        allowed_end=end,
        priority=story.priority,
        contract_value_usd=story.value_usd,
        roof_drop_allowed=story.roof_drop_allowed,
        hazards=story.hazards,
        wishes=story.wishes,
        measured_by="tape",
        contact=ContactData(story.owner, story.owner_phone, language=story.owner_language),
        ready=_ready(story),
    )


def _ready(story: JobStory) -> dict[str, str]:
    """Each line of the ready-to-build checklist: done, owed or not needed."""
    needed = {*ALWAYS_NEEDED, *story.extra_needed, *story.not_done}
    return {
        kind.value: "not_needed" if kind.value not in needed else "owed" if kind.value in story.not_done else "done"
        for kind in ReadyKind
    }
