"""The drawing of a roof seen from above, as plain data in pixels."""

from jobs.roof_drawing.draw import Marks, draw, edge_sums
from jobs.roof_drawing.model import (
    Arrow,
    DetailMark,
    EdgeLine,
    EdgeSum,
    Piece,
    Plate,
    RoofDrawing,
    ScaleBar,
    Slope,
)

__all__ = [
    "Arrow",
    "DetailMark",
    "EdgeLine",
    "EdgeSum",
    "Marks",
    "Piece",
    "Plate",
    "RoofDrawing",
    "ScaleBar",
    "Slope",
    "draw",
    "edge_sums",
]
