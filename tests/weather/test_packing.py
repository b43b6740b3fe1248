"""A table survives being stored."""

import math
import zlib

import numpy as np
import pytest

from tests.weather.tables import START, mild
from weather.hourly import COLUMNS, Hourly
from weather.packing import pack, unpack


def test_a_table_comes_back_as_it_was_unknown_hours_and_words_included() -> None:
    table = mild(n_hours=30, pop={3: math.nan, 4: 1 / 3}, wx={5: "thunderstorms"})
    members = np.array([[0.0, math.nan, *[1.5] * 28], [0.1] * 30])
    table = Hourly(**{**vars(table), "member_qpf_mm": members, "attribution": "invented"})
    back = unpack(pack(table))
    for name in COLUMNS:
        np.testing.assert_array_equal(getattr(back, name), getattr(table, name))
    assert back.member_qpf_mm is not None
    np.testing.assert_array_equal(back.member_qpf_mm, members)
    assert (back.start, back.issued_at, back.wx, back.flags) == (START, START, table.wx, table.flags)
    assert (back.source, back.attribution, back.pop_threshold_mm) == ("test", "invented", 0.254)


def test_equal_tables_have_equal_bytes_and_a_week_is_small() -> None:
    assert pack(mild(n_hours=180)) == pack(mild(n_hours=180))
    assert len(pack(mild(n_hours=180))) < 10_000


@pytest.mark.parametrize(
    ("table", "words"),
    [
        (b"", "damaged"),
        (b"abc", "damaged"),
        (zlib.compress(b"{}"), "another version"),
        (zlib.compress(b"x"), "damaged"),
    ],
)
def test_bytes_that_are_no_table_are_refused(table: bytes, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        unpack(table)
