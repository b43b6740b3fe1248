"""A job's own limits: steep, exposed, fragile. Looser than the company's only with a reason."""

from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from crews.models import JobLimit
from crews.refusals import Refused
from jobs.models import Job
from roofops.record import actions as record
from roofops.record.access import Access, NotFound, Role
from weather.limits import Limits, needs_reason, refuse_value
from weather.queries import company_limits

REASON_LENGTH = 200


@transaction.atomic
def set_job_limit(
    access: Access, job_id: int, key: str, value: float | None, now: datetime, reason: str = ""
) -> JobLimit | None:
    """Give one job a limit of its own, or (value None) the company's again.

    Raises
    ------
    NotFound, Forbidden
        The job is not seen, or the person is no manager there.
    ValueError
        There is no such limit, or the value lies outside its range.
    Refused
        A safety limit would become looser without a reason.
    """
    job = access.scope(Job.objects.select_related("yard")).filter(pk=job_id).first()
    if job is None:
        raise NotFound("There is no such job here.")
    access.require(job.yard_id, Role.MANAGER)
    company = Limits.from_values(company_limits(job.yard_id)).as_dict()
    old = JobLimit.objects.filter(job=job, key=key).first()
    present = old.value if old is not None else company.get(key)
    new = company.get(key) if value is None else value
    if new is None or present is None:
        raise ValueError(_("There is no limit called '%(key)s'.") % {"key": key})
    refuse_value(key, new)
    if needs_reason(key, present, new) and not reason.strip():
        raise Refused("no_reason", _("This lets more happen than before: say why."))
    record.log(access, "job_limit", job, now, key=key, before=present, after=new, reason=reason.strip())
    if value is None:
        JobLimit.objects.filter(job=job, key=key).delete()
        return None
    values = {"value": value, "reason": reason.strip()[:REASON_LENGTH], "set_at": now, "set_by": access.user}
    return JobLimit.objects.update_or_create(job=job, key=key, defaults=values)[0]
