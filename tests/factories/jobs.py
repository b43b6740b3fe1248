"""Invented yards, suppliers and measured jobs for every test.

All names are invented; telephone numbers are of the 555-01xx block that is set aside for fiction.

Worlds
------
YardFactory      "Westmere yard" of Pell & Marrow Roofing in America/Chicago.
JobFactory       a signed re-roof with the gable roof 40 x 28 ft, 6/12, overhangs 1 ft: 14.087 squares in two slopes,
                 ridge 42 ft vented, PhaseWork computed. `shape=` takes another RoofShape, `shape__details=` DetailData.
UnmeasuredJobFactory  the same job without any section.
ready_job        a JobFactory job whose needed checklist lines are done.
"""

from datetime import UTC, datetime
from typing import Any

import factory
from factory.django import DjangoModelFactory

from jobs.actions.roof import replace_roof
from jobs.models import (
    Contact,
    Inspection,
    InspectionKind,
    Job,
    Load,
    LoadKind,
    ReadyItem,
    ReadyKind,
    Supplier,
    SupplierKind,
    Yard,
)
from jobs.roof_data import roof_data
from jobs.roof_shape import RoofShape, gable

CREATED = datetime(2026, 5, 4, 14, 0, tzinfo=UTC)


def gable_shape() -> RoofShape:
    """The gable of the worked examples: 40 x 28 ft, 6/12, overhangs 1 ft."""
    return gable(40, 28, 6)


class YardFactory(DjangoModelFactory[Yard]):
    """One yard in the northern United States."""

    class Meta:
        model = Yard
        django_get_or_create = ("name",)

    name = "Westmere yard"
    company = "Pell & Marrow Roofing"
    time_zone = "America/Chicago"
    lat = 44.95
    lon = -93.09
    phone = "555-0100"


class SupplierFactory(DjangoModelFactory[Supplier]):
    """A firm that brings material, or containers with kind=SupplierKind.DUMPSTERS."""

    class Meta:
        model = Supplier

    yard = factory.SubFactory(YardFactory)
    name = factory.Sequence(lambda n: f"Fernhollow Supply {n + 1}")
    kind = SupplierKind.MATERIALS
    phone = "555-0110"


class JobFactory(DjangoModelFactory[Job]):
    """A signed re-roof with a measured gable roof."""

    class Meta:
        model = Job
        skip_postgeneration_save = True

    yard = factory.SubFactory(YardFactory)
    number = factory.Sequence(lambda n: f"{2601 + n}")
    short_name = factory.Sequence(lambda n: ("Holt", "Abbey", "Quill", "Tarn", "Ode", "Wren")[n % 6] + f" {n + 1}")
    street = factory.Sequence(lambda n: f"{100 + n} Larkmead Lane")
    city = "Westmere"
    state = "MN"
    lat = 44.97
    lon = -93.12
    product_line = "laminate 30"
    shingle_color = "slate grey"
    metal_color = "white"
    created_at = CREATED

    @factory.post_generation
    def shape(self: Job, create: bool, extracted: Any, **kwargs: Any) -> None:
        """Measure the roof: the RoofShape given, else the gable."""
        if create and not kwargs.get("left_out"):
            replace_roof(self, roof_data(extracted or gable_shape(), kwargs.get("details", ())))


class UnmeasuredJobFactory(JobFactory):
    """A job whose roof nobody has measured yet."""

    shape__left_out = True


class ContactFactory(DjangoModelFactory[Contact]):
    """An invented homeowner."""

    class Meta:
        model = Contact

    job = factory.SubFactory(JobFactory)
    name = "Imogen Fairweather"
    phone = "555-0142"


class LoadFactory(DjangoModelFactory[Load]):
    """A load of materials for a job."""

    class Meta:
        model = Load

    job = factory.SubFactory(JobFactory)
    supplier = factory.SubFactory(SupplierFactory, yard=factory.SelfAttribute("..job.yard"))
    kind = LoadKind.MATERIALS
    weight_lb = 4200


class InspectionFactory(DjangoModelFactory[Inspection]):
    """A deck inspection that has not been called for."""

    class Meta:
        model = Inspection

    job = factory.SubFactory(JobFactory)
    kind = InspectionKind.DECK


def ready_job(**values: Any) -> Job:
    """Return a job whose every needed checklist line is done."""
    job = JobFactory(**values)
    for kind in ReadyKind:
        needed = kind not in (ReadyKind.ASSOCIATION, ReadyKind.ASBESTOS_TEST)
        ReadyItem.objects.update_or_create(
            job=job, kind=kind, defaults={"needed": needed, "done_at": CREATED if needed else None}
        )
    return job


__all__ = [
    "CREATED",
    "ContactFactory",
    "InspectionFactory",
    "JobFactory",
    "LoadFactory",
    "SupplierFactory",
    "UnmeasuredJobFactory",
    "YardFactory",
    "gable_shape",
    "ready_job",
]
