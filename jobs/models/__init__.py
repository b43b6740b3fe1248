"""Rows of the roof and its work. Each subject has a file of its own; import them from here."""

from jobs.models.job import Contact, Job, JobKind, JobStatus, ReadyItem, ReadyKind
from jobs.models.loads import Inspection, InspectionKind, InspectionState, Load, LoadKind, LoadState, Placement
from jobs.models.photos import Photo, PhotoKind
from jobs.models.roof import Detail, DetailKind, Edge, EdgeKind, PhaseWork, Section
from jobs.models.yard import Supplier, SupplierKind, Yard

__all__ = [
    "Contact",
    "Detail",
    "DetailKind",
    "Edge",
    "EdgeKind",
    "Inspection",
    "InspectionKind",
    "InspectionState",
    "Job",
    "JobKind",
    "JobStatus",
    "Load",
    "LoadKind",
    "LoadState",
    "PhaseWork",
    "Photo",
    "PhotoKind",
    "Placement",
    "ReadyItem",
    "ReadyKind",
    "Section",
    "Supplier",
    "SupplierKind",
    "Yard",
]
