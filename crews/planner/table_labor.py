"""What a roof still needs by the table, and how much of it a crew does on a full dry day."""

from crews.planner.problem import CrewDay, RidgeWork, RoofWork, SectionWork
from jobs.phases import OPENING_PHASES, Phase


def table_labor_hours(work: RoofWork) -> float:
    """Table labor-hours of everything that is still to be done on a roof, set-up and clean-up left out."""
    return sum(_of_section(section) for section in work.sections) + sum(_of_ridge(ridge) for ridge in work.ridges)


def _of_section(section: SectionWork) -> float:
    """Labor-hours that one plane still needs: what is bare has been torn off, what is dried-in needs shingles."""
    hours = section.hours_per_square
    closing = sum(hours.get(phase, 0.0) for phase in OPENING_PHASES if phase is not Phase.TEAR_OFF)
    field = hours.get(Phase.FIELD, 0.0)
    return (
        section.old_squares * (hours.get(Phase.TEAR_OFF, 0.0) + closing + field)
        + section.bare_squares * (closing + field)
        + section.dried_in_squares * field
        + section.detail_closing_labor_hours
        + section.detail_field_labor_hours
    )


def _of_ridge(ridge: RidgeWork) -> float:
    return max(0.0, ridge.length_ft - ridge.finished_ft) * ridge.labor_hours_per_ft


def squares_on_a_dry_day(
    day: CrewDay, labor_hours_per_square: float, set_up_minutes: float, clean_up_minutes: float
) -> float:
    """Squares that a crew re-roofs from tear-off to ridge on a full dry day [squares].

    people x learned speed x (shift - breaks - set-up - clean-up) / labor-hours per square; no weather is in it. A crew
    of five with eight hours and half an hour each for set-up and clean-up needs 3.741 labor-hours a square on a simple
    gable: 5 x 7 / 3.741 = 9.4 squares. Hours: building construction cost data, CSI 07 31 13.10.

    Raises ValueError for hours per square that are not above zero, or minutes below zero.
    """
    if not labor_hours_per_square > 0:
        raise ValueError("A crew's rate needs labor-hours per square above zero.")
    if not (set_up_minutes >= 0 and clean_up_minutes >= 0):
        raise ValueError("Set-up and clean-up must not take less than no time.")
    breaks = sum((end - start).total_seconds() for start, end in day.breaks) / 60.0
    minutes = (day.end - day.start).total_seconds() / 60.0 - breaks - set_up_minutes - clean_up_minutes
    return day.people * day.speed * max(0.0, minutes) / 60.0 / labor_hours_per_square
