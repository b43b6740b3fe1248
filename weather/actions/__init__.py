"""Everything that saves the sky: places and cells, forecasts, and the company's limits."""

from weather.actions.forecasts import Stored, note_failure, note_unchanged, prune_forecasts, store_forecast
from weather.actions.limits import set_limit
from weather.actions.places import point_for, resolve_point
from weather.actions.refresh import Outcome, refresh_cell

__all__ = [
    "Outcome",
    "Stored",
    "note_failure",
    "note_unchanged",
    "point_for",
    "prune_forecasts",
    "refresh_cell",
    "resolve_point",
    "set_limit",
    "store_forecast",
]
