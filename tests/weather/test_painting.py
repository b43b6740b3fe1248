"""Stretches of time become hours without losing or inventing anything."""

import math
from datetime import timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.weather.tables import START
from weather.parsing.painting import HOUR, Entry, paint

MINUTE = timedelta(minutes=1)


def entry(first_h: float, last_h: float, value: float) -> Entry:
    return Entry(START + first_h * HOUR, START + last_h * HOUR, value)


def test_a_total_is_spread_evenly_over_its_hours() -> None:
    assert paint([entry(0, 6, 3.0)], START, 6, "sum").values.tolist() == pytest.approx([0.5] * 6)


def test_a_running_total_is_clipped_pro_rata() -> None:
    painted = paint([entry(-4, 2, 6.0)], START, 3, "sum").values
    assert painted[:2].tolist() == [1.0, 1.0]
    assert math.isnan(painted[2])


def test_totals_of_half_hours_add_up_in_their_hour() -> None:
    assert paint([entry(0, 0.5, 1.0), entry(0.5, 1, 2.0)], START, 1, "sum").values.tolist() == pytest.approx([3.0])


@pytest.mark.parametrize(("reduce", "expected"), [("max", 8.0), ("mean", 5.0), ("first", 2.0)])
def test_parts_of_an_hour_make_one_value(reduce: str, expected: float) -> None:
    parts = [entry(0, 0.5, 2.0), entry(0.5, 1, 8.0)]
    assert paint(parts, START, 1, reduce).values.tolist() == pytest.approx([expected])  # type: ignore[arg-type]


def test_half_an_hour_that_is_not_known_makes_the_hour_unknown() -> None:
    assert np.isnan(paint([entry(0, 0.5, 2.0)], START, 1, "max").values).all()
    assert np.isnan(paint([entry(0, 0.5, 2.0), entry(0.5, 1, math.nan)], START, 1, "max").values).all()


def test_a_gap_is_unknown_and_marked() -> None:
    painted = paint([entry(0, 2, 1.0), entry(3, 5, 1.0)], START, 6, "max")
    assert np.flatnonzero(np.isnan(painted.values)).tolist() == [2, 5]
    assert np.flatnonzero(painted.gap).tolist() == [2]
    assert np.flatnonzero(painted.after).tolist() == [5]


def test_of_two_entries_that_overlap_the_later_in_the_document_wins() -> None:
    painted = paint([entry(0, 4, 1.0), entry(2, 3, 9.0)], START, 4, "max")
    assert painted.values.tolist() == [1, 1, 9, 1]
    assert np.flatnonzero(painted.overlap).tolist() == [2]


def test_unsorted_entries_find_their_hours() -> None:
    painted = paint([entry(2, 3, 3.0), entry(0, 1, 1.0), entry(1, 2, 2.0)], START, 3, "max")
    assert painted.values.tolist() == [1, 2, 3]
    assert not painted.overlap.any()


@given(
    st.lists(st.tuples(st.integers(1, 900), st.floats(0, 500)), min_size=1, max_size=12),
    st.sampled_from([MINUTE, HOUR]),
)
def test_spreading_conserves_the_total(pieces: list[tuple[int, float]], unit: timedelta) -> None:
    entries, at = [], START
    for length, total in pieces:
        entries.append(Entry(at, at + length * unit, total))
        at += length * unit
    whole_hours = int((at - START) // HOUR)
    if at - START != whole_hours * HOUR:  # fill the last hour, so that it is covered in full
        entries.append(Entry(at, START + (whole_hours + 1) * HOUR, 0.0))
        whole_hours += 1
    painted = paint(entries, START, whole_hours, "sum").values
    assert painted.sum() == pytest.approx(sum(total for _, total in pieces))
    assert (painted >= 0).all()


@given(st.integers(1, 40), st.integers(0, 39), st.floats(0, 100))
def test_what_is_clipped_is_what_lies_in_the_past(length: int, past: int, total: float) -> None:
    painted = paint([entry(-past, length - past, total)], START, 60, "sum").values
    assert np.nansum(painted) == pytest.approx(total * max(length - past, 0) / length)
