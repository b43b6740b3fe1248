"""Sets the company's limits; a safety limit is loosened only with a reason."""

from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from roofops.record.access import Access, Forbidden, Role
from roofops.record.actions import log
from weather.limits import Limits, is_looser, needs_reason, refuse_value
from weather.models import WorkLimit
from weather.queries import company_limits


@transaction.atomic
def set_limit(
    access: Access, key: str, value: float, now: datetime, *, reason: str = "", yard_id: int | None = None
) -> WorkLimit:
    """Set one limit for a yard, or for every yard where none is named, and log it.

    Raises
    ------
    Forbidden, NotFound
        Who asks is no manager there (of at least one yard, where it is for every yard).
    ValueError
        There is no such limit, the value makes no sense, or a safety limit is loosened without a reason.
    """
    if yard_id is not None:
        access.require(yard_id, Role.MANAGER)
    elif not access.everywhere and not access.yards(Role.MANAGER):
        raise Forbidden("This needs another role.")
    refuse_value(key, value)
    old = Limits.from_values(company_limits(yard_id)).as_dict()[key]
    if needs_reason(key, old, value) and not reason.strip():
        raise ValueError(_("A safety limit is loosened only with a reason."))
    row = WorkLimit.objects.create(
        key=key, yard_id_number=yard_id, value=value, reason=reason.strip(), set_at=now, set_by=access.user
    )
    log(
        access, "limit_set", row, now, yard_id=yard_id,
        key=key, old=old, new=value, looser=is_looser(key, old, value), reason=reason.strip(),
    )  # fmt: skip
    return row
