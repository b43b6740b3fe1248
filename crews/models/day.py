"""A roof's day: the verdict, tomorrow's choice, days lost, and what joins a job to the sky."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from crews.models.roster import Crew
from jobs.models import Job
from weather.models import Forecast, Point


class JobPoint(models.Model):
    """The place in the sky of one job (jobs and weather do not know each other)."""

    job = models.OneToOneField(Job, on_delete=models.CASCADE, related_name="+")
    point = models.ForeignKey(Point, on_delete=models.PROTECT, related_name="+")

    def __str__(self) -> str:
        return f"job {self.job_id} at {self.point_id}"


class JobLimit(models.Model):
    """One limit that a job has of its own (steep, exposed ridge)."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="+")
    key = models.CharField(max_length=40)
    value = models.FloatField()
    reason = models.CharField(max_length=200)
    set_at = models.DateTimeField()
    set_by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")

    class Meta:
        constraints = [models.UniqueConstraint(fields=["job", "key"], name="one_limit_per_job_and_key")]

    def __str__(self) -> str:
        return f"job {self.job_id} {self.key} {self.value:g}"


class Verdict(models.TextChoices):
    TEAR_OFF = "tear_off", _("OK to tear off")
    NO_TEAR_OFF = "no_tear_off", _("No tear-off, shingle only")
    STAY_OFF = "stay_off", _("Stay off the roof")
    UNKNOWN = "unknown", _("Unknown, keep it closed")


class Decision(models.Model):
    """One computed verdict for one roof and day. The row in force is what the crew sees.

    A tighter one is in force at once; a looser one waits (in_force False) until a person accepts it.
    """

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="+")
    crew = models.ForeignKey(Crew, null=True, on_delete=models.SET_NULL, related_name="+")
    day = models.DateField()
    version = models.PositiveIntegerField()
    in_force = models.BooleanField(default=False)
    waiting = models.BooleanField(default=False)  # looser than what is in force; a person may accept it
    verdict = models.CharField(max_length=12, choices=Verdict.choices)
    bare_at_once_squares = models.FloatField(default=0)
    in_all_today_squares = models.FloatField(default=0)
    stop_line = models.CharField(max_length=120, blank=True)
    dry_in_by = models.DateTimeField(null=True, blank=True)
    valid_until = models.DateTimeField(null=True, blank=True)
    p_wet = models.FloatField(default=0)
    reasons = models.JSONField(default=list)  # [{"hour": iso, "reason": slug, "value": x, "limit": y, "unit": u}]
    because = models.JSONField(default=dict)  # the one cause for the key line: {"code": slug, "params": {...}}
    # {"run": crews.planner.problem.Run, "verdict": crews.planner.verdict.DayVerdict}, by crews.verdict.verdict_data
    run = models.JSONField(default=dict)
    bands = models.JSONField(default=list)  # [{"start": iso, "end": iso, "kind": verdict, "code": slug}]
    forecast = models.ForeignKey(Forecast, null=True, on_delete=models.PROTECT, related_name="+")
    forecast_age_hours = models.FloatField(null=True, blank=True)
    checked_hours = models.FloatField(null=True, blank=True)  # hours since the source last answered soundly
    computed_at = models.DateTimeField()
    accepted_at = models.DateTimeField(null=True, blank=True)
    accepted_by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")
    # The crew lead's 'seen' of this version.
    confirmed_at = models.DateTimeField(null=True, blank=True)
    confirmed_by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")
    # What it was computed from: {"forecast": id, "limits": {key: value}, "speed": x, "rates": id list, "people": n}
    basis = models.JSONField(default=dict)
    # What the office set for this roof and day; both only ever tighten.
    own_limit_squares = models.FloatField(null=True, blank=True)
    own_at_once_squares = models.FloatField(null=True, blank=True)
    held = models.BooleanField(default=False)
    office_reason = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["-day", "job_id", "-version"]
        constraints = [
            models.UniqueConstraint(fields=["job", "day", "version"], name="one_decision_version"),
            models.UniqueConstraint(
                fields=["job", "day"], condition=models.Q(in_force=True), name="one_decision_in_force"
            ),
            models.UniqueConstraint(
                fields=["job", "day"], condition=models.Q(waiting=True), name="one_decision_waiting"
            ),
            models.CheckConstraint(name="decision_waits_or_holds", condition=~models.Q(in_force=True, waiting=True)),
        ]

    def __str__(self) -> str:
        return f"job {self.job_id} {self.day} version {self.version} {self.verdict}"


class DayChoice(models.Model):
    """What the manager chose for a roof's next work day, and who has been told when."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="+")
    day = models.DateField()
    choice = models.CharField(max_length=8, blank=True)  # go, at_530, move; empty: undecided
    move_to = models.DateField(null=True, blank=True)
    backup = models.CharField(max_length=200, blank=True)
    chosen_at = models.DateTimeField(null=True, blank=True)
    chosen_by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")
    told = models.JSONField(default=dict)  # {"crew": {"state": "told"|"asked", "at": iso, "by": user id}, ...}

    class Meta:
        constraints = [models.UniqueConstraint(fields=["job", "day"], name="one_choice_per_job_and_day")]

    def __str__(self) -> str:
        return f"job {self.job_id} {self.day} {self.choice or 'undecided'}"


class DelayDay(models.Model):
    """A day or part of a day lost, with the number that lost it."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="+")
    crew = models.ForeignKey(Crew, null=True, on_delete=models.SET_NULL, related_name="+")
    day = models.DateField()
    hours_lost = models.FloatField()
    reason = models.CharField(max_length=16)
    value = models.FloatField(null=True)
    limit = models.FloatField(null=True)
    forecast = models.ForeignKey(Forecast, null=True, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["job", "day", "reason"], name="one_delay_per_job_day_reason")]

    def __str__(self) -> str:
        return f"job {self.job_id} {self.day} {self.reason} {self.hours_lost:g} h"
