"""What comes off the roof, and the container for it."""

from dataclasses import dataclass
from math import ceil

from jobs.material_table import CONTAINERS, DEBRIS_LB_PER_SQUARE_LAYER, DEBRIS_YD3_PER_SQUARE_LAYER
from jobs.roof_measure import RoofMeasure


@dataclass(frozen=True)
class Debris:
    """Debris of a roof: weight [lb], volume [cubic yards], container size [cubic yards] and how many of them."""

    weight_lb: float
    volume_yd3: float
    container_yd3: int
    containers: int
    how: str


def debris(roof: RoofMeasure) -> Debris:
    """Return debris and container of a whole tear-off.

    The smallest container that takes squares, weight and volume; where the largest is too small, several of it: a swap.
    Source: 300 lb per square and layer (published range 250-400); container limits common practice, the hauler's win.
    """
    square_layers = roof.squares * roof.layers
    weight_lb = square_layers * DEBRIS_LB_PER_SQUARE_LAYER
    volume_yd3 = square_layers * DEBRIS_YD3_PER_SQUARE_LAYER
    layers = "layer" if roof.layers == 1 else "layers"
    how = f"{roof.squares:.2f} sq x {roof.layers} {layers} x {DEBRIS_LB_PER_SQUARE_LAYER:g} lb"
    for container in CONTAINERS:
        if square_layers <= container.square_layers and weight_lb <= container.lb and volume_yd3 <= container.yd3:
            return Debris(weight_lb, volume_yd3, container.yd3, 1, how)
    largest = CONTAINERS[-1]
    times = max(weight_lb / largest.lb, volume_yd3 / largest.yd3, square_layers / largest.square_layers)
    return Debris(weight_lb, volume_yd3, largest.yd3, ceil(times - 1e-9), how)
