"""A job: one house to re-roof, repair or cover, with its readiness and its homeowner."""

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _
from simple_history.models import HistoricalRecords

from jobs.models.yard import Yard, latitude_range, longitude_range, validate_time_zone


class JobKind(models.TextChoices):
    RE_ROOF = "re_roof", _("re-roof")
    REPAIR = "repair", _("repair")
    EMERGENCY_COVER = "emergency_cover", _("emergency cover")


class JobStatus(models.TextChoices):
    SIGNED = "signed", _("signed")
    AT_WORK = "at_work", _("at work")
    FINISHED = "finished", _("finished")
    CLOSED_OUT = "closed_out", _("closed out")
    CANCELLED = "cancelled", _("cancelled")


class Job(models.Model):
    """One house. Homeowner data is not here but in Contact, so that it can be deleted."""

    yard = models.ForeignKey(Yard, on_delete=models.CASCADE, related_name="jobs")
    number = models.CharField(max_length=20)
    # The short name the office and the crew use ("Holt"); never the homeowner's full name.
    short_name = models.CharField(max_length=40)
    kind = models.CharField(max_length=16, choices=JobKind.choices, default=JobKind.RE_ROOF)
    status = models.CharField(max_length=16, choices=JobStatus.choices, default=JobStatus.SIGNED)
    street = models.CharField(max_length=120)
    city = models.CharField(max_length=80, blank=True)
    state = models.CharField(max_length=2, blank=True)
    lat = models.FloatField(validators=latitude_range)
    lon = models.FloatField(validators=longitude_range)
    # Empty means the yard's zone.
    time_zone = models.CharField(max_length=64, blank=True, validators=[validate_time_zone])
    storeys = models.PositiveSmallIntegerField(default=1, validators=[MinValueValidator(1), MaxValueValidator(4)])
    layers = models.PositiveSmallIntegerField(default=1, validators=[MinValueValidator(1), MaxValueValidator(5)])
    cut_up = models.CharField(max_length=16, default="simple")  # a key of jobs.production_table.CUT_UP_FACTORS
    debris_carry = models.BooleanField(default=False, help_text=_("debris cannot fall straight into the container"))
    code_edition = models.CharField(max_length=8, default="2018")
    ice_barrier_required = models.BooleanField(default=True)
    wall_thickness_in = models.FloatField(default=6.5, validators=[MinValueValidator(0), MaxValueValidator(36)])
    eave_overhang_in = models.FloatField(default=12, validators=[MinValueValidator(0), MaxValueValidator(60)])
    deck_sheets_allowance = models.PositiveSmallIntegerField(default=2)
    product_line = models.CharField(max_length=80, blank=True)
    shingle_color = models.CharField(max_length=40, blank=True)
    metal_color = models.CharField(max_length=40, blank=True)
    underlayment = models.CharField(max_length=16, default="synthetic")  # felt15, felt30, synthetic
    permit_number = models.CharField(max_length=40, blank=True)
    promised_from = models.DateField(null=True, blank=True)
    promised_by = models.DateField(null=True, blank=True)
    blocked_dates = models.JSONField(default=list, blank=True)  # ISO dates on which nobody may come
    allowed_start = models.TimeField(null=True, blank=True)  # wall time from which noise is allowed
    allowed_end = models.TimeField(null=True, blank=True)
    priority = models.PositiveSmallIntegerField(default=2, validators=[MaxValueValidator(3)])
    contract_value_usd = models.PositiveIntegerField(default=0)
    roof_drop_allowed = models.BooleanField(default=True)
    hazards = models.CharField(max_length=300, blank=True)  # power line side, dog, chimney
    wishes = models.CharField(max_length=300, blank=True)  # plants, cars, neighbours
    measured_by = models.CharField(max_length=40, blank=True)  # tape, polygons, measurement sheet
    created_at = models.DateTimeField()
    # Raised by every edit; a form that was opened on an older revision is refused.
    revision = models.PositiveIntegerField(default=1)
    history = HistoricalRecords(related_name="past")

    class Meta:
        ordering = ["number"]
        constraints = [
            models.UniqueConstraint(fields=["yard", "number"], name="one_job_number_per_yard"),
            models.CheckConstraint(
                name="job_place_on_earth",
                condition=models.Q(lat__gte=-90, lat__lte=90, lon__gte=-180, lon__lte=180),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.number} {self.short_name}"


class ReadyKind(models.TextChoices):
    PERMIT = "permit", _("permit")
    PRODUCT_COLOR = "product_color", _("product and color")
    PAYMENT = "payment", _("payment or insurer's approval")
    ASSOCIATION = "association", _("association's approval")
    HOMEOWNER_DATES = "homeowner_dates", _("homeowner's dates")
    THINGS_OFF_ROOF = "things_off_roof", _("things taken off the roof")
    ASBESTOS_TEST = "asbestos_test", _("asbestos test")


class ReadyItem(models.Model):
    """One line of the ready-to-build checklist; a job is ready when every needed line is done."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="ready_items")
    kind = models.CharField(max_length=20, choices=ReadyKind.choices)
    needed = models.BooleanField(default=True)
    done_at = models.DateTimeField(null=True, blank=True)
    done_by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["id"]
        constraints = [models.UniqueConstraint(fields=["job", "kind"], name="one_ready_line_per_kind")]

    def __str__(self) -> str:
        return self.get_kind_display()


class Contact(models.Model):
    """The homeowner. Outside history and logs, which refer to it by id only, so that it can be deleted."""

    job = models.OneToOneField(Job, on_delete=models.CASCADE, related_name="contact")
    name = models.CharField(max_length=120)
    phone = models.CharField(max_length=40, blank=True)
    email = models.EmailField(blank=True)
    language = models.CharField(max_length=5, default="en")

    def __str__(self) -> str:
        # Never the name: what is printed ends up in logs.
        return f"homeowner of job {self.job_id}"
