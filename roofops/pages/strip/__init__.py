"""The sky-over-roof strip: one picture of a roof's day, drawn as SVG on the server."""

from roofops.pages.strip.drawing import draw, ruler

__all__ = ["draw", "ruler"]
