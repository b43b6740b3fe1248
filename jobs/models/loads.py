"""What must come to a job, and who must look at it: loads and inspections."""

from django.db import models
from django.utils.translation import gettext_lazy as _
from simple_history.models import HistoricalRecords

from jobs.models.job import Job
from jobs.models.roof import Section
from jobs.models.yard import Supplier


class LoadKind(models.TextChoices):
    MATERIALS = "materials", _("materials")
    DUMPSTER_DROP = "dumpster_drop", _("dumpster drop")
    DUMPSTER_SWAP = "dumpster_swap", _("dumpster swap")
    FINAL_HAUL = "final_haul", _("final haul")
    LEFTOVERS = "leftovers", _("leftovers pick-up")
    EQUIPMENT = "equipment", _("equipment move")


class Placement(models.TextChoices):
    ROOF = "roof", _("both slopes")
    GROUND = "ground", _("ground")


class LoadState(models.TextChoices):
    PLANNED = "planned", _("to ask")
    ASKED = "asked", _("asked")
    CONFIRMED = "confirmed", _("confirmed")
    MOVED = "moved", _("moved by supplier")
    SHORT = "short", _("came short")
    REFUSED = "refused", _("refused")
    CAME = "came", _("came")
    CANCELLED = "cancelled", _("cancelled")


class Load(models.Model):
    """One truck to one job. Its window (not before, needed by) follows the plan; its slot is what was agreed."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="loads")
    supplier = models.ForeignKey(Supplier, null=True, blank=True, on_delete=models.PROTECT, related_name="loads")
    kind = models.CharField(max_length=16, choices=LoadKind.choices)
    placement = models.CharField(max_length=8, choices=Placement.choices, default=Placement.GROUND)
    # The phase that cannot start without it (jobs.phases.Phase); empty: none waits.
    needed_for = models.CharField(max_length=16, blank=True)
    contents = models.JSONField(
        default=list, blank=True
    )  # [{"item": "laminate shingles", "count": 47, "unit": "bundle"}]
    weight_lb = models.PositiveIntegerField(default=0)
    container_yd3 = models.PositiveSmallIntegerField(null=True, blank=True)
    state = models.CharField(max_length=12, choices=LoadState.choices, default=LoadState.PLANNED)
    not_before = models.DateTimeField(null=True, blank=True)
    need_by = models.DateTimeField(null=True, blank=True)
    slot_start = models.DateTimeField(null=True, blank=True)
    slot_minutes = models.PositiveSmallIntegerField(default=30)
    note = models.CharField(max_length=200, blank=True)
    revision = models.PositiveIntegerField(default=1)
    history = HistoricalRecords(related_name="past")

    class Meta:
        ordering = ["need_by", "id"]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} for job {self.job_id}"


class InspectionKind(models.TextChoices):
    PRE = "pre", _("before tear-off")
    DECK = "deck", _("deck")
    ICE_BARRIER = "ice_barrier", _("ice barrier")
    FINAL = "final", _("final")


class InspectionState(models.TextChoices):
    TO_CALL = "to_call", _("to call")
    BOOKED = "booked", _("booked")
    PASSED = "passed", _("passed")
    FAILED = "failed", _("failed")


class Inspection(models.Model):
    """A visit of the building inspector. It can hold opening; it never holds closing."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="inspections")
    section = models.ForeignKey(Section, null=True, blank=True, on_delete=models.CASCADE, related_name="+")
    kind = models.CharField(max_length=16, choices=InspectionKind.choices)
    state = models.CharField(max_length=8, choices=InspectionState.choices, default=InspectionState.TO_CALL)
    hold_point = models.BooleanField(default=True)
    call_ahead_hours = models.PositiveSmallIntegerField(default=24)
    window_start = models.DateTimeField(null=True, blank=True)
    window_end = models.DateTimeField(null=True, blank=True)
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["window_start", "id"]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} inspection of job {self.job_id}"
