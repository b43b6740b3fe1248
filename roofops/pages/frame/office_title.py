"""The title block of office pages that show rows rather than a board: the yard's clock and its forecast."""

from datetime import datetime

from crews.queries.skies import SkyReader
from jobs.models import Yard
from roofops.pages.frame.title_block import TitleBlock, title_block
from roofops.pages.wording import formats


def office_title(yard: Yard, now: datetime) -> TitleBlock:
    """Return the title block of a yard."""
    today = formats.local(now, yard.time_zone).date()
    note = SkyReader(yard, now).over_yard(today, 1).note
    return title_block(yard.name, yard.company, yard.time_zone, now, note)
