"""Units of measure of the sources, and how each is turned into the table's own."""

from collections.abc import Mapping

from weather.parsing.document import UnreadableForecast

# Per quantity: unit -> (factor, offset), value in the table = value * factor + offset.
# Temperature to degC, speed to m/s, depth to mm, share to 0-1, angle to degrees.
UNITS: Mapping[str, Mapping[str, tuple[float, float]]] = {
    "temperature": {
        "degC": (1.0, 0.0), "°C": (1.0, 0.0),
        "degF": (1 / 1.8, -32 / 1.8), "°F": (1 / 1.8, -32 / 1.8),
        "K": (1.0, -273.15),
    },
    "speed": {
        "m_s-1": (1.0, 0.0), "m/s": (1.0, 0.0), "km_h-1": (1 / 3.6, 0.0), "km/h": (1 / 3.6, 0.0),
        "mph": (0.44704, 0.0), "mp/h": (0.44704, 0.0), "kt": (1852 / 3600, 0.0), "kn": (1852 / 3600, 0.0),
    },
    "depth": {
        "mm": (1.0, 0.0), "cm": (10.0, 0.0), "m": (1000.0, 0.0), "in": (25.4, 0.0), "inch": (25.4, 0.0),
        "kg_m-2": (1.0, 0.0),
    },
    "share": {"percent": (0.01, 0.0), "%": (0.01, 0.0)},
    "angle": {"degree_(angle)": (1.0, 0.0), "°": (1.0, 0.0), "deg": (1.0, 0.0)},
}  # fmt: skip


def conversion(layer: str, quantity: str, unit: str) -> tuple[float, float]:
    """Factor and offset that turn a layer's values into the table's unit.

    Only what stands behind the colon counts: the name before it changed over the years (unit:degC, wmoUnit:degC).

    Raises
    ------
    UnreadableForecast
        The unit is not one that this quantity is known in; guessing could be wrong by a factor of two.
    """
    known = UNITS[quantity].get(unit.rsplit(":", 1)[-1])
    if known is None:
        raise UnreadableForecast(f"The layer {layer} has the unknown unit '{unit}'.")
    return known
