"""Photos of a job; the files lie in the data folder and are served by a checked view only."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from jobs.models.job import Job
from jobs.models.roof import Section


class PhotoKind(models.TextChoices):
    DECK = "deck", _("deck")
    DRY_IN = "dry_in", _("dried-in")
    CLOSED = "closed", _("closed for the night")
    DRY_READING = "dry_reading", _("dry reading")
    LABEL = "label", _("product label")
    PROBLEM = "problem", _("problem")
    FINISHED = "finished", _("finished")
    OTHER = "other", _("other")


class Photo(models.Model):
    """One picture, decoded and written again without its metadata before it is stored."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="photos")
    section = models.ForeignKey(Section, null=True, blank=True, on_delete=models.SET_NULL, related_name="+")
    kind = models.CharField(max_length=12, choices=PhotoKind.choices, default=PhotoKind.OTHER)
    client_uuid = models.UUIDField(unique=True)
    path = models.CharField(max_length=200)  # relative to the photo folder
    width_px = models.PositiveIntegerField()
    height_px = models.PositiveIntegerField()
    taken_at = models.DateTimeField()
    received_at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["-taken_at", "id"]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} photo of job {self.job_id}"
