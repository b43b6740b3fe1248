"""The job form: errors in the kernel's words at their field, input kept, the same rules as imports and actions."""

from datetime import UTC, date, datetime
from typing import Any

import pytest

from jobs.actions import create_job, edit_job
from jobs.forms import JobEntry
from jobs.models import Yard
from jobs.queries import job as visible_job
from jobs.roof_measure import EdgeKind
from roofops.record.access import Role
from tests.factories.access import access_to
from tests.factories.jobs import ContactFactory, JobFactory, YardFactory

pytestmark = pytest.mark.django_db
NOW = datetime(2026, 10, 13, 14, 20, tzinfo=UTC)


@pytest.fixture
def yard() -> Yard:
    return YardFactory()


def typed(yard: Yard, **changes: Any) -> dict[str, Any]:
    """What a browser sends for a gable of 40 x 28 ft at 6/12."""
    values: dict[str, Any] = {
        "job-yard": yard.pk,
        "job-number": "2041",
        "job-short_name": "Holt",
        "job-kind": "re_roof",
        "job-street": "18 Alder Court",
        "job-lat": "44.96",
        "job-lon": "-93.10",
        "job-storeys": "1",
        "job-layers": "1",
        "job-cut_up": "simple",
        "job-code_edition": "2018",
        "job-ice_barrier_required": "on",
        "job-wall_thickness_in": "6.5",
        "job-eave_overhang_in": "12",
        "job-deck_sheets_allowance": "2",
        "job-underlayment": "synthetic",
        "job-priority": "2",
        "job-contract_value_usd": "18500",
        "job-roof_drop_allowed": "on",
        "job-roof_from": "shape",
        "shape-shape": "gable",
        "shape-length_ft": "40",
        "shape-width_ft": "28",
        "shape-pitch_in_12": "6",
        "shape-rake_overhang_in": "12",
        "shape-front_deg": "180",
        "shape-vented_ridge": "on",
        **formset("section", []),
        **formset("edge", []),
    }
    return {**values, **changes}


def formset(prefix: str, rows: list[dict[str, Any]]) -> dict[str, Any]:
    counts = {f"{prefix}-TOTAL_FORMS": len(rows), f"{prefix}-INITIAL_FORMS": 0}
    return counts | {f"{prefix}-{i}-{name}": value for i, row in enumerate(rows) for name, value in row.items()}


def test_a_simple_shape_becomes_a_job(yard: Yard) -> None:
    access = access_to(yard, Role.DISPATCHER)
    changes = {
        "job-blocked_dates": "2026-10-20 2026-10-21",
        "details-pipe_boots": "2",
        "job-contact_name": "Imogen Fairweather",
    }
    entry = JobEntry(access, typed(yard, **changes))
    assert entry.is_valid(), (entry.job.errors, entry.shape.errors)
    assert entry.job_data is not None
    saved = create_job(access, yard, entry.job_data, NOW)
    assert sum(s.squares for s in saved.sections.all()) == pytest.approx(14.087, abs=0.001)
    assert saved.blocked_dates == ["2026-10-20", "2026-10-21"]
    assert saved.details.get().count == 2
    assert saved.measured_by == "tape"
    assert saved.contact.name == "Imogen Fairweather"


def test_the_jobs_own_overhang_makes_the_roof(yard: Yard) -> None:
    entry = JobEntry(access_to(yard), typed(yard, **{"job-eave_overhang_in": "24"}))
    assert entry.is_valid()
    assert entry.job_data is not None
    assert sum(s.squares for s in entry.job_data.roof.sections) == pytest.approx(42 * 32 * 1.11803 / 100, abs=0.001)


@pytest.mark.parametrize("shape", ["hip", "shed", "ell", "tee"])
def test_every_shape_can_be_entered(yard: Yard, shape: str) -> None:
    wing = {"shape-wing_width_ft": "20", "shape-wing_projection_ft": "16", "shape-wing_name": "garage"}
    entry = JobEntry(access_to(yard), typed(yard, **{"shape-shape": shape, **wing}))
    assert entry.is_valid(), entry.shape.errors
    assert entry.job_data is not None
    kinds = {edge.kind for edge in entry.job_data.roof.edges}
    assert (EdgeKind.VALLEY in kinds) == (shape in ("ell", "tee"))


QUANTITIES = [
    {"name": "front slope", "pitch_in_12": "6", "squares": "7.04", "eave_ft": "42"},
    {"name": "back slope", "pitch_in_12": "6", "eave_ft": "42", "run_plan_ft": "15"},
]
EDGES = [
    {"kind": "ridge", "length_ft": "42", "section": "front slope", "other_section": "back slope", "vented": "on"},
    {"kind": "eave", "length_ft": "42", "section": "front slope"},
]


def quantities(yard: Yard, sections: list[dict[str, Any]], edges: list[dict[str, Any]]) -> dict[str, Any]:
    rows = {**formset("section", sections), **formset("edge", edges)}
    return typed(yard, **{"job-roof_from": "quantities", **rows})


def test_a_measurement_sheet_becomes_a_job(yard: Yard) -> None:
    entry = JobEntry(access_to(yard), quantities(yard, QUANTITIES, EDGES))
    assert entry.is_valid(), (entry.sections.errors, entry.edges.errors, entry.job.errors)
    assert entry.job_data is not None
    front, back = entry.job_data.roof.sections
    assert (front.squares, front.run_ft) == (7.04, pytest.approx(704 / 42))
    assert back.squares == pytest.approx(42 * 15 * 1.118034 / 100, abs=1e-5)
    assert entry.job_data.measured_by == "measurement sheet"


@pytest.mark.parametrize(
    ("changes", "form", "field", "reason"),
    [
        ({"shape-pitch_in_12": "40"}, "shape", "pitch_in_12", "A pitch of 40/12 is not a roof"),
        ({"shape-width_ft": "-28"}, "shape", "width_ft", "house width must be longer than 0 ft, but is -28 ft"),
        ({"job-time_zone": "Mars/Olympus"}, "job", "time_zone", "“Mars/Olympus” is not a time zone name"),
        ({"job-lat": "120"}, "job", "lat", "less than or equal to 90"),
        ({"job-blocked_dates": "tomorrow"}, "job", "blocked_dates", "“tomorrow” is not a date"),
        ({"job-promised_from": "2026-10-20", "job-promised_by": "2026-10-01"}, "job", "promised_by", "ends before"),
        ({"job-contact_phone": "555-0142"}, "job", "contact_name", "homeowner's name"),
        ({"job-allowed_start": "17:00", "job-allowed_end": "08:00"}, "job", "__all__", "end before they begin"),
        ({"shape-shape": "ell"}, "shape", "wing_width_ft", "needs this length of its wing"),
        (
            {"shape-shape": "ell", "shape-wing_width_ft": "30", "shape-wing_projection_ft": "9"},
            "shape",
            "__all__",
            "take the wing as the main house",
        ),
        ({"details-pipe_boots": "-1"}, "details", "pipe_boots", "greater than or equal to 0"),
    ],
)
def test_what_is_wrong_stands_at_its_field_and_what_was_typed_is_kept(
    yard: Yard, changes: dict[str, Any], form: str, field: str, reason: str
) -> None:
    entry = JobEntry(access_to(yard), typed(yard, **changes))
    assert not entry.is_valid()
    assert entry.job_data is None
    assert reason in " ".join(getattr(entry, form).errors[field])
    assert entry.n_errors >= 1
    assert entry.job["short_name"].value() == "Holt"
    assert entry.shape["length_ft"].value() == "40"
    for name, value in changes.items():
        prefix, _, key = name.partition("-")
        assert getattr(entry, prefix)[key].value() == value


@pytest.mark.parametrize(
    ("sections", "edges", "reason"),
    [
        ([], [], "A job needs at least one roof section"),
        ([{**QUANTITIES[0], "pitch_in_12": "40"}], [], "A pitch of 40/12 is not a roof"),
        ([{**QUANTITIES[0], "squares": "-7"}], [], "The area must not be negative"),
        ([{"name": "front slope", "pitch_in_12": "6"}], [], "its squares, or its eave and its run"),
        ([QUANTITIES[0], QUANTITIES[0]], [], "Two slopes are named “front slope”"),
        (QUANTITIES, [{**EDGES[0], "length_ft": "-42"}], "The edge must be longer than 0 ft"),
        (QUANTITIES, [{**EDGES[1], "vented": "on"}], "Only a ridge can have a vent"),
        (QUANTITIES, [{**EDGES[1], "section": "garage"}], "lies at “garage”, but no section has this name"),
    ],
)
def test_a_wrong_measurement_sheet_is_refused_and_kept(
    yard: Yard, sections: list[dict[str, Any]], edges: list[dict[str, Any]], reason: str
) -> None:
    entry = JobEntry(access_to(yard), quantities(yard, sections, edges))
    assert not entry.is_valid()
    errors = f"{entry.sections.errors}{entry.sections.non_form_errors()}{entry.edges.errors}{entry.job.errors}"
    assert reason in errors
    assert entry.n_errors >= 1
    for i, row in enumerate(sections):
        assert entry.sections.forms[i]["name"].value() == row["name"]


def test_what_was_typed_on_the_form_that_was_not_chosen_is_kept_too(yard: Yard) -> None:
    entry = JobEntry(access_to(yard), quantities(yard, [], []))
    assert not entry.is_valid()
    assert entry.shape["length_ft"].value() == "40"
    assert not entry.shape.is_bound


def test_an_edit_shows_what_is_saved_and_may_leave_the_roof_as_it_is(yard: Yard) -> None:
    job = JobFactory(yard=yard, blocked_dates=["2026-10-20"], promised_by=date(2026, 10, 30))
    ContactFactory(job=job)
    access = access_to(yard)
    blank = JobEntry(access, saved=visible_job(access, job.pk))
    assert blank.job["short_name"].value() == job.short_name
    assert blank.job["contact_name"].value() == "Imogen Fairweather"
    assert blank.job["revision"].value() == 1
    assert "yard" not in blank.job.fields
    sent = typed(yard, **{"job-roof_from": "keep", "job-revision": "1", "job-short_name": "Abbey", "job-layers": "2"})
    entry = JobEntry(access, sent, saved=visible_job(access, job.pk))
    assert entry.is_valid(), entry.job.errors
    assert entry.job_data is not None
    before = [section.pk for section in job.sections.all()]
    saved = edit_job(access, job.pk, entry.job_data, NOW, revision=entry.job.cleaned_data["revision"])
    assert (saved.short_name, saved.layers, saved.revision) == ("Abbey", 2, 2)
    assert [section.pk for section in saved.sections.all()] == before


def test_a_new_job_cannot_keep_a_roof_it_does_not_have(yard: Yard) -> None:
    entry = JobEntry(access_to(yard), typed(yard, **{"job-roof_from": "keep"}))
    assert not entry.is_valid()
    assert "roof_from" in entry.job.errors


def test_an_actions_refusal_is_shown_with_everything_that_was_typed(yard: Yard) -> None:
    access = access_to(yard)
    entry = JobEntry(access, typed(yard))
    assert entry.is_valid()
    entry.refuse(ValueError("The yard has a job 2041 already."))
    assert "has a job 2041 already" in str(entry.job.non_field_errors())
    assert entry.job["street"].value() == "18 Alder Court"


def test_only_yards_of_the_office_can_be_chosen(yard: Yard) -> None:
    other = YardFactory(name="Easterly yard")
    access = access_to(yard)
    assert not JobEntry(access, typed(other)).is_valid()
    lead = access_to(yard, Role.CREW_LEAD)
    entry = JobEntry(lead, typed(yard))
    assert not entry.is_valid()
    assert "yard" in entry.job.errors
