"""Photos as one person sees them."""

from collections.abc import Iterable
from pathlib import Path

from django.conf import settings
from django.db.models import QuerySet

from jobs.models import Photo
from roofops.record.access import Access, NotFound


def photos_for(access: Access, job_ids: Iterable[int]) -> QuerySet[Photo]:
    """Return the photos of some jobs, the newest first."""
    queryset = Photo.objects.select_related("job", "section", "by").filter(job_id__in=list(job_ids))
    return access.scope(queryset, "job__yard_id")


def photo(access: Access, photo_id: int) -> Photo:
    """Return one photo; NotFound where it does not exist for this person."""
    row = access.scope(Photo.objects.select_related("job"), "job__yard_id").filter(pk=photo_id).first()
    if row is None:
        raise NotFound("There is no such photo here.")
    return row


def photo_file(row: Photo) -> Path:
    """Return the file of a photo; NotFound where its path leaves the photo folder or the file is gone."""
    folder = Path(settings.PHOTO_DIR).resolve()
    path = (folder / row.path).resolve()
    if not path.is_relative_to(folder) or not path.is_file():
        raise NotFound("The file of this photo is not here.")
    return path
