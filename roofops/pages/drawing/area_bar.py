"""One bar of what lies on a roof: shingled, dried-in, bare and old, left to right, by their share of the squares."""

from django.utils.safestring import SafeString

from roofops.pages.drawing.svg import el, picture

WIDTH, HEIGHT = 132.0, 16.0


def area_bar(
    shingled: float, dried_in: float, bare: float, old: float, name: str, *, width: float = WIDTH
) -> SafeString:
    """Return the bar for four areas [squares]; name says the same in words."""
    whole = shingled + dried_in + bare + old
    parts, x = [], 0.5
    for squares, pattern in ((shingled, "p-shingled"), (dried_in, "p-dried"), (bare, "p-bare"), (old, "p-old")):
        share = squares / whole * (width - 1) if whole > 0 else 0.0
        if share > 0:
            parts.append(el("rect", x=x, y=0.5, width=share, height=HEIGHT - 1, fill=f"url(#{pattern})"))
        x += share
    parts.append(el("rect", x=0.5, y=0.5, width=width - 1, height=HEIGHT - 1, class_="line-ink", stroke_width=1))
    return picture(width, HEIGHT, name, *parts)
