"""Creating and editing jobs: roles, numbers, lost updates, roofs in work, the checklist."""

from dataclasses import replace
from datetime import UTC, date, datetime
from typing import Any

import pytest

from jobs.actions import (
    LostUpdate,
    NumberTaken,
    RoofInWork,
    add_done_hours,
    create_job,
    delete_contact,
    edit_job,
    set_areas,
    set_ready,
    set_ridge,
    set_status,
)
from jobs.job_data import ContactData, JobData
from jobs.models import Contact, Edge, Job, PhaseWork, ReadyItem, Yard
from jobs.queries import job as visible_job
from jobs.queries import job_data, measured_roof, ready
from jobs.roof_data import roof_data
from jobs.roof_shape import gable, hip
from roofops.record.access import Forbidden, NotFound, Role
from roofops.record.models import LogEntry
from tests.factories.access import access_to, outsider
from tests.factories.jobs import JobFactory, YardFactory

pytestmark = pytest.mark.django_db
NOW = datetime(2026, 10, 13, 14, 20, tzinfo=UTC)


@pytest.fixture
def yard() -> Yard:
    return YardFactory()


def data(**values: Any) -> JobData:
    defaults: dict[str, Any] = {
        "number": "2041",
        "short_name": "Holt",
        "street": "18 Alder Court",
        "lat": 44.96,
        "lon": -93.1,
        "roof": roof_data(gable(40, 28, 6)),
    }
    return JobData(**{**defaults, **values})


def test_a_new_job_has_its_roof_work_checklist_and_homeowner(yard: Yard) -> None:
    contact = ContactData("Imogen Fairweather", "555-0142")
    job = create_job(access_to(yard), yard, data(contact=contact, blocked_dates=(date(2026, 10, 20),)), NOW)
    assert job.created_at == NOW
    assert [section.name for section in job.sections.all()] == ["front slope", "back slope"]
    assert sum(s.old_squares for s in job.sections.all()) == pytest.approx(14.087, abs=0.001)
    ridge = job.edges.get(kind="ridge")
    assert ridge.vented
    assert {ridge.section.name, ridge.other_section.name} == {"front slope", "back slope"}
    # Five phases of two sections and the ridge of the job.
    assert job.phase_work.count() == 11
    assert job.phase_work.get(phase="ridge").planned_labor_hours == pytest.approx(42 * 0.089)
    assert Contact.objects.get(job=job).name == "Imogen Fairweather"
    assert job.blocked_dates == ["2026-10-20"]
    entry = LogEntry.objects.get(verb="job_created")
    assert "Fairweather" not in str(entry.data)


def test_a_new_job_is_not_ready_until_the_office_says_so(yard: Yard) -> None:
    access = access_to(yard)
    job = create_job(access, yard, data(ready={"permit": "done", "asbestos_test": "not_needed"}), NOW)
    assert {item.kind for item in ready(visible_job(access, job.pk))} == {
        "product_color",
        "payment",
        "homeowner_dates",
        "things_off_roof",
    }
    for kind in ("product_color", "payment", "homeowner_dates", "things_off_roof"):
        item = set_ready(access, job.pk, kind, "done", NOW)
        assert item.done_by == access.user
    assert ready(visible_job(access, job.pk)) == []
    set_ready(access, job.pk, "permit", "owed", NOW, note="card not on site")
    assert [(m.kind, m.note) for m in ready(visible_job(access, job.pk))] == [("permit", "card not on site")]
    assert ReadyItem.objects.get(job=job, kind="permit").done_at is None


def test_an_unknown_checklist_word_is_refused(yard: Yard) -> None:
    job = create_job(access_to(yard), yard, data(), NOW)
    with pytest.raises(ValueError, match="“maybe” says nothing"):
        set_ready(access_to(yard), job.pk, "permit", "maybe", NOW)
    with pytest.raises(ValueError):
        set_ready(access_to(yard), job.pk, "weather", "done", NOW)


@pytest.mark.parametrize(
    ("values", "reason"),
    [
        ({"time_zone": "Mars/Olympus"}, "“Mars/Olympus” is not a time zone name"),
        ({"lat": 120.0}, "swapped"),
        ({"number": " "}, "needs a job number"),
        ({"street": "x" * 121}, "longer than 120 letters"),
        ({"storeys": 9}, "number of storeys must lie between 1 and 4"),
        ({"layers": 0}, "number of layers"),
        ({"cut_up": "wild"}, "“wild” is not known as cut-up"),
        ({"underlayment": "paper"}, "“paper” is not known as underlayment"),
        ({"code_edition": "1999"}, "code edition"),
        ({"promised_from": date(2026, 5, 2), "promised_by": date(2026, 5, 1)}, "ends before it begins"),
        ({"ready": {"permit": "maybe"}}, "says nothing"),
    ],
)
def test_a_job_that_contradicts_itself_is_refused_before_it_is_saved(values: dict[str, Any], reason: str) -> None:
    with pytest.raises(ValueError, match=reason):
        data(**values)


def test_a_job_without_sections_a_steep_pitch_and_a_negative_length_are_refused() -> None:
    from jobs.roof_data import EdgeData, RoofData, SectionData
    from jobs.roof_measure import EdgeKind

    with pytest.raises(ValueError, match="at least one roof section"):
        RoofData(())
    with pytest.raises(ValueError, match="A pitch of 40/12 is not a roof"):
        SectionData("front slope", 40, 7)
    with pytest.raises(ValueError, match="longer than 0 ft"):
        EdgeData(EdgeKind.EAVE, -42)


def test_the_office_creates_jobs_a_crew_lead_does_not_and_an_outsider_sees_no_yard(yard: Yard) -> None:
    create_job(access_to(yard, Role.DISPATCHER), yard, data(), NOW)
    with pytest.raises(Forbidden):
        create_job(access_to(yard, Role.CREW_LEAD), yard, data(number="2042"), NOW)
    with pytest.raises(NotFound):
        create_job(outsider(), yard, data(number="2043"), NOW)
    assert Job.objects.count() == 1


def test_a_number_is_taken_once_per_yard(yard: Yard) -> None:
    create_job(access_to(yard), yard, data(), NOW)
    with pytest.raises(NumberTaken, match="has a job 2041 already"):
        create_job(access_to(yard), yard, data(), NOW)
    other = YardFactory(name="Easterly yard")
    assert create_job(access_to(other), other, data(), NOW).number == "2041"


def test_an_edit_on_an_old_revision_changes_nothing(yard: Yard) -> None:
    access = access_to(yard)
    job = create_job(access, yard, data(), NOW)
    edit_job(access, job.pk, data(short_name="Abbey"), NOW, revision=1)
    with pytest.raises(LostUpdate, match="Somebody else saved this job"):
        edit_job(access, job.pk, data(short_name="Quill"), NOW, revision=1)
    job.refresh_from_db()
    assert (job.short_name, job.revision) == ("Abbey", 2)


def test_an_edit_computes_the_work_anew_and_keeps_reported_hours(yard: Yard) -> None:
    access = access_to(yard)
    job = create_job(access, yard, data(), NOW)
    section = job.sections.first()
    assert section is not None
    add_done_hours(job.pk, section.pk, "tear_off", 4.5)
    before = PhaseWork.objects.get(section=section, phase="tear_off")
    edit_job(access, job.pk, data(layers=2), NOW, revision=1)
    after = PhaseWork.objects.get(section=section, phase="tear_off")
    assert after.pk == before.pk
    assert after.done_labor_hours == 4.5
    assert after.planned_labor_hours == pytest.approx(before.planned_labor_hours + 1.143 * section.squares)


def test_a_section_that_was_opened_can_neither_vanish_nor_shrink_below_its_work(yard: Yard) -> None:
    access = access_to(yard)
    job = create_job(access, yard, data(), NOW)
    set_areas(job.sections.get(name="front slope"), bare_squares=4.4, dried_in_squares=0, shingled_squares=0)
    with pytest.raises(RoofInWork, match="cannot be"):
        edit_job(access, job.pk, data(roof=roof_data(gable(20, 14, 6))), NOW, revision=1)
    with pytest.raises(RoofInWork, match="cannot be taken out"):
        edit_job(access, job.pk, data(roof=roof_data(gable(40, 28, 6, gable_faces_front=True))), NOW, revision=1)
    job.refresh_from_db()
    assert job.revision == 1
    edit_job(access, job.pk, data(roof=roof_data(hip(48, 30, 6))), NOW, revision=1)
    front = job.sections.get(name="front slope")
    assert front.bare_squares == pytest.approx(4.4)
    assert front.old_squares + front.bare_squares == pytest.approx(front.squares)


def test_a_ridge_in_work_keeps_its_progress_through_an_edit(yard: Yard) -> None:
    access = access_to(yard)
    job = create_job(access, yard, data(), NOW)
    ridge = set_ridge(job.edges.get(kind="ridge"), open_ft=8, finished_ft=20)
    edit_job(access, job.pk, data(roof=roof_data(gable(44, 28, 6))), NOW, revision=1)
    again = Edge.objects.get(pk=ridge.pk)
    assert (again.length_ft, again.open_ft, again.finished_ft) == (pytest.approx(46), 8, 20)
    with pytest.raises(RoofInWork, match="shorter than what is worked on"):
        edit_job(access, job.pk, data(roof=roof_data(gable(20, 28, 6))), NOW, revision=2)


def test_an_edit_that_leaves_the_roof_keeps_every_row_of_it(yard: Yard) -> None:
    access = access_to(yard)
    job = create_job(access, yard, data(), NOW)
    before = list(job.edges.values_list("pk", flat=True))
    edit_job(access, job.pk, data(short_name="Abbey", storeys=2), NOW, revision=1)
    assert list(job.edges.values_list("pk", flat=True)) == before
    edit_job(access, job.pk, data(roof=roof_data(gable(44, 28, 6))), NOW, revision=2)
    assert list(job.edges.values_list("pk", flat=True)) == before
    edit_job(access, job.pk, data(roof=roof_data(hip(44, 28, 6))), NOW, revision=3)
    assert job.edges.filter(kind="rake").count() == 0
    assert job.edges.filter(kind="hip").count() == 4


def test_areas_always_sum_to_the_section(yard: Yard) -> None:
    job = create_job(access_to(yard), yard, data(), NOW)
    section = job.sections.get(name="front slope")
    saved = set_areas(section, bare_squares=2, dried_in_squares=1, shingled_squares=3)
    assert saved.old_squares == pytest.approx(section.squares - 6)
    with pytest.raises(ValueError, match=r"measures 7\.04 squares; 9\.00 were given"):
        set_areas(section, bare_squares=9, dried_in_squares=0, shingled_squares=0)
    with pytest.raises(ValueError, match="must not be negative"):
        set_areas(section, bare_squares=-1, dried_in_squares=0, shingled_squares=0)
    with pytest.raises(ValueError, match="42 ft long"):
        set_ridge(job.edges.get(kind="ridge"), open_ft=40, finished_ft=3)


def test_what_is_saved_is_what_was_handed_in(yard: Yard) -> None:
    wanted = data(
        contact=ContactData("Imogen Fairweather"), roof=roof_data(hip(44, 30, 8)), promised_by=date(2026, 10, 30)
    )
    job = create_job(access_to(yard), yard, wanted, NOW)
    saved = job_data(visible_job(access_to(yard), job.pk))
    assert replace(saved, ready={}) == wanted


def test_a_saved_roof_is_measured_as_the_shape_it_came_from(yard: Yard) -> None:
    job = create_job(access_to(yard), yard, data(), NOW)
    roof = measured_roof(visible_job(access_to(yard), job.pk))
    assert roof.squares == pytest.approx(gable(40, 28, 6).squares)
    assert len(roof.edges) == 7


def test_a_job_nobody_measured_has_no_measured_roof() -> None:
    from tests.factories.jobs import UnmeasuredJobFactory

    job = UnmeasuredJobFactory()
    assert next(item.kind for item in ready(job)) == "measurement"
    with pytest.raises(ValueError, match="has no roof sections yet"):
        measured_roof(job)


def test_the_homeowner_can_be_deleted_and_the_log_does_not_know_the_name(yard: Yard) -> None:
    access = access_to(yard)
    job = create_job(access, yard, data(contact=ContactData("Imogen Fairweather")), NOW)
    with pytest.raises(Forbidden):
        delete_contact(access_to(yard, Role.DISPATCHER), job.pk, NOW)
    delete_contact(access, job.pk, NOW)
    assert not Contact.objects.exists()
    assert not any("Fairweather" in str(entry.data) for entry in LogEntry.objects.all())
    with pytest.raises(NotFound):
        delete_contact(access, job.pk, NOW)


def test_a_status_is_one_of_the_known() -> None:
    job = JobFactory()
    assert set_status(access_to(job.yard), job.pk, "at_work", NOW).status == "at_work"
    with pytest.raises(ValueError):
        set_status(access_to(job.yard), job.pk, "asleep", NOW)
    with pytest.raises(NotFound):
        set_status(outsider(), job.pk, "finished", NOW)


def test_a_correction_cannot_take_more_hours_than_were_reported() -> None:
    job = JobFactory()
    add_done_hours(job.pk, None, "ridge", 1.5)
    add_done_hours(job.pk, None, "ridge", -0.5)
    assert job.phase_work.get(phase="ridge").done_labor_hours == pytest.approx(1.0)
    with pytest.raises(ValueError, match="more labor-hours than were reported"):
        add_done_hours(job.pk, None, "ridge", -2)
    with pytest.raises(ValueError, match="no phase"):
        add_done_hours(job.pk, None, "gutters", 1)
