"""Draws the demo's pictures, so that no real house is ever shown, and stores them like a phone's photos."""

import uuid
from contextlib import suppress
from functools import partial
from io import BytesIO

from django.db import transaction
from PIL import Image, ImageDraw, ImageFont

from jobs.actions import store_photo
from jobs.models import Job, Photo
from jobs.queries import photo_file
from roofops.demo.dates import Calendar
from roofops.demo.scenario.pictures import PICTURES
from roofops.record.access import Access, NotFound

NAMESPACE = uuid.UUID("3f6a0f0d-2a63-4c7b-8f0e-5c2c9d0b6a12")
WIDTH, HEIGHT = 960, 720
SKY, WALL, EDGE = (207, 225, 238), (237, 228, 211), (26, 36, 48)
GROUND = {"bare": (243, 221, 184), "dried_in": (233, 236, 232), "shingled": (169, 185, 196)}
LINE = {"bare": (138, 74, 14), "dried_in": (86, 100, 108), "shingled": (46, 69, 87)}
COURSE_PX = {"bare": 44, "dried_in": 60, "shingled": 24}
LABEL = "drawn for the roofops demo: no real house"


def take_pictures(office: Access, jobs: dict[str, Job], calendar: Calendar) -> None:
    """Store the pictures that were taken by now."""
    for story in PICTURES:
        at = calendar.moment(story.work_day, story.at)
        if at > calendar.now:
            continue
        job = jobs[story.number]
        store_photo(
            office,
            job.pk,
            _drawn(story.drawn),
            at,
            client_uuid=uuid.uuid5(NAMESPACE, f"{job.pk}/{at.isoformat()}"),
            kind=story.kind,
            taken_at=at,
            section_id=job.sections.get(name=story.section).pk,
            note=story.note,
        )


def remove_pictures(yard_id: int) -> None:
    """Delete the files of a yard's photos once the deletion of their rows is sure."""
    for row in Photo.objects.filter(job__yard_id=yard_id):
        with suppress(NotFound):
            transaction.on_commit(partial(photo_file(row).unlink, missing_ok=True))


def _drawn(state: str) -> BytesIO:
    """One slope seen from the street, courses in the state's colors."""
    image = Image.new("RGB", (WIDTH, HEIGHT), SKY)
    draw = ImageDraw.Draw(image)
    draw.rectangle((150, 470, 810, HEIGHT), fill=WALL, outline=EDGE, width=4)
    draw.polygon(((80, 480), (880, 480), (760, 160), (200, 160)), fill=GROUND[state], outline=EDGE, width=6)
    for y in range(480 - COURSE_PX[state], 165, -COURSE_PX[state]):
        inset = (480 - y) * 120 // 320
        draw.line(((86 + inset, y), (874 - inset, y)), fill=LINE[state], width=3)
    draw.text((24, HEIGHT - 48), LABEL, fill=EDGE, font=ImageFont.load_default(26))
    file = BytesIO()
    image.save(file, "PNG")
    file.seek(0)
    return file
