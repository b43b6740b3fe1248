"""Writes about jobs, roofs, loads, inspections and photos: the only place that saves them."""

from jobs.actions.imports import ImportRefused, ImportResult, import_jobs
from jobs.actions.jobs import LostUpdate, NumberTaken, create_job, delete_contact, edit_job, set_ready, set_status
from jobs.actions.loads import (
    LoadWindow,
    book_inspection,
    propose_loads,
    set_inspection_state,
    set_load_placement,
    set_load_state,
    set_load_windows,
)
from jobs.actions.photos import PhotoRefused, store_photo
from jobs.actions.progress import add_done_hours, set_areas, set_ridge
from jobs.actions.roof import RoofInWork, recompute_phase_work, replace_roof

__all__ = [
    "ImportRefused",
    "ImportResult",
    "LoadWindow",
    "LostUpdate",
    "NumberTaken",
    "PhotoRefused",
    "RoofInWork",
    "add_done_hours",
    "book_inspection",
    "create_job",
    "delete_contact",
    "edit_job",
    "import_jobs",
    "propose_loads",
    "recompute_phase_work",
    "replace_roof",
    "set_areas",
    "set_inspection_state",
    "set_load_placement",
    "set_load_state",
    "set_load_windows",
    "set_ready",
    "set_ridge",
    "set_status",
    "store_photo",
]
