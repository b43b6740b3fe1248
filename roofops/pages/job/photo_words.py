"""A photo on a page: its size, its words and its alternative text."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.utils.translation import gettext as _

from jobs.models import Photo
from roofops.pages.wording import formats


@dataclass(frozen=True)
class PhotoLine:
    """One photo of a grid."""

    id: int
    width_px: int
    height_px: int
    alt: str
    words: str


def photo_lines(photos: Iterable[Photo], zone: str) -> tuple[PhotoLine, ...]:
    """Return the lines of several photos."""
    return tuple(_line(row, zone) for row in photos)


def _line(row: Photo, zone: str) -> PhotoLine:
    local = formats.local(row.taken_at, zone)
    when = f"{formats.month_day(local.date())}, {formats.clock(row.taken_at, zone)}"
    kind = row.get_kind_display()
    place = row.section.name if row.section else ""
    what = ", ".join(part for part in (place, str(kind)) if part)
    return PhotoLine(
        id=row.pk,
        width_px=row.width_px,
        height_px=row.height_px,
        alt=_("Photo: %(what)s, %(when)s") % {"what": what, "when": when},
        words=", ".join(part for part in (what, when, row.note) if part),
    )
