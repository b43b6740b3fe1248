"""Which invented weather (weather.sources.day_shapes) hangs over which part of the scenario."""

DRY = "westmere-dry"
STORM = "westmere-storm"
WINDY = "westmere-wind"
GALE = "westmere-gale"
FROSTY = "westmere-frost"
UNSETTLED = "westmere-unsettled"
SILENT = "westmere-silent"

# What the four roofs at work show today: one of each verdict.
TEAR_OFF_TODAY = STORM  # dry until a thunderstorm at 3 pm
NO_TEAR_OFF_TODAY = UNSETTLED  # a chance of rain all day, more of it from 3 pm
STAY_OFF_TODAY = GALE  # gusts over the limit from before dawn until night
UNKNOWN_TODAY = SILENT  # the last forecast is nine hours old
