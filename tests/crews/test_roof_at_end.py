"""What a walk leaves is what the next day starts from: slope by slope, ridge by ridge, night by night."""

import pytest

from crews.planner.problem import Policy, RoofWork, Run
from crews.planner.roofday import walk
from crews.verdict.roof_at_end import at_end, begins_as
from tests.factories.skies import at, make_day, make_ridge, make_roof, make_section, make_sky

SUMS = ("old_squares", "bare_squares", "tarped_squares", "dried_in_squares", "shingled_squares")


def sums(work: RoofWork) -> dict[str, float]:
    return {name: sum(getattr(section, name) for section in work.sections) for name in SUMS}


def walked(work: RoofWork, **sky: object) -> Run:
    return walk(work, (make_day(),), make_sky(**sky), at(7), Policy())  # type: ignore[arg-type]


def half_done() -> RoofWork:
    return make_roof(
        make_section(1, old=1.0, bare_squares=3.0, dried_in_squares=2.0, shingled_squares=1.0435),
        make_section(2),
    )


@pytest.mark.parametrize("work", [make_roof(), half_done()], ids=["all old", "bare at the start"])
@pytest.mark.parametrize(
    "sky",
    [{}, {"wet": range(13, 19)}, {"danger": range(9, 11)}, {"unknown": range(10, 24)}, {"wet": range(8, 24)}],
    ids=["dry", "afternoon rain", "thunder at nine", "unknown from ten", "rain from eight"],
)
def test_the_steps_lead_where_the_walks_own_areas_end(work: RoofWork, sky: dict[str, object]) -> None:
    run = walked(work, **sky)
    assert begins_as(work, run)
    left = sums(at_end(work, run, at(24)))
    last = run.areas[-1]
    assert left["old_squares"] == pytest.approx(last.old, abs=0.01)
    assert left["bare_squares"] == pytest.approx(last.bare + last.tarped, abs=0.01)
    assert left["tarped_squares"] == pytest.approx(last.tarped, abs=0.01)
    assert left["dried_in_squares"] == pytest.approx(last.dried_in, abs=0.01)
    assert left["shingled_squares"] == pytest.approx(last.shingled, abs=0.01)


def test_set_up_and_ridge_lie_behind_on_the_next_day() -> None:
    shingled = make_roof(
        make_section(1, old=0.0, shingled_squares=7.0435),
        make_section(2, old=0.0, shingled_squares=7.0435),
        ridges=(make_ridge(),),
    )
    left = at_end(shingled, walked(shingled), at(24))
    assert left.started
    assert (left.ridges[0].open_ft, left.ridges[0].finished_ft) == (0.0, pytest.approx(42.0, abs=0.1))


def test_what_is_torn_off_and_not_closed_by_the_moment_lies_bare() -> None:
    work = make_roof()
    run = walked(work)
    torn = next(step for step in run.steps if step.kind == "tear_off")
    left = at_end(work, run, torn.end)
    assert sums(left)["bare_squares"] == pytest.approx(torn.squares)


def test_a_report_that_the_walk_does_not_know_is_seen() -> None:
    assert not begins_as(half_done(), walked(make_roof()))


def test_steps_that_do_not_fit_the_areas_are_refused() -> None:
    run = walked(make_roof())
    with pytest.raises(ValueError, match="do not lead"):
        at_end(half_done(), run, at(24))
