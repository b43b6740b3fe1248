"""Rows that every app writes to: the decision log, background work, notices, and answers already given."""

from typing import Any

from django.conf import settings
from django.core.serializers.json import DjangoJSONEncoder
from django.db import models
from django.utils.translation import gettext_lazy as _

SUBJECT_ID_LENGTH = 64


class AppendOnly(models.QuerySet["LogEntry"]):
    """Rows that can be added and read, nothing else."""

    def update(self, **kwargs: Any) -> int:
        """Refuse: what was decided stays as it was written."""
        raise ValueError("A log entry cannot be changed.")

    def delete(self) -> tuple[int, dict[str, int]]:
        """Refuse: the log only grows."""
        raise ValueError("A log entry cannot be deleted.")


class LogEntry(models.Model):
    """One decision or event, written once and never changed. `actor` is empty for what roofops did by itself."""

    at = models.DateTimeField()
    actor = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+")
    yard_id = models.BigIntegerField(null=True)
    verb = models.SlugField(max_length=60)
    subject_type = models.CharField(max_length=60)
    subject_id = models.CharField(max_length=SUBJECT_ID_LENGTH)
    data = models.JSONField(default=dict, blank=True, encoder=DjangoJSONEncoder)
    forecast_ref = models.CharField(max_length=80, blank=True)

    objects = AppendOnly.as_manager()

    class Meta:
        ordering = ["-at", "-pk"]
        indexes = [
            models.Index(fields=["yard_id", "-at"], name="record_log_yard"),
            models.Index(fields=["subject_type", "subject_id"], name="record_log_subject"),
        ]
        verbose_name = _("log entry")
        verbose_name_plural = _("log entries")

    def __str__(self) -> str:
        return f"{self.at:%Y-%m-%d %H:%M} {self.verb} {self.subject_type} {self.subject_id}"

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Insert the entry; refuse to change one that is stored."""
        if not self._state.adding:
            raise ValueError("A log entry cannot be changed.")
        super().save(*args, **{**kwargs, "force_insert": True})

    def delete(self, *args: Any, **kwargs: Any) -> tuple[int, dict[str, int]]:
        """Refuse: the log only grows."""
        raise ValueError("A log entry cannot be deleted.")


class Work(models.Model):
    """One piece of background work. This row, not the message broker, is the truth about it."""

    class State(models.TextChoices):
        QUEUED = "queued", _("waiting")
        RUNNING = "running", _("running")
        DONE = "done", _("done")
        FAILED = "failed", _("failed")
        CANCELLED = "cancelled", _("cancelled")

    kind = models.SlugField(max_length=60)
    params = models.JSONField(default=dict, blank=True, encoder=DjangoJSONEncoder)
    yard_id = models.BigIntegerField(null=True)
    started_by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")
    # While queued or running, no second work of the same kind and key is started.
    dedupe_key = models.CharField(max_length=120, blank=True)
    state = models.CharField(max_length=10, choices=State.choices, default=State.QUEUED)
    token = models.UUIDField(null=True)
    lease_until = models.DateTimeField(null=True)
    # When the broker was last told of it; the sweep tells it again when nobody came.
    sent_at = models.DateTimeField()
    runs = models.PositiveIntegerField(default=0)
    progress = models.FloatField(default=0.0)
    progress_note = models.CharField(max_length=200, blank=True)
    result = models.JSONField(null=True, encoder=DjangoJSONEncoder)
    error = models.TextField(blank=True)
    cancel_requested = models.BooleanField(default=False)
    created_at = models.DateTimeField()
    started_at = models.DateTimeField(null=True)
    finished_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ["-created_at", "-pk"]
        indexes = [
            models.Index(fields=["state", "created_at"], name="record_work_state"),
            models.Index(fields=["yard_id", "kind", "-created_at"], name="record_work_yard"),
        ]
        constraints = [
            models.UniqueConstraint(
                fields=["kind", "dedupe_key"],
                condition=models.Q(state__in=["queued", "running"]) & ~models.Q(dedupe_key=""),
                name="record_work_one_open_per_key",
            ),
            models.CheckConstraint(
                condition=models.Q(progress__gte=0.0) & models.Q(progress__lte=1.0), name="record_work_progress_0_to_1"
            ),
        ]
        verbose_name = _("background work")
        verbose_name_plural = _("background work")

    def __str__(self) -> str:
        return f"{self.kind} {self.pk} {self.state}"


class WorkSlot(models.Model):
    """One tick of a timetable entry. The unique row makes a second beat, or a repeated message, harmless."""

    name = models.CharField(max_length=60)
    slot = models.DateTimeField()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["name", "slot"], name="record_slot_once")]
        verbose_name = _("timetable slot")
        verbose_name_plural = _("timetable slots")

    def __str__(self) -> str:
        return f"{self.name} {self.slot:%Y-%m-%d %H:%M:%S}"


class Heartbeat(models.Model):
    """When a background process last showed that it runs."""

    name = models.SlugField(max_length=60, unique=True)
    at = models.DateTimeField()

    class Meta:
        verbose_name = _("heartbeat")
        verbose_name_plural = _("heartbeats")

    def __str__(self) -> str:
        return f"{self.name} {self.at:%Y-%m-%d %H:%M:%S}"


class Notice(models.Model):
    """One message to one person about one verdict; made once, claimed before it is sent."""

    class State(models.TextChoices):
        NEW = "new", _("waiting")
        CLAIMED = "claimed", _("being sent")
        SENT = "sent", _("sent")
        UNCERTAIN = "uncertain", _("uncertain")
        FAILED = "failed", _("failed")

    recipient_kind = models.SlugField(max_length=30)
    recipient_id = models.CharField(max_length=SUBJECT_ID_LENGTH)
    channel = models.SlugField(max_length=30)
    yard_id = models.BigIntegerField(null=True)
    subject_type = models.CharField(max_length=60)
    subject_id = models.CharField(max_length=SUBJECT_ID_LENGTH)
    verdict_version = models.CharField(max_length=80)
    # The same for every try, so that a receiver can drop a repetition.
    key = models.CharField(max_length=200, unique=True)
    state = models.CharField(max_length=10, choices=State.choices, default=State.NEW)
    token = models.UUIDField(null=True)
    body = models.TextField()
    error = models.TextField(blank=True)
    created_at = models.DateTimeField()
    claimed_at = models.DateTimeField(null=True)
    sent_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ["-created_at", "-pk"]
        indexes = [models.Index(fields=["state", "created_at"], name="record_notice_state")]
        verbose_name = _("notice")
        verbose_name_plural = _("notices")

    def __str__(self) -> str:
        return f"{self.key} {self.state}"


class IdempotencyKey(models.Model):
    """The answer once given to a POST, so that its repetition gets the same answer and changes nothing."""

    key = models.UUIDField()
    user = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="+")
    method_path = models.CharField(max_length=300)
    response_status = models.PositiveSmallIntegerField(default=0)
    response_body = models.TextField(blank=True)
    response_type = models.CharField(max_length=100, blank=True)
    response_location = models.CharField(max_length=500, blank=True)
    created_at = models.DateTimeField()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["user", "key"], name="record_key_once_per_user")]
        verbose_name = _("answered request")
        verbose_name_plural = _("answered requests")

    def __str__(self) -> str:
        return f"{self.key} {self.method_path} {self.response_status}"
