"""The yard that a page or command speaks of, its day and its clock."""

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from crews.queries.rosters import shift_hours
from crews.roster import ShiftHours
from jobs.models import Job, Yard
from roofops.record.access import Access, NotFound

# Wall hours that every strip shows at least.
AXIS_FIRST_HOUR, AXIS_LAST_HOUR = 6, 20


@dataclass(frozen=True)
class YardDay:
    """One yard on one of its days. start and end: local midnights, UTC."""

    yard: Yard
    day: date
    zone: str
    hours: ShiftHours

    @property
    def start(self) -> datetime:
        """First moment of the day, UTC."""
        return midnight(self.day, self.zone)

    @property
    def end(self) -> datetime:
        """First moment of the next day, UTC."""
        return midnight(self.day + timedelta(days=1), self.zone)

    def axis(self) -> tuple[datetime, datetime]:
        """Start and end of the hours that a strip shows, UTC."""
        return wall(self.day, AXIS_FIRST_HOUR, self.zone), wall(self.day, AXIS_LAST_HOUR, self.zone)


def yard_seen(access: Access, yard_id: int) -> Yard:
    """One yard; raise NotFound where it is not seen."""
    if not access.may_see(yard_id):
        raise NotFound("There is no such yard here.")
    yard = Yard.objects.filter(pk=yard_id).first()
    if yard is None:
        raise NotFound("There is no such yard here.")
    return yard


def yard_day(yard: Yard, now: datetime) -> YardDay:
    """The yard's day that holds a moment."""
    return YardDay(yard, local_day(now, yard.time_zone), yard.time_zone, shift_hours(yard))


def on_day(yard: Yard, day: date) -> YardDay:
    """The yard on a given day."""
    return YardDay(yard, day, yard.time_zone, shift_hours(yard))


def zone_of(job: Job) -> str:
    """The job's own zone, else the yard's."""
    return job.time_zone or job.yard.time_zone


def local_day(moment: datetime, zone: str) -> date:
    """The calendar day of a moment in a zone."""
    return moment.astimezone(ZoneInfo(zone)).date()


def midnight(day: date, zone: str) -> datetime:
    """The first moment of a local day, UTC."""
    return datetime.combine(day, time(), tzinfo=ZoneInfo(zone)).astimezone(UTC)


def wall(day: date, hour: int, zone: str) -> datetime:
    """The UTC moment of a whole wall hour."""
    return datetime.combine(day, time(hour), tzinfo=ZoneInfo(zone)).astimezone(UTC)
