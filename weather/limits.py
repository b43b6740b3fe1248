"""Every limit that decides what the sky allows, with its unit, its source and which way is looser.

A limit is data: the defaults below stand until the company sets its own. A safety limit may be tightened freely and
loosened only with a reason (`needs_reason`).
"""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from types import MappingProxyType
from typing import Literal

from weather.limit_table import DEFAULTS, LimitSpec

__all__ = ["DEFAULTS", "LimitSpec", "Limits", "is_looser", "needs_reason", "refuse_value"]

# Rounding of what a person types: two values nearer than this are the same limit.
SAME = 1e-9


def _default(key: str) -> float:
    return DEFAULTS[key].value


@dataclass(frozen=True)
class Limits:
    """The value of every limit in force for one roof; units as in `DEFAULTS`.

    Raises ValueError when a value lies outside the range in which the limit makes sense.
    """

    rain_open_chance: float = _default("rain_open_chance")
    rain_manager_cap: float = _default("rain_manager_cap")
    wet_hour_chance: float = _default("wet_hour_chance")
    rain_theta: float = _default("rain_theta")
    rain_margin_min_minutes: float = _default("rain_margin_min_minutes")
    rain_margin_closing_share: float = _default("rain_margin_closing_share")
    labor_reserve: float = _default("labor_reserve")
    bare_at_once_squares: float = _default("bare_at_once_squares")
    strip_min_ft: float = _default("strip_min_ft")
    shift_end_margin_minutes: float = _default("shift_end_margin_minutes")
    tie_in_labor_hours_per_ft: float = _default("tie_in_labor_hours_per_ft")
    tarp_labor_hours_per_square: float = _default("tarp_labor_hours_per_square")
    closing_wind_mph: float = _default("closing_wind_mph")
    closing_gust_mph: float = _default("closing_gust_mph")
    open_ridge_gust_mph: float = _default("open_ridge_gust_mph")
    off_roof_wind_mph: float = _default("off_roof_wind_mph")
    off_roof_gust_mph: float = _default("off_roof_gust_mph")
    thunder_chance: float = _default("thunder_chance")
    thunder_word_pop: float = _default("thunder_word_pop")
    thunder_wait_minutes: float = _default("thunder_wait_minutes")
    shingle_min_f: float = _default("shingle_min_f")
    membrane_min_f: float = _default("membrane_min_f")
    drying_heavy_in: float = _default("drying_heavy_in")
    drying_light_minutes: float = _default("drying_light_minutes")
    drying_heavy_minutes: float = _default("drying_heavy_minutes")
    drying_night_share: float = _default("drying_night_share")
    dew_spread_f: float = _default("dew_spread_f")
    dew_wind_mph: float = _default("dew_wind_mph")
    dew_sky_cover: float = _default("dew_sky_cover")
    frost_cooling_f: float = _default("frost_cooling_f")
    frost_clear_hours: float = _default("frost_clear_hours")
    frost_clear_overcast_hours: float = _default("frost_clear_overcast_hours")
    snow_in: float = _default("snow_in")
    ice_in: float = _default("ice_in")
    heat_caution_f: float = _default("heat_caution_f")
    wind_chill_caution_f: float = _default("wind_chill_caution_f")
    forecast_checked_today_h: float = _default("forecast_checked_today_h")
    forecast_checked_beyond_h: float = _default("forecast_checked_beyond_h")
    forecast_issued_h: float = _default("forecast_issued_h")

    def __post_init__(self) -> None:
        for f in fields(self):
            refuse_value(f.name, getattr(self, f.name))

    @classmethod
    def from_values(cls, values: Mapping[str, float]) -> "Limits":
        """The defaults with the given values in their place.

        The chance from which an hour counts as wet follows the manager's cap unless it is set itself, so a cap that is
        lowered flags more hours.

        Raises
        ------
        ValueError
            A key is no limit, or a value lies outside its range.
        """
        unknown = sorted(set(values) - set(DEFAULTS))
        if unknown:
            raise ValueError(f"There is no limit called '{unknown[0]}'.")
        given = {key: float(value) for key, value in values.items()}
        if "rain_manager_cap" in given:
            given.setdefault("wet_hour_chance", given["rain_manager_cap"])
        return cls(**given)

    def as_dict(self) -> dict[str, float]:
        """Every limit by its key, for a decision that must say on which limits it was made."""
        return {f.name: getattr(self, f.name) for f in fields(self)}

    def changed(self) -> Mapping[str, float]:
        """The limits that differ from their defaults."""
        return MappingProxyType(
            {key: value for key, value in self.as_dict().items() if abs(value - DEFAULTS[key].value) > SAME}
        )


def refuse_value(key: str, value: float) -> None:
    """Raise ValueError when the key is no limit or the value lies outside the range in which it makes sense."""
    if key not in DEFAULTS:
        raise ValueError(f"There is no limit called '{key}'.")
    spec = DEFAULTS[key]
    if not spec.lowest <= value <= spec.highest:  # also refuses NaN
        raise ValueError(f"{spec.label} must lie between {spec.lowest:g} and {spec.highest:g} {spec.unit}.")


def is_looser(key: str, old: float, new: float) -> bool:
    """Whether the new value lets more happen than the old one.

    Raises
    ------
    ValueError
        The key is no limit.
    """
    if key not in DEFAULTS:
        raise ValueError(f"There is no limit called '{key}'.")
    direction: Literal["up", "down"] = DEFAULTS[key].loosen
    return new > old + SAME if direction == "up" else new < old - SAME


def needs_reason(key: str, old: float, new: float) -> bool:
    """Whether this change of a limit must be given a reason: a safety limit that becomes looser."""
    return is_looser(key, old, new) and DEFAULTS[key].is_safety
