"""What a person sees of jobs, in how many queries."""

from typing import Any

import pytest

from jobs.queries import job, job_by_number, job_list, jobs_for, measured_roof, yard, yards_for
from jobs.roof_shape import ell
from roofops.record.access import Access, NotFound, Role
from tests.factories.access import access_to, outsider
from tests.factories.jobs import JobFactory, UnmeasuredJobFactory, YardFactory, ready_job

pytestmark = pytest.mark.django_db


def test_a_person_sees_the_jobs_of_their_yard_only() -> None:
    here, there = JobFactory(), JobFactory(yard__name="Easterly yard")
    access = access_to(here.yard, Role.CREW_LEAD)
    assert list(jobs_for(access)) == [here]
    assert set(jobs_for(Access.system())) == {here, there}
    assert not jobs_for(Access.nobody()).exists()
    assert not jobs_for(access, yard_id=there.yard_id).exists()
    assert job(access, here.pk) == here
    with pytest.raises(NotFound):
        job(access, there.pk)
    with pytest.raises(NotFound):
        job_by_number(access, there.yard_id, there.number)
    assert job_by_number(access, here.yard_id, here.number) == here


def test_a_yard_outside_is_not_there() -> None:
    row = YardFactory()
    assert list(yards_for(access_to(row))) == [row]
    with pytest.raises(NotFound):
        yard(outsider(), row.pk)


def test_jobs_are_found_by_status_and_by_any_word() -> None:
    work = JobFactory(short_name="Holt", status="at_work", street="18 Alder Court")
    done = JobFactory(yard=work.yard, short_name="Quill", status="finished", street="3 Larkmead Lane")
    access = access_to(work.yard)
    assert list(jobs_for(access, statuses=["at_work"])) == [work]
    assert list(jobs_for(access, text="alder")) == [work]
    assert list(jobs_for(access, text="larkmead quill")) == [done]
    assert not jobs_for(access, text="alder quill").exists()


def test_the_list_shows_squares_pitches_and_what_is_missing() -> None:
    row = ready_job(shape=ell(40, 28, 20, 16, 6))
    UnmeasuredJobFactory(yard=row.yard)
    first, second = job_list(access_to(row.yard))
    assert first.squares == pytest.approx(18.02, abs=0.005)
    assert (first.n_sections, first.min_pitch_in_12, first.missing) == (4, 6, ())
    assert second.squares == 0
    assert (second.min_pitch_in_12, second.missing[0].kind) == (None, "measurement")


@pytest.mark.parametrize("n", [1, 6])
def test_the_list_and_the_roofs_take_the_same_queries_for_one_job_and_for_many(
    n: int, django_assert_num_queries: Any
) -> None:
    rows = [ready_job() for _ in range(n)]
    access = access_to(rows[0].yard)
    # Jobs, sections, edges, details, checklists.
    with django_assert_num_queries(5):
        assert len(job_list(access)) == n
    with django_assert_num_queries(5):
        assert sum(measured_roof(row).squares for row in jobs_for(access)) == pytest.approx(14.0872 * n, abs=0.001)
