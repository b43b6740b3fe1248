"""Reports from the roof: kept always, counted once, never lost, and the verdict follows."""

import uuid
from datetime import timedelta

import pytest

from crews import actions
from crews.models import Decision, EntryKind, ProgressEntry
from crews.progress import NewEntry, Receipt
from crews.refusals import Refused
from jobs.models import PhaseWork, Section
from roofops.record.access import Access, NotFound, Role
from tests.factories.crews import SmallYard, assign, crew, local, person, small_yard
from tests.factories.jobs import ready_job

pytestmark = pytest.mark.django_db
SYSTEM = Access.system()


def front(world: SmallYard) -> Section:
    return world.job.sections.order_by("position")[0]


def entry(world: SmallYard, kind: str, after: float | None = None, **values: object) -> NewEntry:
    section = values.pop("section", front(world).pk)
    return NewEntry(
        client_uuid=values.pop("client_uuid", uuid.uuid4()),  # type: ignore[arg-type]
        job_id=world.job.pk,
        kind=kind,
        at=values.pop("at", local(9)),  # type: ignore[arg-type]
        section_id=section,  # type: ignore[arg-type]
        done_after=after,
        **values,  # type: ignore[arg-type]
    )


def said(world: SmallYard, kind: str, after: float | None = None, hour: float = 9, **values: object) -> Receipt:
    return actions.report(world.lead, entry(world, kind, after, at=local(hour), **values), local(hour))


def areas(world: SmallYard) -> tuple[float, float, float, float]:
    s = front(world)
    return s.old_squares, s.bare_squares, s.dried_in_squares, s.shingled_squares


def test_squares_torn_off_turn_old_roof_into_bare_deck() -> None:
    world = small_yard()
    squares = front(world).squares
    receipt = said(world, "torn_off", 3.0)
    assert receipt.total == 3.0
    assert areas(world) == pytest.approx((squares - 3.0, 3.0, 0.0, 0.0))


def test_the_areas_always_sum_to_the_slope_whatever_is_reported() -> None:
    world = small_yard()
    squares = front(world).squares
    for kind, after in (("shingled", 2.0), ("torn_off", 99.0), ("dried_in", 4.0), ("torn_off", 1.0)):
        said(world, kind, after)
        assert sum(areas(world)) == pytest.approx(squares)
        assert min(areas(world)) >= 0


def test_the_same_report_twice_counts_once() -> None:
    world = small_yard()
    one = entry(world, "torn_off", 3.0)
    first = actions.report(world.lead, one, local(9))
    again = actions.report(world.lead, one, local(9.5))
    assert again.repeated
    assert again.entry_id == first.entry_id
    assert ProgressEntry.objects.filter(client_uuid=one.client_uuid).count() == 1
    assert front(world).bare_squares == pytest.approx(3.0)


def test_an_id_that_belongs_to_another_report_is_refused() -> None:
    world = small_yard()
    one = entry(world, "torn_off", 3.0)
    actions.report(world.lead, one, local(9))
    with pytest.raises(Refused, match="another one"):
        actions.report(world.lead, entry(world, "dried_in", 3.0, client_uuid=one.client_uuid), local(9))


def test_a_late_smaller_total_changes_nothing() -> None:
    world = small_yard()
    said(world, "torn_off", 4.0, hour=10)
    said(world, "torn_off", 2.0, hour=9)
    assert front(world).bare_squares == pytest.approx(4.0)


def test_a_correction_sets_the_total_and_later_reports_raise_it_again() -> None:
    world = small_yard()
    said(world, "torn_off", 5.0, hour=9)
    said(world, "torn_off", 3.0, hour=10, correction=True)
    assert front(world).bare_squares == pytest.approx(3.0)
    said(world, "torn_off", 3.5, hour=11)
    assert front(world).bare_squares == pytest.approx(3.5)
    assert ProgressEntry.objects.filter(section=front(world), kind="torn_off").count() == 3


def test_more_than_measured_is_kept_and_marked_never_refused() -> None:
    world = small_yard()
    receipt = said(world, "torn_off", front(world).squares + 0.5)
    assert receipt.more_than_measured
    row = ProgressEntry.objects.get(pk=receipt.entry_id)
    assert row.done_after == pytest.approx(front(world).squares + 0.5)
    assert front(world).old_squares == pytest.approx(0)


def test_two_phones_that_report_from_the_same_state_are_flagged() -> None:
    world = small_yard()
    assert not said(world, "torn_off", 2.0, done_before=0.0).differs
    assert said(world, "torn_off", 2.5, done_before=0.0).differs


def test_phase_hours_follow_the_squares() -> None:
    world = small_yard()
    section = front(world)
    said(world, "torn_off", section.squares)
    said(world, "dried_in", section.squares / 2)
    rows = {row.phase: row for row in PhaseWork.objects.filter(section=section)}
    assert rows["tear_off"].done_labor_hours == pytest.approx(rows["tear_off"].planned_labor_hours)
    assert rows["underlayment"].done_labor_hours == pytest.approx(rows["underlayment"].planned_labor_hours / 2)
    assert rows["field"].done_labor_hours == 0


def test_a_slope_that_was_entered_half_done_keeps_that_as_its_baseline() -> None:
    world = small_yard()
    section = front(world)
    Section.objects.filter(pk=section.pk).update(
        old_squares=section.squares - 3, dried_in_squares=2, shingled_squares=1
    )
    said(world, "torn_off", 4.0)
    assert areas(world) == pytest.approx((section.squares - 4, 1.0, 2.0, 1.0))


def test_an_open_ridge_is_reported_in_feet() -> None:
    world = small_yard()
    ridge = world.job.edges.get(kind="ridge")
    said(world, "ridge_opened", 30.0, section=None, edge_id=ridge.pk)
    said(world, "ridge_finished", 12.0, section=None, edge_id=ridge.pk)
    ridge.refresh_from_db()
    assert (ridge.open_ft, ridge.finished_ft) == (18.0, 12.0)


def test_progress_changes_todays_verdict() -> None:
    world = small_yard(wet=range(14, 19))
    actions.decide(SYSTEM, world.yard.pk, local(6))
    before = Decision.objects.get(job=world.job, in_force=True)
    said(world, "people_here", 3, hour=7.2, section=None)
    after = Decision.objects.get(job=world.job, in_force=True)
    assert after.version > before.version
    assert after.in_all_today_squares < before.in_all_today_squares


def test_rain_that_a_crew_stands_in_stops_opening_on_the_roofs_around_it() -> None:
    world = small_yard()
    near = ready_job(yard=world.yard, lat=world.job.lat + 0.02, lon=world.job.lon, status="at_work")
    other = crew(world.yard, "Adeyemi")
    assign(world.plan, near, other)
    from tests.factories.crews import sky_over

    sky_over(near, issued_at=local(5))
    actions.decide(SYSTEM, world.yard.pk, local(6))
    said(world, "rain_here", hour=9, section=None)
    now = Decision.objects.get(job=near, in_force=True)
    assert now.version == 2
    assert all(band["kind"] != "tear_off" for band in now.bands if band["start"] == local(9).isoformat())


def test_a_report_from_the_future_is_dated_when_it_came() -> None:
    world = small_yard()
    receipt = actions.report(world.lead, entry(world, "torn_off", 1.0, at=local(15)), local(9))
    assert ProgressEntry.objects.get(pk=receipt.entry_id).at == local(9)


def test_a_lead_reports_only_on_the_own_crews_roofs() -> None:
    world = small_yard()
    stranger = person(world.yard, "otis", Role.CREW_LEAD, crew(world.yard, "Adeyemi"))
    with pytest.raises(NotFound):
        actions.report(stranger, entry(world, "torn_off", 1.0), local(9))
    with pytest.raises(NotFound):
        actions.report(Access.nobody(), entry(world, "torn_off", 1.0), local(9))
    assert not ProgressEntry.objects.exists()


def test_a_slope_of_another_roof_is_refused() -> None:
    world = small_yard()
    other = ready_job(yard=world.yard)
    with pytest.raises(NotFound):
        actions.report(world.lead, entry(world, "torn_off", 1.0, section=other.sections.first().pk), local(9))


def test_closed_for_the_night_keeps_who_said_so() -> None:
    world = small_yard()
    receipt = said(world, "closed", hour=17, section=None, by_name="Lena Ruiz")
    row = ProgressEntry.objects.get(pk=receipt.entry_id)
    assert (row.kind, row.by_name) == (EntryKind.CLOSED, "Lena Ruiz")
    assert row.at == local(17)
    assert row.received_at - row.at == timedelta(0)
