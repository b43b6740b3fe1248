"""Which pictures the crews took. The pictures themselves are drawn, not photographed, and say so."""

from dataclasses import dataclass
from datetime import time


@dataclass(frozen=True)
class PictureStory:
    """One picture of one slope: on which work day and at what time, what it shows, and the state that is drawn."""

    number: str
    section: str
    work_day: int
    at: time
    kind: str
    drawn: str
    note: str


PICTURES = (
    PictureStory("J-2041", "back slope", -1, time(13, 21), "dry_in", "dried_in", "lapped over the ridge"),
    PictureStory("J-2041", "back slope", -1, time(16, 4), "closed", "shingled", "closed for the night"),
    PictureStory("J-2041", "front slope", 0, time(9, 6), "deck", "bare", "deck is sound"),
    PictureStory("J-2044", "front slope", -1, time(14, 22), "dry_in", "dried_in", "edge sealed to the old roof"),
    PictureStory("J-2029", "front slope", -1, time(14, 32), "dry_in", "dried_in", "valley lined"),
)
