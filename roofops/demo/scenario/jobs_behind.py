"""Jobs that are done: what the records and the finished list show."""

from functools import partial

from jobs.roof_shape import gable, hip
from roofops.demo.scenario import skies
from roofops.demo.story import ALL, DetailStory, JobStory, ReportStory, report

FRONT, BACK, WEST, EAST = "front slope", "back slope", "west end", "east end"


def _whole_slope(work_day: int, section: str) -> tuple[ReportStory, ...]:
    """One slope torn off, dried-in and shingled within one day."""
    return (
        report(work_day, "9:30", "torn_off", section, ALL),
        report(work_day, "11:40", "dried_in", section, ALL),
        report(work_day, "15:30", "shingled", section, ALL),
    )


JOBS_BEHIND = (
    JobStory(
        number="J-2017",
        short_name="Ames",
        street="22 Wicket Lane",
        lat=45.2722,
        lon=-94.9470,
        sky=skies.DRY,
        roof=partial(gable, 38, 28, 5),
        owner="Theo Ames",
        owner_phone="555-0181",
        value_usd=14_000,
        promised=(-9, -4),
        crew="Okonjo",
        status="finished",
        reports=(*_whole_slope(-5, FRONT), *_whole_slope(-4, BACK), report(-4, "15:50", "ridge_finished", done=ALL)),
        details=(DetailStory("pipe_boot", BACK, 2),),
    ),
    JobStory(
        number="J-2021",
        short_name="Yardley",
        street="17 Ferry Slip",
        lat=45.2959,
        lon=-94.9755,
        sky=skies.DRY,
        roof=partial(hip, 42, 30, 6),
        owner="Greta Yardley",
        owner_phone="555-0182",
        value_usd=19_200,
        promised=(-10, -5),
        cut_up="hips_valleys",
        crew="Adeyemi",
        status="closed_out",
        reports=(
            *_whole_slope(-8, FRONT),
            *_whole_slope(-7, BACK),
            *_whole_slope(-6, WEST),
            *_whole_slope(-5, EAST),
            report(-5, "15:50", "ridge_finished", done=ALL),
        ),
        details=(DetailStory("pipe_boot", BACK, 2), DetailStory("chimney", FRONT)),
    ),
)
