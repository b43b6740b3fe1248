"""Limits are data with a unit, a source and a looser direction."""

import dataclasses

import pytest

from weather.limits import DEFAULTS, Limits, is_looser, needs_reason


def test_every_limit_of_the_table_is_a_field_with_the_same_default() -> None:
    fields = {field.name: field.default for field in dataclasses.fields(Limits)}
    assert fields == {key: spec.value for key, spec in DEFAULTS.items()}


def test_every_limit_names_its_unit_its_label_and_where_it_comes_from() -> None:
    for key, spec in DEFAULTS.items():
        assert spec.unit, key
        assert spec.label, key
        assert spec.is_published == (spec.source_note[:6] not in ("common", "roofop")), key


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("rain_open_chance", 0.10),
        ("rain_manager_cap", 0.20),
        ("closing_wind_mph", 20),
        ("closing_gust_mph", 25),
        ("membrane_min_f", 40),
        ("shingle_min_f", 40),
        ("open_ridge_gust_mph", 20),
        ("off_roof_gust_mph", 30),
        ("thunder_chance", 0.15),
        ("thunder_word_pop", 0.20),
        ("bare_at_once_squares", 5),
        ("labor_reserve", 0.85),
        ("rain_margin_min_minutes", 60),
        ("rain_margin_closing_share", 0.30),
    ],
)
def test_the_defaults_are_the_documented_ones(key: str, value: float) -> None:
    assert getattr(Limits(), key) == value


@pytest.mark.parametrize(
    ("key", "old", "new", "looser"),
    [
        ("closing_gust_mph", 25, 28, True),
        ("closing_gust_mph", 25, 22, False),
        ("shingle_min_f", 40, 35, True),
        ("shingle_min_f", 40, 45, False),
        ("rain_margin_min_minutes", 60, 30, True),
        ("rain_open_chance", 0.1, 0.1, False),
    ],
)
def test_which_way_is_looser_depends_on_the_limit(key: str, old: float, new: float, looser: bool) -> None:
    assert is_looser(key, old, new) is looser


def test_only_a_safety_limit_that_becomes_looser_needs_a_reason() -> None:
    assert needs_reason("off_roof_gust_mph", 30, 35)
    assert not needs_reason("off_roof_gust_mph", 30, 25)
    assert not needs_reason("strip_min_ft", 10, 8)  # looser, but nobody's safety depends on it


def test_the_wait_after_thunder_cannot_be_shorter_than_thirty_minutes() -> None:
    """30 minutes after the last thunder: OSHA/NOAA, Lightning Safety When Working Outdoors."""
    with pytest.raises(ValueError, match="Wait after the last thunder must lie between 30"):
        Limits(thunder_wait_minutes=15)


def test_the_wet_flag_follows_the_managers_cap_unless_it_is_set_itself() -> None:
    assert Limits.from_values({"rain_manager_cap": 0.15}).wet_hour_chance == 0.15
    assert Limits.from_values({"rain_manager_cap": 0.15, "wet_hour_chance": 0.12}).wet_hour_chance == 0.12


def test_nonsense_is_refused_in_a_sentence() -> None:
    with pytest.raises(ValueError, match="no limit called 'gust'"):
        Limits.from_values({"gust": 3})
    with pytest.raises(ValueError, match="must lie between"):
        Limits(closing_gust_mph=float("nan"))
    with pytest.raises(ValueError, match="no limit called"):
        is_looser("gust", 1, 2)


def test_changed_limits_are_named_for_the_log() -> None:
    assert dict(Limits(closing_gust_mph=22).changed()) == {"closing_gust_mph": 22}
