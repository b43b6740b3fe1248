"""The invented contractor, its yard and its office."""

from datetime import time

COMPANY = "Pell & Marrow Roofing"
YARD = "Westmere yard"
CITY = "Westmere"
STATE = "MN"
TIME_ZONE = "America/Chicago"
# Open country in the northern United States; no such town stands there.
YARD_LAT, YARD_LON = 45.3050, -94.9120
PHONE = "555-0100"
SHIFT_START, SHIFT_END = time(7, 0), time(17, 30)
DECIDE_BY = time(13, 0)
ROOF_DROPS_PER_DAY, DUMPSTERS_PER_DAY = 4, 4
# Monday to Friday; the day on which the demo is loaded is added, so that Today shows roofs on a weekend as well.
WORK_WEEKDAYS = (0, 1, 2, 3, 4)

# For demo yards only: everybody may read this password in the source.
PASSWORD = "roofops-demo"  # noqa: S105
MANAGER = ("sorrel", "D.", "Sorrel")
DISPATCHER = ("imre", "J.", "Imre")
