"""Photos: decoded, upright, without metadata, once per client id, in their own yard only."""

import uuid
from datetime import UTC, datetime, timedelta
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from jobs.actions import PhotoRefused, store_photo
from jobs.actions import photos as photos_action
from jobs.models import Job, Photo
from jobs.queries import photo, photo_file, photos_for
from roofops.record.access import NotFound, Role
from tests.factories.access import access_to, outsider
from tests.factories.jobs import JobFactory

pytestmark = pytest.mark.django_db
NOW = datetime(2026, 10, 13, 14, 20, tzinfo=UTC)
ORIENTATION, MAKER, GPS = 0x0112, 0x010F, 0x8825


@pytest.fixture(autouse=True)
def _folder(settings: Any, tmp_path: Path) -> None:
    settings.PHOTO_DIR = tmp_path


@pytest.fixture
def job() -> Job:
    return JobFactory()


def picture(size: tuple[int, int] = (40, 20), form: str = "JPEG", *, orientation: int = 1) -> BytesIO:
    """A red picture that says who made it and where."""
    image, out = Image.new("RGB", size, "red"), BytesIO()
    exif = Image.Exif()
    exif[ORIENTATION], exif[MAKER] = orientation, "Invented Camera Works"
    exif.get_ifd(GPS)[1] = "N"
    image.save(out, form, exif=exif)
    out.seek(0)
    return out


def store(job: Job, upload: BytesIO, **values: Any) -> Photo:
    return store_photo(
        access_to(job.yard, Role.CREW_LEAD), job.pk, upload, NOW, **{"client_uuid": uuid.uuid4(), **values}
    )


def test_a_photo_is_kept_without_its_metadata(job: Job) -> None:
    upload = picture()
    assert b"Invented Camera Works" in upload.getvalue()
    row = store(job, upload, kind="deck", note="north plane")
    stored = photo_file(row)
    assert b"Invented Camera Works" not in stored.read_bytes()
    with Image.open(stored) as image:
        assert image.format == "JPEG"
        assert not image.getexif()
        assert image.getpixel((5, 5))[0] > 200


def test_a_photo_taken_sideways_stands_upright(job: Job) -> None:
    row = store(job, picture((40, 20), orientation=6))
    assert (row.width_px, row.height_px) == (20, 40)


@pytest.mark.parametrize("form", ["PNG", "WEBP"])
def test_other_formats_become_jpeg(job: Job, form: str) -> None:
    assert photo_file(store(job, picture(form=form))).suffix == ".jpg"


def test_a_large_photo_is_made_smaller(job: Job) -> None:
    row = store(job, picture((4000, 1000)))
    assert (row.width_px, row.height_px) == (2048, 512)


def test_the_same_photo_sent_twice_is_kept_once(job: Job) -> None:
    client = uuid.uuid4()
    first, second = store(job, picture(), client_uuid=client), store(job, picture(), client_uuid=client)
    assert first.pk == second.pk
    assert len(list(photo_file(first).parent.iterdir())) == 1
    with pytest.raises(PhotoRefused, match="another job"):
        store(JobFactory(yard=job.yard), picture(), client_uuid=client)


@pytest.mark.parametrize(
    ("upload", "reason"),
    [
        (BytesIO(b""), "not a JPEG, PNG or WebP"),
        (BytesIO(b"<svg xmlns='x'></svg>"), "not a JPEG, PNG or WebP"),
        (BytesIO(picture((400, 400)).getvalue()[:900]), "damaged or cut off|not a JPEG"),
        (picture(form="TIFF"), "not a JPEG, PNG or WebP"),
    ],
)
def test_what_is_no_photo_is_refused_and_leaves_no_file(job: Job, upload: BytesIO, reason: str, tmp_path: Path) -> None:
    with pytest.raises(PhotoRefused, match=reason):
        store(job, upload)
    assert not Photo.objects.exists()
    assert not list(tmp_path.rglob("*.*"))


def test_a_file_or_picture_that_is_too_large_is_refused(job: Job, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(photos_action, "MAX_PIXELS", 100)
    with pytest.raises(PhotoRefused, match="megapixels"):
        store(job, picture())
    monkeypatch.setattr(photos_action, "MAX_BYTES", 100)
    with pytest.raises(PhotoRefused, match="can be kept"):
        store(job, picture())


def test_a_clock_that_runs_ahead_is_not_believed(job: Job) -> None:
    assert store(job, picture(), taken_at=NOW + timedelta(days=1)).taken_at == NOW
    assert store(job, picture(), taken_at=NOW - timedelta(hours=1)).taken_at == NOW - timedelta(hours=1)


def test_photos_stay_in_their_yard(job: Job) -> None:
    row = store(job, picture())
    assert list(photos_for(access_to(job.yard), [job.pk])) == [row]
    assert not photos_for(outsider(), [job.pk]).exists()
    with pytest.raises(NotFound):
        photo(outsider(), row.pk)
    with pytest.raises(NotFound):
        store_photo(outsider(), job.pk, picture(), NOW, client_uuid=uuid.uuid4())


def test_a_section_of_another_job_is_not_there(job: Job) -> None:
    with pytest.raises(NotFound):
        store(job, picture(), section_id=JobFactory().sections.first().pk)


def test_a_path_that_leaves_the_folder_is_not_served(job: Job) -> None:
    row = store(job, picture())
    row.path = "../../etc/hostname"
    with pytest.raises(NotFound):
        photo_file(row)


def test_a_row_that_cannot_be_saved_leaves_no_file(job: Job, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*args: object, **kwargs: object) -> None:
        raise RuntimeError("the disk of the database is full")

    monkeypatch.setattr(photos_action, "log", fail)
    with pytest.raises(RuntimeError):
        store(job, picture())
    assert not list(tmp_path.rglob("*.*"))
    assert not Photo.objects.exists()
