"""Storing a photo: decoded, turned upright, written again without its metadata."""

import contextlib
import uuid
import warnings
from datetime import datetime, timedelta
from pathlib import Path
from typing import IO

from django.conf import settings
from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _
from PIL import Image, ImageOps, UnidentifiedImageError

from jobs.models import Job, Photo, PhotoKind, Section
from jobs.queries import job as visible_job
from roofops.record.access import Access, NotFound
from roofops.record.actions import log

MAX_BYTES = 15 * 1024 * 1024
MAX_PIXELS = 60_000_000
MAX_SIDE_PX = 2048
JPEG_QUALITY = 85
FORMATS = ("JPEG", "PNG", "WEBP")
CLOCK_SLACK = timedelta(minutes=10)


class PhotoRefused(ValueError):
    """The file is not a photo that can be kept."""


def store_photo(
    access: Access,
    job_id: int,
    upload: IO[bytes],
    now: datetime,
    *,
    client_uuid: uuid.UUID,
    kind: str = PhotoKind.OTHER.value,
    taken_at: datetime | None = None,
    section_id: int | None = None,
    note: str = "",
) -> Photo:
    """Store a photo of a job and return its row; the same client_uuid again returns the first one.

    Parameters
    ----------
    upload
        The file as it came, JPEG, PNG or WebP, at most 15 MB and 60 megapixels.
    taken_at
        When it was taken; None, or a time in the future of a wrong clock, takes `now`.

    Raises
    ------
    NotFound
        The job or section does not exist for this person.
    PhotoRefused
        Too large, not one of the formats, or damaged.
    """
    job = visible_job(access, job_id)
    access.require(job.yard_id)
    known = Photo.objects.filter(client_uuid=client_uuid).first()
    if known is not None:
        if known.job_id != job.pk:
            raise PhotoRefused(_("This photo was sent for another job already."))
        return known
    if section_id is not None and not Section.objects.filter(pk=section_id, job=job).exists():
        raise NotFound("There is no such section in this job.")
    image = _decoded(upload)
    moment = now if taken_at is None or taken_at > now + CLOCK_SLACK else taken_at
    row = Photo(
        job=job,
        section_id=section_id,
        kind=PhotoKind(kind).value,
        client_uuid=client_uuid,
        path=f"{job.pk}/{uuid.uuid4().hex}.jpg",
        width_px=image.width,
        height_px=image.height,
        taken_at=moment,
        received_at=now,
        by=access.user,
        note=note[:200],
    )
    return _saved(access, job, row, image, now)


def _saved(access: Access, job: Job, row: Photo, image: Image.Image, now: datetime) -> Photo:
    """Write the file, then the row; where the row fails the file goes again."""
    path = Path(settings.PHOTO_DIR) / row.path
    path.parent.mkdir(parents=True, exist_ok=True)
    draft = path.with_suffix(".part")
    try:
        image.save(draft, "JPEG", quality=JPEG_QUALITY)
        draft.replace(path)
        with transaction.atomic():
            row.save()
            log(access, "photo_stored", row, now, yard_id=job.yard_id, kind=row.kind)
    except IntegrityError:
        path.unlink(missing_ok=True)
        # The phone sent it twice at one moment; the other request has stored it.
        with contextlib.suppress(Photo.DoesNotExist):
            return Photo.objects.get(client_uuid=row.client_uuid, job=job)
        raise
    except BaseException:
        draft.unlink(missing_ok=True)
        path.unlink(missing_ok=True)
        raise
    return row


def _decoded(upload: IO[bytes]) -> Image.Image:
    """Return the upright picture in RGB, at most MAX_SIDE_PX a side; only its pixels are taken over."""
    upload.seek(0, 2)
    size = upload.tell()
    upload.seek(0)
    if size > MAX_BYTES:
        raise PhotoRefused(
            _("The photo is %(size)s MB; at most %(most)s MB can be kept.")
            % {"size": f"{size / 1e6:.0f}", "most": MAX_BYTES // 1024 // 1024}
        )
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(upload, formats=FORMATS) as image:
                if image.width * image.height > MAX_PIXELS:
                    raise PhotoRefused(_("The photo has more than 60 megapixels."))
                upright = ImageOps.exif_transpose(image)
                upright.thumbnail((MAX_SIDE_PX, MAX_SIDE_PX))
                plain = Image.new("RGB", upright.size, "white")
                rgba = upright.convert("RGBA")
                plain.paste(rgba, mask=rgba.getchannel("A"))
                return plain
    except (UnidentifiedImageError, Image.DecompressionBombWarning, Image.DecompressionBombError) as error:
        raise PhotoRefused(_("This is not a JPEG, PNG or WebP photo.")) from error
    except (OSError, SyntaxError, EOFError) as error:
        raise PhotoRefused(_("The photo is damaged or cut off; take it again.")) from error
