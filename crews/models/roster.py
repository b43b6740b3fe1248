"""Who works: workers, crews, who is in which crew from when to when, and who is away."""

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from jobs.models import Yard


class Worker(models.Model):
    """One person who works on roofs."""

    yard = models.ForeignKey(Yard, on_delete=models.CASCADE, related_name="+")
    name = models.CharField(max_length=80)
    phone = models.CharField(max_length=40, blank=True)
    language = models.CharField(max_length=5, default="en")
    skills = models.JSONField(default=list, blank=True)  # "tear_off", "shingles", "flashing", "ridge", "steep"
    # When this person works: an RFC 5545 recurrence rule, e.g. FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR
    working_days = models.CharField(max_length=200, default="FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR")
    hourly_cost_usd = models.FloatField(default=38, validators=[MinValueValidator(0)])
    user = models.OneToOneField(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.SET_NULL, related_name="+"
    )
    active = models.BooleanField(default=True)

    class Meta:
        ordering = ["name"]
        constraints = [models.UniqueConstraint(fields=["yard", "name"], name="one_worker_name_per_yard")]

    def __str__(self) -> str:
        return self.name


class Training(models.Model):
    """One certificate of one worker, e.g. fall protection (29 CFR 1926.503)."""

    worker = models.ForeignKey(Worker, on_delete=models.CASCADE, related_name="trainings")
    topic = models.CharField(max_length=60)
    trained_on = models.DateField()
    expires_on = models.DateField(null=True, blank=True)
    signed_by = models.CharField(max_length=80, blank=True)

    class Meta:
        ordering = ["worker_id", "topic", "-trained_on"]

    def __str__(self) -> str:
        return f"worker {self.worker_id} {self.topic} {self.trained_on}"


class CrewKind(models.TextChoices):
    OWN = "own", _("own crew")
    SUBCONTRACT = "subcontract", _("subcontract crew")


class Crew(models.Model):
    """A crew with its lead. A subcontract crew without valid insurance gets no assignment."""

    yard = models.ForeignKey(Yard, on_delete=models.CASCADE, related_name="+")
    name = models.CharField(max_length=40)
    kind = models.CharField(max_length=12, choices=CrewKind.choices, default=CrewKind.OWN)
    lead = models.ForeignKey(Worker, null=True, blank=True, on_delete=models.SET_NULL, related_name="+")
    insurance_until = models.DateField(null=True, blank=True)
    skills = models.JSONField(default=list, blank=True)
    steep_limit_in_12 = models.FloatField(default=12, validators=[MinValueValidator(0), MaxValueValidator(24)])
    tarps = models.PositiveSmallIntegerField(default=2)
    tarp_squares = models.FloatField(default=2.5)
    overtime_allowed = models.BooleanField(default=False)
    active = models.BooleanField(default=True)

    class Meta:
        ordering = ["name"]
        constraints = [models.UniqueConstraint(fields=["yard", "name"], name="one_crew_name_per_yard")]

    def __str__(self) -> str:
        return self.name


class CrewMember(models.Model):
    """A worker in a crew over a span of days (both ends included; an open end lasts)."""

    crew = models.ForeignKey(Crew, on_delete=models.CASCADE, related_name="members")
    worker = models.ForeignKey(Worker, on_delete=models.CASCADE, related_name="memberships")
    from_day = models.DateField()
    to_day = models.DateField(null=True, blank=True)

    class Meta:
        ordering = ["crew_id", "id"]
        constraints = [
            models.CheckConstraint(
                name="member_leaves_after_joining",
                condition=models.Q(to_day__isnull=True) | models.Q(to_day__gte=models.F("from_day")),
            )
        ]

    def __str__(self) -> str:
        return f"worker {self.worker_id} in crew {self.crew_id} from {self.from_day}"


class Absence(models.Model):
    """Days on which a worker is away: one span, or a span that recurs by an RFC 5545 rule."""

    worker = models.ForeignKey(Worker, on_delete=models.CASCADE, related_name="absences")
    first_day = models.DateField()
    days = models.PositiveSmallIntegerField(default=1)
    rule = models.CharField(max_length=200, blank=True)
    reason = models.CharField(max_length=80, blank=True)

    class Meta:
        ordering = ["worker_id", "first_day"]

    def __str__(self) -> str:
        return f"worker {self.worker_id} away from {self.first_day}"


class CrewRate(models.Model):
    """What a crew's own record says of one phase: a lognormal factor on the table's hours."""

    crew = models.ForeignKey(Crew, on_delete=models.CASCADE, related_name="rates")
    phase = models.CharField(max_length=16)
    mean_log = models.FloatField()
    sd_log = models.FloatField()
    jobs_counted = models.PositiveIntegerField()
    fitted_at = models.DateTimeField()

    class Meta:
        ordering = ["crew_id", "phase", "-fitted_at"]

    def __str__(self) -> str:
        return f"crew {self.crew_id} {self.phase} exp({self.mean_log:g})"
