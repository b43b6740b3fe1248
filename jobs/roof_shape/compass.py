"""Bearings in words."""

SIDES = ("north", "northeast", "east", "southeast", "south", "southwest", "west", "northwest")


def side_name(bearing_deg: float) -> str:
    """Return the compass side nearest to a bearing [degrees], such as "west"."""
    return SIDES[round((bearing_deg % 360) / 45) % 8]
