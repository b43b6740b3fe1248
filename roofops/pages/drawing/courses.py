"""Progress as shingle courses that fill a frame."""

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from roofops.pages.drawing.svg import el

WIDTH, HEIGHT = 224.0, 18.0


def courses(share: float) -> SafeString:
    """Return the progress picture for a share from 0 to 1."""
    held = min(1.0, max(0.0, share))
    return el(
        "svg",
        el("rect", x=1, y=1, width=held * (WIDTH - 2), height=HEIGHT - 2, fill="url(#p-shingled)"),
        el("rect", x=0.75, y=0.75, width=WIDTH - 1.5, height=HEIGHT - 1.5, class_="frame"),
        class_="courses",
        viewBox=f"0 0 {WIDTH:.0f} {HEIGHT:.0f}",
        preserveAspectRatio="none",
        role="img",
        aria_label=_("%(n)s %% done") % {"n": round(held * 100)},
    )
