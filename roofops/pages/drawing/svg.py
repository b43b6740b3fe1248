"""Writes SVG elements: escaped text, short numbers, attributes by keyword, plates behind labels."""

import html
from collections.abc import Sequence
from functools import cache
from typing import Literal

from django.utils.safestring import SafeString, mark_safe

from roofops.pages.drawing.lettering import text_width

Anchor = Literal["start", "middle", "end"]


def number(value: float) -> str:
    """Return a coordinate with at most one decimal."""
    text = f"{value:.1f}"
    return text[:-2] if text.endswith(".0") else text


def _value(value: object) -> str:
    # The quick way for figures; `html.escape` rather than Django's, which looks for lazy strings in every call.
    return number(value) if isinstance(value, float) else html.escape(str(value))


@cache
def _attribute(key: str) -> str:
    return key.rstrip("_").replace("_", "-")


def el(name: str, *children: str, **attributes: object) -> SafeString:
    """Return one element; `class_` is written `class`, other underscores become hyphens, None is left out."""
    pairs = "".join(f' {_attribute(key)}="{_value(value)}"' for key, value in attributes.items() if value is not None)
    if not children:
        return mark_safe(f"<{name}{pairs}/>")  # noqa: S308  the name is ours, the values are escaped
    return mark_safe(f"<{name}{pairs}>{joined(children)}</{name}>")  # noqa: S308


def joined(parts: Sequence[str]) -> SafeString:
    """Return the parts side by side; what is not markup of ours is escaped."""
    safe = (part if isinstance(part, SafeString) else html.escape(str(part)) for part in parts)
    return mark_safe("".join(safe))  # noqa: S308


def label(x: float, y: float, text: str, size_px: float, class_: str = "", anchor: Anchor = "start") -> SafeString:
    """Return one line of lettering at its baseline."""
    return el(
        "text",
        text,
        x=float(x),
        y=float(y),
        font_size=float(size_px),
        text_anchor=anchor,
        class_=f"lettering {class_}".strip(),
    )


def plate(
    x: float,
    y: float,
    text: str,
    size_px: float,
    class_: str = "",
    anchor: Anchor = "start",
    ground: str = "ground-sheet",
) -> SafeString:
    """Return a text on a plate of sheet, so that a pattern never runs under letters; y is the baseline."""
    width = text_width(text, size_px, bold="bold" in class_) + 8
    left = {"start": x - 4, "middle": x - width / 2, "end": x - width + 4}[anchor]
    return joined(
        [
            el("rect", x=left, y=y - size_px, width=width, height=size_px * 1.35, class_=ground),
            label(x, y, text, size_px, class_, anchor),
        ]
    )


def picture(width: float, height: float, name: str, *children: str, class_: str = "") -> SafeString:
    """Return a whole drawing of this size [px] with a sentence as its name; empty: it only decorates."""
    words: dict[str, object] = {"role": "img", "aria_label": name} if name else {"aria_hidden": "true"}
    return el(
        "svg",
        *children,
        width=float(width),
        height=float(height),
        viewBox=f"0 0 {number(width)} {number(height)}",
        focusable="false",
        class_=class_ or None,
        **words,
    )
