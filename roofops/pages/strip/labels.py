"""Labels that never run into each other: each takes its place on the sheet or stays away."""

from collections.abc import Iterable

from roofops.pages.strip.shapes import Rect, Shape, Text, plate

GAP_PX = 3.0


class Labels:
    """The labels placed so far, in the order of their weight; a later one yields to an earlier one."""

    def __init__(self, width: float) -> None:
        self.width = width
        self.shapes: list[Shape] = []
        self._taken: list[tuple[float, float, float, float]] = []

    def take(self, left: float, top: float, right: float, bottom: float) -> None:
        """Keep a box free of labels."""
        self._taken.append((left, top, right, bottom))

    def is_free(self, left: float, top: float, right: float, bottom: float) -> bool:
        """Say whether a box lies inside the strip and clear of all labels."""
        if left < -0.5 or right > self.width + 0.5:
            return False
        return not any(
            left < r + GAP_PX and right > x - GAP_PX and top < b and bottom > t for x, t, r, b in self._taken
        )

    def place(self, choices: Iterable[Text], *, on_plate: bool = True, must: bool = False) -> bool:
        """Place the first of the choices that is free; with `must` the first one in any case."""
        first: Text | None = None
        for text in choices:
            first = first or text
            if self.is_free(*_box(text, on_plate)):
                self._put(text, on_plate)
                return True
        if must and first is not None:
            self._put(first, on_plate)
            return True
        return False

    def _put(self, text: Text, on_plate: bool) -> None:
        self.take(*_box(text, on_plate))
        self.shapes.extend(plate(text) if on_plate else (text,))


def _box(text: Text, on_plate: bool) -> tuple[float, float, float, float]:
    rect: Rect = plate(text, pad=4.0 if on_plate else 0.0)[0]
    return rect.x, rect.y, rect.x + rect.width, rect.y + rect.height
