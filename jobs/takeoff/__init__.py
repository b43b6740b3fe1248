"""Takeoff: what a measured roof needs, what to order, what it weighs, what comes off."""

from jobs.takeoff.debris import Debris
from jobs.takeoff.line import TakeoffLine
from jobs.takeoff.metal import RidgeVent, ridge_vent
from jobs.takeoff.whole import Takeoff, takeoff

__all__ = ["Debris", "RidgeVent", "Takeoff", "TakeoffLine", "ridge_vent", "takeoff"]
