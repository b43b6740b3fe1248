"""What the crew reported: entries that are kept always and never overwritten."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from crews.models.roster import Crew
from jobs.models import Edge, Job, Photo, Section


class EntryKind(models.TextChoices):
    TORN_OFF = "torn_off", _("squares torn off")
    TARPED = "tarped", _("squares under a tarp now")
    DRIED_IN = "dried_in", _("squares dried-in")
    SHINGLED = "shingled", _("squares shingled")
    RIDGE_OPENED = "ridge_opened", _("feet of ridge slot opened")
    RIDGE_FINISHED = "ridge_finished", _("feet of ridge finished")
    PEOPLE_HERE = "people_here", _("people here")
    LABOR_HOURS = "labor_hours", _("labor-hours of a phase")
    DECK_SHEETS = "deck_sheets", _("deck sheets replaced")
    DRY_READING = "dry_reading", _("deck is dry")
    RAIN_HERE = "rain_here", _("rain here now")
    CLOSED = "closed", _("closed for the night")
    PROBLEM = "problem", _("problem")


class ProgressEntry(models.Model):
    """One report from a roof. Amounts are running totals: done_before as the phone showed it, done_after as said."""

    client_uuid = models.UUIDField(unique=True)
    device = models.CharField(max_length=64, blank=True)
    sequence = models.PositiveIntegerField(default=0)
    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="+")
    crew = models.ForeignKey(Crew, null=True, on_delete=models.SET_NULL, related_name="+")
    section = models.ForeignKey(Section, null=True, blank=True, on_delete=models.SET_NULL, related_name="+")
    edge = models.ForeignKey(Edge, null=True, blank=True, on_delete=models.SET_NULL, related_name="+")
    kind = models.CharField(max_length=16, choices=EntryKind.choices)
    phase = models.CharField(max_length=16, blank=True)
    done_before = models.FloatField(null=True, blank=True)
    done_after = models.FloatField(null=True, blank=True)
    correction = models.BooleanField(default=False)  # sets the total instead of raising it
    more_than_measured = models.BooleanField(default=False)
    differs = models.BooleanField(default=False)  # done_before was not the total when it arrived
    note = models.CharField(max_length=300, blank=True)
    at = models.DateTimeField()  # when it was done, by server time
    received_at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")
    by_name = models.CharField(max_length=80, blank=True)  # who says so, where it is not who is signed in
    photo = models.ForeignKey(Photo, null=True, blank=True, on_delete=models.SET_NULL, related_name="+")

    class Meta:
        ordering = ["at", "id"]
        indexes = [models.Index(fields=["job", "kind", "at"], name="crews_entry_job_kind_at")]

    def __str__(self) -> str:
        return f"{self.kind} job {self.job_id} {self.at:%Y-%m-%d %H:%M}"
