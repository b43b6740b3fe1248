"""Writes SVG elements: escaped text, short numbers, attributes by keyword, plates behind labels."""

from typing import Literal

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString, mark_safe

from roofops.pages.drawing.lettering import text_width

Anchor = Literal["start", "middle", "end"]


def number(value: float) -> str:
    """Return a coordinate with at most one decimal."""
    text = f"{value:.1f}"
    return text[:-2] if text.endswith(".0") else text


def _value(value: object) -> str:
    return number(value) if isinstance(value, float) else str(value)


def el(name: str, *children: str, **attributes: object) -> SafeString:
    """Return one element; `class_` is written `class`, other underscores become hyphens, None is left out."""
    pairs = format_html_join(
        "",
        ' {}="{}"',
        ((key.rstrip("_").replace("_", "-"), _value(value)) for key, value in attributes.items() if value is not None),
    )
    tag = mark_safe(name)  # noqa: S308  names are ours
    if not children:
        return format_html("<{}{}/>", tag, pairs)
    return format_html("<{}{}>{}</{}>", tag, pairs, joined(children), tag)


def joined(parts: tuple[str, ...] | list[str]) -> SafeString:
    """Return the parts side by side; what is not markup of ours is escaped."""
    return format_html_join("", "{}", ((part,) for part in parts))


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
