"""Loads and inspections: proposed from the takeoff, agreed, moved; who may, and who sees them."""

from datetime import UTC, datetime, timedelta

import pytest

from jobs.actions import (
    LoadWindow,
    LostUpdate,
    book_inspection,
    propose_loads,
    set_areas,
    set_inspection_state,
    set_load_placement,
    set_load_state,
    set_load_windows,
)
from jobs.delivery_window import Place, place_for
from jobs.models import Inspection, InspectionState, Load, LoadKind, LoadState, Placement, SupplierKind
from jobs.queries import inspections_for, load, loads_between, loads_of, roof_then
from jobs.queries import job as visible_job
from roofops.record.access import Access, Forbidden, NotFound, Role
from roofops.record.models import LogEntry
from tests.factories.access import access_to, outsider
from tests.factories.jobs import JobFactory, LoadFactory, SupplierFactory, UnmeasuredJobFactory

pytestmark = pytest.mark.django_db
NOW = datetime(2026, 10, 13, 14, 20, tzinfo=UTC)
SLOT = NOW + timedelta(days=1)


def test_loads_of_a_job_follow_from_its_takeoff() -> None:
    job = JobFactory()
    supplier = SupplierFactory(yard=job.yard)
    hauler = SupplierFactory(yard=job.yard, kind=SupplierKind.DUMPSTERS)
    loads = propose_loads(access_to(job.yard), job, NOW)
    assert [row.kind for row in loads] == [LoadKind.MATERIALS, LoadKind.DUMPSTER_DROP, LoadKind.FINAL_HAUL]
    materials, drop, haul = loads
    assert {line["item"]: line["count"] for line in materials.contents}["laminate shingles"] == 47
    # 15.67 sq of laminate at 250 lb, and everything else of the roof.
    assert 4000 < materials.weight_lb < 5500
    assert (materials.placement, materials.supplier) == (Placement.ROOF, supplier)
    assert (drop.container_yd3, drop.needed_for, drop.supplier) == (15, "tear_off", hauler)
    # 14.087 sq x 300 lb.
    assert haul.weight_lb == 4226


def test_proposing_again_adds_nothing_and_leaves_what_was_agreed() -> None:
    job = JobFactory(layers=3)
    access = access_to(job.yard)
    first = propose_loads(access, job, NOW)
    assert [row.kind for row in first].count(LoadKind.DUMPSTER_SWAP) == 1
    set_load_state(access, first[0].pk, LoadState.CONFIRMED, NOW, slot_start=SLOT)
    job.layers = 1
    job.save()
    again = propose_loads(access, job, NOW)
    assert [row.pk for row in again] == [first[0].pk, first[1].pk, first[3].pk]
    assert Load.objects.filter(job=job).count() == 3
    assert Load.objects.get(pk=first[0].pk).slot_start == SLOT


def test_a_house_that_takes_no_roof_load_gets_its_material_on_the_ground() -> None:
    job = JobFactory(roof_drop_allowed=False)
    assert propose_loads(access_to(job.yard), job, NOW)[0].placement == Placement.GROUND


def test_an_unmeasured_job_has_no_loads_to_propose() -> None:
    job = UnmeasuredJobFactory()
    with pytest.raises(ValueError, match="no roof sections yet"):
        propose_loads(access_to(job.yard), job, NOW)


def test_a_confirmed_load_needs_its_time() -> None:
    row = LoadFactory()
    access = access_to(row.job.yard)
    with pytest.raises(ValueError, match="needs the time"):
        set_load_state(access, row.pk, LoadState.CONFIRMED, NOW)
    with pytest.raises(ValueError, match="slot needs a time zone"):
        set_load_state(access, row.pk, LoadState.CONFIRMED, NOW, slot_start=datetime(2026, 10, 14))  # noqa: DTZ001
    with pytest.raises(ValueError, match="between 5 and 480"):
        set_load_state(access, row.pk, LoadState.ASKED, NOW, slot_minutes=1)
    saved = set_load_state(access, row.pk, LoadState.CONFIRMED, NOW, slot_start=SLOT, note="by phone")
    assert (saved.state, saved.slot_start, saved.note, saved.revision) == (LoadState.CONFIRMED, SLOT, "by phone", 2)
    entry = LogEntry.objects.get(verb="load_state")
    assert (entry.data["before"], entry.data["after"]) == ("planned", "confirmed")


def test_two_dispatchers_cannot_overwrite_each_other() -> None:
    row = LoadFactory()
    access = access_to(row.job.yard)
    set_load_state(access, row.pk, LoadState.ASKED, NOW, revision=1)
    with pytest.raises(LostUpdate):
        set_load_state(access, row.pk, LoadState.CANCELLED, NOW, revision=1)
    row.refresh_from_db()
    assert row.state == LoadState.ASKED


def test_who_may_agree_on_loads_and_who_sees_them() -> None:
    row = LoadFactory()
    set_load_state(access_to(row.job.yard, Role.DISPATCHER), row.pk, LoadState.ASKED, NOW)
    with pytest.raises(Forbidden):
        set_load_state(access_to(row.job.yard, Role.CREW_LEAD), row.pk, LoadState.CAME, NOW)
    with pytest.raises(NotFound):
        set_load_state(outsider(), row.pk, LoadState.CAME, NOW)
    with pytest.raises(NotFound):
        load(outsider(), row.pk)
    assert not loads_of(outsider(), [row.job_id]).exists()


def test_loads_of_a_day_are_those_with_a_slot_or_a_need_in_it() -> None:
    job = JobFactory()
    by_slot = LoadFactory(job=job, slot_start=SLOT, need_by=SLOT + timedelta(days=3))
    by_need = LoadFactory(job=job, need_by=SLOT + timedelta(hours=1))
    LoadFactory(job=job, need_by=SLOT + timedelta(days=2))
    LoadFactory(need_by=SLOT, job__yard__name="Easterly yard")
    found = loads_between(access_to(job.yard), SLOT, SLOT + timedelta(hours=8))
    assert set(found) == {by_slot, by_need}
    assert loads_between(Access.system(), SLOT, SLOT + timedelta(hours=8)).count() == 3


def test_a_plan_sets_windows_and_says_how_many_changed() -> None:
    row = LoadFactory()
    wanted = LoadWindow(row.pk, SLOT - timedelta(days=1), SLOT, Placement.ROOF)
    assert set_load_windows(Access.system(), [wanted]) == 1
    assert set_load_windows(Access.system(), [wanted]) == 0
    row.refresh_from_db()
    assert (row.need_by, row.placement) == (SLOT, Placement.ROOF)


def test_an_inspection_is_booked_once_and_then_moved() -> None:
    job = JobFactory()
    access = access_to(job.yard)
    section = job.sections.first()
    first = book_inspection(access, job.pk, "deck", SLOT, SLOT + timedelta(hours=2), NOW, section_id=section.pk)
    moved = book_inspection(
        access, job.pk, "deck", SLOT + timedelta(hours=3), SLOT + timedelta(hours=5), NOW, section_id=section.pk
    )
    assert moved.pk == first.pk
    assert inspections_for(access, job_ids=[job.pk]).get().window_start == SLOT + timedelta(hours=3)
    set_inspection_state(access_to(job.yard, Role.CREW_LEAD), moved.pk, InspectionState.FAILED, NOW, note="nails")
    again = book_inspection(access, job.pk, "deck", SLOT, SLOT + timedelta(hours=1), NOW, section_id=section.pk)
    assert again.pk != first.pk
    assert Inspection.objects.count() == 2


def test_an_inspection_that_cannot_be_is_refused() -> None:
    job, other = JobFactory(), JobFactory()
    access = access_to(job.yard)
    with pytest.raises(ValueError, match="ends before it starts"):
        book_inspection(access, job.pk, "deck", SLOT, SLOT, NOW)
    with pytest.raises(NotFound):
        book_inspection(
            access, job.pk, "deck", SLOT, SLOT + timedelta(hours=1), NOW, section_id=other.sections.first().pk
        )
    with pytest.raises(NotFound):
        book_inspection(outsider(), job.pk, "deck", SLOT, SLOT + timedelta(hours=1), NOW)
    with pytest.raises(Forbidden):
        lead = access_to(job.yard, Role.CREW_LEAD)
        book_inspection(lead, job.pk, "deck", SLOT, SLOT + timedelta(hours=1), NOW)


def test_a_load_is_sent_to_the_ground_once_and_only_by_the_office() -> None:
    row = LoadFactory(placement=Placement.ROOF, slot_start=SLOT)
    access = access_to(row.job.yard)
    saved = set_load_placement(access, row.pk, Placement.GROUND, NOW, revision=1)
    assert (saved.placement, saved.slot_start, saved.revision) == (Placement.GROUND, SLOT, 2)
    with pytest.raises(LostUpdate):
        set_load_placement(access, row.pk, Placement.ROOF, NOW, revision=1)
    with pytest.raises(ValueError):
        set_load_placement(access, row.pk, "garden", NOW)
    with pytest.raises(Forbidden):
        set_load_placement(access_to(row.job.yard, Role.CREW_LEAD), row.pk, Placement.GROUND, NOW)


def test_the_roof_as_it_is_now_says_where_a_load_may_lie() -> None:
    job = JobFactory()
    access = access_to(job.yard)
    front, back = job.sections.all()
    assert place_for(roof_then(visible_job(access, job.pk), {})).place is Place.ROOF
    for section in (front, back):
        set_areas(section, bare_squares=0, dried_in_squares=section.squares, shingled_squares=0)
    assert place_for(roof_then(visible_job(access, job.pk), {})).place is Place.ROOF
    set_areas(front, bare_squares=0, dried_in_squares=5, shingled_squares=front.squares - 5)
    assert place_for(roof_then(visible_job(access, job.pk), {front.pk: 2.0})).code == "fresh_shingles"
    set_areas(front, bare_squares=1, dried_in_squares=0, shingled_squares=0)
    assert place_for(roof_then(visible_job(access, job.pk), {})).code == "bare_deck"
    job.roof_drop_allowed = False
    job.save()
    assert place_for(roof_then(visible_job(access, job.pk), {})).code == "not_allowed"
