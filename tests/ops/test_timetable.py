"""What the timetable names exists, and a stopped worker finds no backlog of ticks."""

import pytest

from roofops.celery import app
from roofops.record.tasks import SWEEP_EVERY

ENTRIES = sorted(app.conf.beat_schedule)


@pytest.mark.parametrize("name", ENTRIES)
def test_every_entry_names_a_task_that_is_there(name: str) -> None:
    app.loader.import_default_modules()
    assert app.conf.beat_schedule[name]["task"] in app.tasks


@pytest.mark.parametrize("name", ENTRIES)
def test_every_tick_is_an_interval_and_expires_before_the_next(name: str) -> None:
    entry = app.conf.beat_schedule[name]
    assert isinstance(entry["schedule"], float)
    assert 0 < entry["options"]["expires"] <= entry["schedule"]


def test_the_sweeps_slot_is_as_long_as_its_interval() -> None:
    assert app.conf.beat_schedule["sweep"]["schedule"] == SWEEP_EVERY.total_seconds()


def test_the_worker_settings_that_keep_work_safe_are_in_force() -> None:
    assert app.conf.task_acks_late
    assert app.conf.task_reject_on_worker_lost
    assert app.conf.task_ignore_result
    assert app.conf.result_backend is None
    assert app.conf.worker_prefetch_multiplier == 1
    assert not app.conf.worker_enable_remote_control
    assert app.conf.timezone == "UTC"
