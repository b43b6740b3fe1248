"""The contractor's yards and the suppliers that serve them."""

import zoneinfo
from datetime import time

from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _


def validate_time_zone(name: str) -> None:
    """Refuse a name that the IANA time zone database does not hold."""
    if name not in zoneinfo.available_timezones():
        raise ValidationError(
            _("“%(name)s” is not a time zone name; use one such as America/Chicago."), params={"name": name}
        )


latitude_range = [MinValueValidator(-90), MaxValueValidator(90)]
longitude_range = [MinValueValidator(-180), MaxValueValidator(180)]


class Yard(models.Model):
    """One place from which crews start; the unit of access, of planning and of the shared clock."""

    name = models.CharField(max_length=80, unique=True)
    company = models.CharField(max_length=120)
    time_zone = models.CharField(max_length=64, validators=[validate_time_zone])
    lat = models.FloatField(validators=latitude_range)
    lon = models.FloatField(validators=longitude_range)
    phone = models.CharField(max_length=40, blank=True)
    # Wall times of the ordinary shift; a job may narrow them, never widen them.
    shift_start = models.TimeField(default=time(7, 0))
    shift_end = models.TimeField(default=time(17, 30))
    # Hour by which tomorrow is decided, before the suppliers' own cut-offs.
    decide_by = models.TimeField(default=time(13, 0))
    work_weekdays = models.CharField(max_length=7, default="01234", help_text=_("0 is Monday"))
    roof_drops_per_day = models.PositiveSmallIntegerField(default=4)
    dumpsters_per_day = models.PositiveSmallIntegerField(default=4)
    # Only a demo yard may be served by invented weather.
    is_demo = models.BooleanField(default=False)

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class SupplierKind(models.TextChoices):
    MATERIALS = "materials", _("materials")
    DUMPSTERS = "dumpsters", _("dumpsters")


class Supplier(models.Model):
    """A firm that brings material or containers to the yard's jobs."""

    yard = models.ForeignKey(Yard, on_delete=models.CASCADE, related_name="suppliers")
    name = models.CharField(max_length=120)
    kind = models.CharField(max_length=16, choices=SupplierKind.choices)
    phone = models.CharField(max_length=40, blank=True)
    loads_per_day = models.PositiveSmallIntegerField(default=4)
    # Orders for the next work day are taken until this wall time.
    order_cutoff = models.TimeField(default=time(13, 0))
    truck_payload_lb = models.PositiveIntegerField(default=12000)

    class Meta:
        ordering = ["name"]
        constraints = [models.UniqueConstraint(fields=["yard", "name"], name="one_supplier_name_per_yard")]

    def __str__(self) -> str:
        return self.name
