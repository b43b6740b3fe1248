"""Everything that is read of people, verdicts, plans and progress; every read takes an Access first."""

from crews.queries.roof_work import roof_work
from crews.queries.rosters import crew_days, crew_of, led_crews
from crews.queries.skies import sky
from crews.queries.today import today_board, today_rows

__all__ = ["crew_days", "crew_of", "led_crews", "roof_work", "sky", "today_board", "today_rows"]
