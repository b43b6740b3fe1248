"""The measured roof: sections with their four areas, edges, details, and the work per phase."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _
from simple_history.models import HistoricalRecords

from jobs.models.job import Job


class Section(models.Model):
    """One roof plane. Its four areas always sum to its squares; its state word is derived from them."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="sections")
    position = models.PositiveSmallIntegerField()  # opening order proposed by the office, from 1
    name = models.CharField(max_length=60)  # by the side of the house: "front slope, garage side"
    pitch_in_12 = models.FloatField(validators=[MinValueValidator(0), MaxValueValidator(24)])
    squares = models.FloatField(validators=[MinValueValidator(0.01)])  # true slope area / 100 sq ft
    old_squares = models.FloatField(default=0)
    bare_squares = models.FloatField(default=0)
    dried_in_squares = models.FloatField(default=0)
    shingled_squares = models.FloatField(default=0)
    eave_ft = models.FloatField(validators=[MinValueValidator(0)])  # length along the eave
    run_ft = models.FloatField(validators=[MinValueValidator(0)])  # eave to ridge along the slope
    downslope_deg = models.FloatField(null=True, blank=True)  # compass bearing the water runs to
    outline_ft = models.JSONField(default=list, blank=True)  # plan polygon [[x, y], ...], y to the north
    history = HistoricalRecords(related_name="past")

    class Meta:
        ordering = ["job_id", "position", "id"]
        constraints = [
            models.UniqueConstraint(fields=["job", "name"], name="one_section_name_per_job"),
            models.CheckConstraint(
                name="section_measures_in_range",
                condition=Q(squares__gt=0)
                & Q(pitch_in_12__gte=0)
                & Q(pitch_in_12__lte=24)
                & Q(eave_ft__gte=0)
                & Q(run_ft__gte=0),
            ),
            models.CheckConstraint(
                name="section_areas_not_negative",
                condition=Q(old_squares__gte=-0.001)
                & Q(bare_squares__gte=-0.001)
                & Q(dried_in_squares__gte=-0.001)
                & Q(shingled_squares__gte=-0.001),
            ),
            models.CheckConstraint(
                name="section_areas_sum_to_squares",
                condition=Q(
                    squares__gte=F("old_squares")
                    + F("bare_squares")
                    + F("dried_in_squares")
                    + F("shingled_squares")
                    - 0.01
                )
                & Q(
                    squares__lte=F("old_squares")
                    + F("bare_squares")
                    + F("dried_in_squares")
                    + F("shingled_squares")
                    + 0.01
                ),
            ),
        ]

    def __str__(self) -> str:
        return self.name


class EdgeKind(models.TextChoices):
    EAVE = "eave", _("eave")
    RAKE = "rake", _("rake")
    RIDGE = "ridge", _("ridge")
    HIP = "hip", _("hip")
    VALLEY = "valley", _("valley")
    WALL = "wall", _("wall")


class Edge(models.Model):
    """One edge with its true length. Only a ridge has progress: open_ft is slot without cover."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="edges")
    kind = models.CharField(max_length=8, choices=EdgeKind.choices)
    length_ft = models.FloatField(validators=[MinValueValidator(0.01)])
    section = models.ForeignKey(Section, null=True, blank=True, on_delete=models.SET_NULL, related_name="edges")
    other_section = models.ForeignKey(Section, null=True, blank=True, on_delete=models.SET_NULL, related_name="+")
    vented = models.BooleanField(default=False)  # ridge with a slot and a ridge vent
    open_ft = models.FloatField(default=0)
    finished_ft = models.FloatField(default=0)
    line_ft = models.JSONField(default=list, blank=True)  # plan line [[x, y], [x, y]]

    class Meta:
        ordering = ["job_id", "id"]
        constraints = [
            models.CheckConstraint(
                name="edge_open_and_finished_within_length",
                condition=Q(length_ft__gt=0)
                & Q(open_ft__gte=-0.001)
                & Q(finished_ft__gte=-0.001)
                & Q(length_ft__gte=F("open_ft") + F("finished_ft") - 0.01),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} {self.length_ft:g} ft"


class DetailKind(models.TextChoices):
    PIPE_BOOT = "pipe_boot", _("pipe boot")
    CHIMNEY = "chimney", _("chimney flashing")
    STEP_FLASHING = "step_flashing", _("step flashing")
    SKYLIGHT = "skylight", _("skylight")


class Detail(models.Model):
    """A penetration or flashing that costs time of its own. Valleys are edges."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="details")
    section = models.ForeignKey(Section, null=True, blank=True, on_delete=models.CASCADE, related_name="details")
    kind = models.CharField(max_length=16, choices=DetailKind.choices)
    count = models.PositiveSmallIntegerField(default=1)
    length_ft = models.FloatField(default=0, validators=[MinValueValidator(0)])
    at_ft = models.JSONField(default=list, blank=True)  # [x, y] in plan

    class Meta:
        ordering = ["job_id", "id"]
        constraints = [
            models.CheckConstraint(name="detail_length_not_negative", condition=Q(length_ft__gte=0)),
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} x {self.count}"


class PhaseWork(models.Model):
    """Labor-hours of one phase of one section (section empty: the whole job, e.g. the ridge)."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="phase_work")
    section = models.ForeignKey(Section, null=True, blank=True, on_delete=models.CASCADE, related_name="phase_work")
    phase = models.CharField(max_length=16)  # jobs.phases.Phase
    quantity = models.FloatField(default=0)
    unit = models.CharField(max_length=8, default="sq")  # sq, ft, each
    planned_labor_hours = models.FloatField(default=0)
    done_labor_hours = models.FloatField(default=0)

    class Meta:
        ordering = ["job_id", "id"]
        constraints = [
            models.UniqueConstraint(fields=["job", "section", "phase"], name="one_phase_row_per_section"),
            # Null sections are distinct to a database, so the rows of the whole job have a rule of their own.
            models.UniqueConstraint(
                fields=["job", "phase"], condition=Q(section__isnull=True), name="one_phase_row_per_job"
            ),
            models.CheckConstraint(
                name="phase_hours_not_negative",
                condition=Q(quantity__gte=0) & Q(planned_labor_hours__gte=0) & Q(done_labor_hours__gte=0),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.phase}: {self.planned_labor_hours:.2f} labor-hours"
