"""Labor-hours of one phase: the frame is what is planned, the pattern what is done, all from one zero."""

from django.utils.safestring import SafeString

from roofops.pages.drawing.svg import el, picture

WIDTH, HEIGHT = 106.0, 16.0
PATTERNS = {"tear_off": "p-bare", "deck": "p-bare", "field": "p-shingled", "ridge": "p-shingled"}


def hours_bar(phase: str, done: float, planned: float, longest: float) -> SafeString:
    """Return the bar of one phase [labor-hours]; longest is the longest phase of the job, so that bars compare."""
    if longest <= 0 or planned <= 0:
        return picture(WIDTH, HEIGHT, "")
    whole = max(4.0, planned / longest * (WIDTH - 1))
    filled = min(1.0, done / planned) * whole
    parts = [el("rect", x=0.5, y=0.5, width=whole, height=HEIGHT - 1, class_="ground-sheet")]
    if filled > 0:
        pattern = PATTERNS.get(phase, "p-dried")
        parts.append(el("rect", x=0.5, y=0.5, width=filled, height=HEIGHT - 1, fill=f"url(#{pattern})"))
        parts.append(el("line", x1=0.5 + filled, x2=0.5 + filled, y1=0.5, y2=HEIGHT - 0.5, class_="line-ink"))
    parts.append(el("rect", x=0.5, y=0.5, width=whole, height=HEIGHT - 1, class_="line-ink", stroke_width=1.2))
    return picture(WIDTH, HEIGHT, "", *parts)
