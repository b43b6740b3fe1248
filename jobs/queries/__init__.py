"""Reads of the roof and its work; every read of rows takes an Access first, and rows outside it do not exist."""

from jobs.queries.jobs import OPEN_STATUSES, JobLine, job, job_by_number, job_line, job_list, jobs_for
from jobs.queries.loads import (
    OPEN_LOAD_STATES,
    inspection,
    inspections_for,
    load,
    loads_between,
    loads_of,
    suppliers_for,
    yard,
    yards_for,
)
from jobs.queries.measured import edge_measure, measured_roof, roof_then, section_measure, with_roof
from jobs.queries.photos import photo, photo_file, photos_for
from jobs.queries.ready import MissingItem, ready
from jobs.queries.typed import job_data

__all__ = [
    "OPEN_LOAD_STATES",
    "OPEN_STATUSES",
    "JobLine",
    "MissingItem",
    "edge_measure",
    "inspection",
    "inspections_for",
    "job",
    "job_by_number",
    "job_data",
    "job_line",
    "job_list",
    "jobs_for",
    "load",
    "loads_between",
    "loads_of",
    "measured_roof",
    "photo",
    "photo_file",
    "photos_for",
    "ready",
    "roof_then",
    "section_measure",
    "suppliers_for",
    "with_roof",
    "yard",
    "yards_for",
]
