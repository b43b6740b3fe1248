"""Rows of the sky: where it is asked for, what was said, what came, and the company's limits."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _


class Source(models.TextChoices):
    NWS = "nws", _("National Weather Service")
    OPENMETEO = "openmeteo", _("Open-Meteo")
    RECORDED = "recorded", _("invented weather (demo)")


class Cell(models.Model):
    """One grid cell of one source; neighbouring points share it, so one fetch serves them all."""

    source = models.CharField(max_length=12, choices=Source.choices)
    key = models.CharField(max_length=80)  # nws: "ABC/10,20"; recorded: the name of the pattern
    outline = models.JSONField(default=list, blank=True)  # [[lon, lat], ...] as the source drew it
    # Validators of the last answer, echoed back and never read as times.
    etag = models.CharField(max_length=200, blank=True)
    last_modified = models.CharField(max_length=80, blank=True)
    checked_at = models.DateTimeField(null=True, blank=True)  # last answer that was sound (200 or 304)
    failed_at = models.DateTimeField(null=True, blank=True)
    failure = models.CharField(max_length=300, blank=True)  # the last error in words, empty after a success
    failures_in_a_row = models.PositiveIntegerField(default=0)
    # Who is asking the source at this moment: one worker at a time, across all processes.
    lease_token = models.UUIDField(null=True, blank=True)
    lease_until = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["source", "key"], name="one_cell_per_source_and_key")]

    def __str__(self) -> str:
        return f"{self.source} {self.key}"


class Point(models.Model):
    """A place on the ground for which a forecast is wanted, rounded to four decimals."""

    lat = models.FloatField()
    lon = models.FloatField()
    # The only source a demo place may use; empty for real places.
    recorded_pattern = models.CharField(max_length=40, blank=True)
    time_zone = models.CharField(max_length=64, blank=True)  # as the source or who asked gave it
    cell = models.ForeignKey(Cell, null=True, blank=True, on_delete=models.SET_NULL, related_name="points")
    resolved_at = models.DateTimeField(null=True, blank=True)
    failure = models.CharField(max_length=300, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["lat", "lon", "recorded_pattern"], name="one_row_per_point"),
        ]

    def __str__(self) -> str:
        return f"{self.lat:.4f},{self.lon:.4f}"


class Forecast(models.Model):
    """One immutable issue of one cell: the whole hourly table as one compressed blob."""

    cell = models.ForeignKey(Cell, on_delete=models.CASCADE, related_name="forecasts")
    issued_at = models.DateTimeField()
    fetched_at = models.DateTimeField()
    checked_at = models.DateTimeField()  # moved by an equal body or a 304
    digest = models.CharField(max_length=64)
    table = models.BinaryField()
    attribution = models.CharField(max_length=200, blank=True)
    flags = models.JSONField(default=list, blank=True)

    class Meta:
        ordering = ["-issued_at", "-id"]
        constraints = [
            models.UniqueConstraint(fields=["cell", "issued_at", "digest"], name="one_row_per_issue_and_content")
        ]

    def __str__(self) -> str:
        return f"{self.cell_id} of {self.issued_at:%Y-%m-%d %H:%M}"


class Observation(models.Model):
    """What one station measured in one hour."""

    station = models.CharField(max_length=12)
    at = models.DateTimeField()
    air_temp_c = models.FloatField(null=True)
    wind_ms = models.FloatField(null=True)
    gust_ms = models.FloatField(null=True)
    rain_mm = models.FloatField(null=True)  # null is unknown, never zero

    class Meta:
        constraints = [models.UniqueConstraint(fields=["station", "at"], name="one_observation_per_station_hour")]

    def __str__(self) -> str:
        return f"{self.station} {self.at:%Y-%m-%d %H:%M}"


class Alert(models.Model):
    """One alert as it stands after its updates; identified by its event key, not by the message id."""

    event_key = models.CharField(max_length=120, unique=True)
    event = models.CharField(max_length=80)
    severity = models.CharField(max_length=16, blank=True)
    starts_at = models.DateTimeField()
    ends_at = models.DateTimeField(null=True)
    geometry = models.JSONField(null=True)
    zones = models.JSONField(default=list)

    def __str__(self) -> str:
        return self.event


class Calibration(models.Model):
    """One immutable version of how a source's chances map to what came, fitted only on earlier cases."""

    source = models.CharField(max_length=12, choices=Source.choices)
    fitted_at = models.DateTimeField()
    fitted_through = models.DateTimeField()
    cases = models.PositiveIntegerField()
    table = models.JSONField()

    def __str__(self) -> str:
        return f"{self.source} through {self.fitted_through:%Y-%m-%d}"


class WorkLimit(models.Model):
    """The company's own value of one limit (weather.limits.DEFAULTS holds the defaults and their sources)."""

    key = models.CharField(max_length=40)
    yard_id_number = models.PositiveIntegerField(
        null=True, blank=True
    )  # empty: every yard; a number, as jobs is a sibling
    value = models.FloatField()
    reason = models.CharField(max_length=200, blank=True)
    set_at = models.DateTimeField()
    set_by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")

    class Meta:
        ordering = ["key", "-set_at"]

    def __str__(self) -> str:
        return f"{self.key} {self.value:g}"
