"""Everything that is read of people, verdicts, plans and progress; every read takes an Access first."""

from crews.queries.crews_page import crews_page
from crews.queries.deliveries import deliveries
from crews.queries.job_page import job_page
from crews.queries.plan import plan_board
from crews.queries.roof_work import roof_work
from crews.queries.rosters import crew_days, crew_of, led_crews
from crews.queries.sheet import day_sheet
from crews.queries.skies import sky
from crews.queries.today import today_board, today_rows
from crews.queries.tomorrow import tomorrow_board, tomorrow_rows

__all__ = [
    "crew_days",
    "crew_of",
    "crews_page",
    "day_sheet",
    "deliveries",
    "job_page",
    "led_crews",
    "plan_board",
    "roof_work",
    "sky",
    "today_board",
    "today_rows",
    "tomorrow_board",
    "tomorrow_rows",
]
