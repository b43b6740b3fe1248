"""Pitch arithmetic of planes, hips and valleys.

Source: roof framing geometry (Pythagoras on the unit rafter), as tabulated in carpentry and estimating handbooks, e.g.
Estimating in Building Construction, chapter on finishes: sloped areas from plan areas.
"""

from math import atan, degrees, sqrt

from jobs.roof_measure import check_pitch


def pitch_factor(pitch_in_12: float) -> float:
    """Return slope length per horizontal run, sqrt(1 + r^2) with r = pitch / 12 [-].

    Raises ValueError outside 0/12 to 24/12.
    """
    rise_per_run = check_pitch(pitch_in_12) / 12
    return sqrt(1 + rise_per_run**2)


def hip_factor(pitch_in_12: float) -> float:
    """Return true hip or valley length per horizontal common-rafter run, sqrt(2 + r^2) [-].

    Holds for two planes of equal pitch that meet at a square corner. Raises ValueError outside 0/12 to 24/12.
    """
    rise_per_run = check_pitch(pitch_in_12) / 12
    return sqrt(2 + rise_per_run**2)


def pitch_degrees(pitch_in_12: float) -> float:
    """Return the angle to the horizontal [degrees]."""
    return degrees(atan(check_pitch(pitch_in_12) / 12))


def measured_pitch_factor(slope_area_ft2: float, plan_area_ft2: float) -> float:
    """Return the factor that a measured slope area implies over its plan area [-], to check a measurement by hand.

    Raises ValueError where the slope area is smaller than the plan area, which no roof can have.
    """
    if plan_area_ft2 <= 0 or slope_area_ft2 < plan_area_ft2:
        raise ValueError("A slope area cannot be smaller than the plan area below it.")
    return slope_area_ft2 / plan_area_ft2
