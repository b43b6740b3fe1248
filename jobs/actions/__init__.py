"""Writes about jobs, roofs, loads, inspections and photos: the only place that saves them."""

from jobs.actions.roof import RoofInWork, recompute_phase_work, replace_roof

__all__ = ["RoofInWork", "recompute_phase_work", "replace_roof"]
