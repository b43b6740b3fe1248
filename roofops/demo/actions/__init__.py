"""Loads and clears the invented contractor. What an app has an action for goes through that action."""

from roofops.demo.actions.clear import clear
from roofops.demo.actions.company import DemoRefused
from roofops.demo.actions.load import Loaded, load

__all__ = ["DemoRefused", "Loaded", "clear", "load"]
