"""Plans and their assignments."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from crews.models.roster import Crew
from jobs.models import Job, Yard


class PlanState(models.TextChoices):
    PROPOSED = "proposed", _("proposed")
    PUBLISHED = "published", _("published")
    SUPERSEDED = "superseded", _("superseded")
    DROPPED = "dropped", _("dropped")


class Plan(models.Model):
    """One plan of one yard. Published by compare-and-swap on the plan it was made from."""

    yard = models.ForeignKey(Yard, on_delete=models.CASCADE, related_name="+")
    number = models.PositiveIntegerField()
    state = models.CharField(max_length=12, choices=PlanState.choices, default=PlanState.PROPOSED)
    made_from = models.ForeignKey("self", null=True, blank=True, on_delete=models.SET_NULL, related_name="+")
    first_day = models.DateField()
    days = models.PositiveSmallIntegerField()
    seed = models.PositiveIntegerField()
    objective = models.FloatField(default=0)  # net value, dollars
    bound = models.FloatField(default=0)
    gap = models.FloatField(default=0)  # (bound - objective) / objective
    stopped = models.BooleanField(default=False)
    costs = models.JSONField(
        default=dict
    )  # {"late_days": .., "idle_labor_hours": .., "water_loss_usd": .., "travel_miles": ..}
    unscheduled = models.JSONField(default=list)  # [{"job": id, "reason": text}]
    broken_rules = models.JSONField(default=list)  # [{"rule": slug, "text": .., "job": id, "day": iso}]
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")
    seconds = models.FloatField(default=0)
    published_at = models.DateTimeField(null=True, blank=True)
    published_by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")
    forecast_ids = models.JSONField(default=list)

    class Meta:
        ordering = ["-number"]
        constraints = [
            models.UniqueConstraint(fields=["yard", "number"], name="one_plan_number_per_yard"),
            models.UniqueConstraint(
                fields=["yard"], condition=models.Q(state="published"), name="one_published_plan_per_yard"
            ),
        ]

    def __str__(self) -> str:
        return f"plan {self.number} {self.state}"


class Assignment(models.Model):
    """One job with one crew over consecutive work days, as the walk found it."""

    plan = models.ForeignKey(Plan, on_delete=models.CASCADE, related_name="assignments")
    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="+")
    crew = models.ForeignKey(Crew, on_delete=models.CASCADE, related_name="+")
    start = models.DateTimeField()
    finish_p50 = models.DateTimeField()
    finish_p90 = models.DateTimeField()
    # [{"date": iso, "start": iso, "end": iso, "torn_off": sq, "dried_in": sq, "shingled": sq, "ridge_ft": ft,
    #   "labor_hours": h, "idle_labor_hours": h, "phases": [[phase, labor_hours], ...]}]
    days = models.JSONField(default=list)
    cost = models.JSONField(default=dict)  # {term: dollars}
    reasons = models.JSONField(default=list)  # plain sentences, why here
    pinned = models.BooleanField(default=False)
    pencilled = models.BooleanField(default=False)  # not ready to build: may be planned, not published
    p_wet = models.FloatField(default=0)

    class Meta:
        ordering = ["start", "id"]
        constraints = [models.UniqueConstraint(fields=["plan", "job"], name="one_assignment_per_job_and_plan")]

    def __str__(self) -> str:
        return f"job {self.job_id} crew {self.crew_id} {self.start:%Y-%m-%d}"
