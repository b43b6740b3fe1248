"""The roof as a walk leaves it: what the next work day starts from."""

from dataclasses import replace
from datetime import datetime

from crews.planner.problem import RidgeWork, RoofAreas, RoofWork, Run, SectionWork, Step, StepKind

SAME_SQUARES = 0.05  # two sums nearer than this are one, as figures are shown to a tenth


def begins_as(work: RoofWork, run: Run) -> bool:
    """Whether a walk began with the roof as this work has it: nothing was reported since that it does not know."""
    if not run.areas:
        return False
    first, tarped = run.areas[0], sum(s.tarped_squares for s in work.sections)
    pairs = (
        (first.old, sum(s.old_squares for s in work.sections)),
        (first.bare + first.tarped, sum(s.bare_squares for s in work.sections)),
        (first.tarped, tarped),
        (first.dried_in, sum(s.dried_in_squares for s in work.sections)),
        (first.shingled, sum(s.shingled_squares for s in work.sections)),
    )
    return all(abs(one - other) <= SAME_SQUARES for one, other in pairs)


def at_end(work: RoofWork, run: Run, until: datetime) -> RoofWork:
    """The work that is left when the steps of a run are done that end by a moment.

    work: the roof as the run began with it. A strip that is torn off by then and not closed lies bare, or under tarps.
    What was opened lies behind on the next day, and a deck that is closed is not wet any more.

    Raises ValueError where steps and areas of the run do not fit together.
    """
    done = [step for step in run.steps if step.end <= until]
    sections = tuple(_section(section, done) for section in work.sections)
    left = replace(
        work,
        sections=sections,
        ridges=tuple(_ridge(ridge, done) for ridge in work.ridges),
        started=work.started or any(step.kind is StepKind.SET_UP for step in done),
        wet_deck=work.wet_deck and any(s.bare_squares > SAME_SQUARES for s in sections),
        opened_today_squares=0.0,
    )
    if len(done) == len(run.steps):
        _check(left, run)
    return left


def _check(left: RoofWork, run: Run) -> None:
    """The steps must lead where the walk's own sums end."""
    if not run.areas:
        return
    last: RoofAreas = run.areas[-1]
    old, dried = sum(s.old_squares for s in left.sections), sum(s.dried_in_squares for s in left.sections)
    if abs(old - last.old) > SAME_SQUARES or abs(dried - last.dried_in) > SAME_SQUARES:
        raise ValueError("The steps of this run do not lead to the areas that it ends with.")


def _section(section: SectionWork, done: list[Step]) -> SectionWork:
    """One plane after the steps; what is laid over tarped deck takes its tarps off first."""
    old, tarped = section.old_squares, section.tarped_squares
    uncovered = section.bare_squares - tarped
    dried, shingled = section.dried_in_squares, section.shingled_squares
    for step in done:
        if step.section_id != section.section_id or step.squares <= 0:
            continue
        if step.kind is StepKind.TEAR_OFF:
            part = min(step.squares, old)
            old, uncovered = old - part, uncovered + part
        elif step.kind is StepKind.TARP:
            part = min(step.squares, uncovered)
            uncovered, tarped = uncovered - part, tarped + part
        elif step.kind is StepKind.UNDERLAYMENT:
            part = min(step.squares, uncovered)
            under = min(step.squares - part, tarped)
            uncovered, tarped, dried = uncovered - part, tarped - under, dried + part + under
        elif step.kind is StepKind.FIELD:
            part = min(step.squares, dried)
            dried, shingled = dried - part, shingled + part
    to_close = _share(old + uncovered + tarped, section.old_squares + section.bare_squares)
    to_lay = _share(section.squares - shingled, section.squares - section.shingled_squares)
    return replace(
        section,
        old_squares=max(0.0, old),
        bare_squares=max(0.0, uncovered) + max(0.0, tarped),
        tarped_squares=max(0.0, tarped),
        dried_in_squares=max(0.0, dried),
        shingled_squares=shingled,
        detail_closing_labor_hours=section.detail_closing_labor_hours * to_close,
        detail_field_labor_hours=section.detail_field_labor_hours * to_lay,
    )


def _share(left: float, before: float) -> float:
    return min(1.0, max(0.0, left / before)) if before > 0 else 0.0


def _ridge(ridge: RidgeWork, done: list[Step]) -> RidgeWork:
    """One ridge after the steps: what lay open is capped or covered again, then new feet are opened and finished."""
    open_ft, finished = ridge.open_ft, ridge.finished_ft
    for step in done:
        if step.edge_id != ridge.edge_id:
            continue
        if step.kind is StepKind.COVER_RIDGE:
            open_ft = max(0.0, open_ft - step.feet)
        elif step.kind is StepKind.RIDGE:
            finished = min(ridge.length_ft - open_ft, finished + step.feet)
    return replace(ridge, open_ft=open_ft, finished_ft=max(ridge.finished_ft, finished))
