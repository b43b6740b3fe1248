"""Roofs from simple shapes or plan polygons: sections and edges with true areas and lengths."""

from jobs.roof_shape.ell import ell, tee
from jobs.roof_shape.gable import gable, shed
from jobs.roof_shape.hip import hip
from jobs.roof_shape.pitch import hip_factor, measured_pitch_factor, pitch_degrees, pitch_factor
from jobs.roof_shape.planes import EdgeShape, Plane, RoofShape, SectionShape, roof_from_planes

__all__ = [
    "EdgeShape",
    "Plane",
    "RoofShape",
    "SectionShape",
    "ell",
    "gable",
    "hip",
    "hip_factor",
    "measured_pitch_factor",
    "pitch_degrees",
    "pitch_factor",
    "roof_from_planes",
    "shed",
    "tee",
]
