"""What a job still lacks before it may be published."""

from dataclasses import dataclass

from django.utils.translation import gettext_lazy as _

from jobs.models import Job, ReadyKind

NOT_NEEDED_UNLESS_SAID = frozenset({ReadyKind.ASSOCIATION.value})


@dataclass(frozen=True)
class MissingItem:
    """One needed line of the checklist that is not done."""

    kind: str
    label: str
    note: str = ""


def ready(job: Job) -> list[MissingItem]:
    """Return what is missing; an empty list means ready to build.

    A line that was never filled in counts as missing, except the association's approval; a roof without sections is
    missing its measurement.
    """
    lines = {item.kind: item for item in job.ready_items.all()}
    missing = []
    if not job.sections.all():
        missing.append(MissingItem("measurement", str(_("measured roof"))))
    for kind in ReadyKind:
        item = lines.get(kind.value)
        if item is None and kind.value in NOT_NEEDED_UNLESS_SAID:
            continue
        if item is None or (item.needed and item.done_at is None):
            missing.append(MissingItem(kind.value, str(kind.label), item.note if item else ""))
    return missing
