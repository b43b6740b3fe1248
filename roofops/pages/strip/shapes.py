"""The drawing elements of a strip as data, so that geometry can be checked before it becomes SVG."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from django.utils.safestring import SafeString

from roofops.pages.drawing.lettering import text_width
from roofops.pages.drawing.svg import el, joined, number

Point = tuple[float, float]


def polyline(points: Iterable[Point]) -> str:
    """Return path data through the points, open."""
    return "M" + "L".join(f"{number(x)} {number(y)}" for x, y in points)


@dataclass(frozen=True)
class Rect:
    """A rectangle; fill names a pattern, cls the style classes."""

    x: float
    y: float
    width: float
    height: float
    cls: str = ""
    pattern: str = ""

    def svg(self) -> SafeString:
        """Write it."""
        return el(
            "rect",
            x=self.x,
            y=self.y,
            width=max(self.width, 0.0),
            height=max(self.height, 0.0),
            class_=self.cls or None,
            fill=_fill(self.pattern),
        )


@dataclass(frozen=True)
class Path:
    """A path; width is the stroke's."""

    data: str
    cls: str = ""
    width: float = 0.0
    pattern: str = ""

    def svg(self) -> SafeString:
        """Write it."""
        return el(
            "path", d=self.data, class_=self.cls or None, fill=_fill(self.pattern), stroke_width=self.width or None
        )


@dataclass(frozen=True)
class Text:
    """One line of lettering; y is the baseline, anchor start, middle or end."""

    x: float
    y: float
    text: str
    size_px: float
    anchor: str = "start"
    bold: bool = False
    cls: str = ""

    @property
    def width(self) -> float:
        """Measured width [px]."""
        return text_width(self.text, self.size_px, bold=self.bold)

    @property
    def left(self) -> float:
        """Left end [px]."""
        return self.x - {"start": 0.0, "middle": 0.5, "end": 1.0}[self.anchor] * self.width

    @property
    def right(self) -> float:
        """Right end [px]."""
        return self.left + self.width

    def svg(self) -> SafeString:
        """Write it."""
        classes = ["lettering", *(["bold"] if self.bold else []), *([self.cls] if self.cls else [])]
        return el(
            "text",
            self.text,
            x=self.x,
            y=self.y,
            font_size=self.size_px,
            text_anchor=self.anchor,
            class_=" ".join(classes),
        )


Shape = Rect | Path | Text


def plate(text: Text, *, pad: float = 4.0, cls: str = "ground-sheet") -> tuple[Rect, Text]:
    """Return a text on a plate of its measured width."""
    top = text.y - text.size_px + 0.5
    return Rect(text.left - pad, top, text.width + 2 * pad, text.size_px + 3, cls), text


def write(shapes: Sequence[Shape]) -> SafeString:
    """Return the SVG of several shapes in their order."""
    return joined([shape.svg() for shape in shapes])


def _fill(pattern: str) -> str | None:
    return f"url(#p-{pattern})" if pattern else None
