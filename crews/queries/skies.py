"""The sky over a job: its point, the forecast that is believed, the limits in force, the judged hours."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from django.conf import settings

from crews.boards.forecast_note import ForecastNote
from crews.models import EntryKind, JobLimit, JobPoint, ProgressEntry
from crews.planner.exposure import Sky, sky_from
from crews.queries.yards import midnight, zone_of
from crews.verdict.sky_hours import HOUR, joined, whole_hour, with_rain
from jobs.models import Job, Yard
from roofops.record.access import Access
from weather.chain import Chosen, Why
from weather.daylight import SunDay, sun_days
from weather.limits import Limits
from weather.models import Forecast, Point, Source
from weather.packing import unpack
from weather.queries import company_limits, skies_for_points
from weather.work_hours import WorkHours, judge

# How long somebody's 'rain here now' holds, and how far around, if nothing newer is reported [common practice].
RAIN_HERE_HOLDS = timedelta(hours=1)
RAIN_HERE_DEGREES = 0.1  # about 7 mi north-south, 5 mi east-west at 45 degrees north
NO_POINT = "no_point"
SOURCE_OFF = "source_off"
FETCH_EVERY = timedelta(minutes=15)  # as on the timetable


@dataclass(frozen=True)
class JobSky:
    """Everything that the sky says about one roof. suns: from the first day on."""

    sky: Sky
    work_hours: WorkHours
    chosen: Chosen
    limits: Limits
    suns: tuple[SunDay, ...]
    point_id: int | None
    rain_at: datetime | None = None  # somebody near reported rain; it still holds, or the roof dries after it
    read_at: datetime | None = None

    @property
    def note(self) -> ForecastNote:
        """Which forecast it is."""
        return forecast_note(self.chosen, self.limits, self.read_at, has_point=self.point_id is not None)


class SkyReader:
    """Reads the sky for the jobs of one yard at one moment; each point and each limit is read once."""

    def __init__(self, yard: Yard, now: datetime) -> None:
        self.yard = yard
        self.now = now
        self.company = company_limits(yard.pk)
        self._chosen: dict[int, Chosen] = {}
        self._points: dict[int, int] = {}
        self._own: dict[int, dict[str, tuple[float, str]]] = {}  # value and reason
        self._loaded: set[int] = set()
        self._rain: list[tuple[str, int, float, float, datetime]] | None = None
        self._hours: dict[tuple[object, ...], tuple[WorkHours, Sky, tuple[SunDay, ...]]] = {}

    def load(self, jobs: Iterable[Job]) -> None:
        """Read points and own limits of several jobs in two queries."""
        wanted = {job.pk for job in jobs} - self._loaded
        if wanted:
            self._points.update(JobPoint.objects.filter(job_id__in=wanted).values_list("job_id", "point_id"))
            rows = JobLimit.objects.filter(job_id__in=wanted).order_by("key")
            for job_id, key, value, reason in rows.values_list("job_id", "key", "value", "reason"):
                self._own.setdefault(job_id, {})[key] = (value, reason)
            self._loaded |= wanted

    def limits(self, job: Job | None = None) -> Limits:
        """The limits in force: the company's, for a job its own in their place."""
        if job is not None:
            self.load([job])
        own = self._own.get(job.pk, {}) if job is not None else {}
        return Limits.from_values({**self.company, **{key: value for key, (value, _reason) in own.items()}})

    def own_limits(self, job: Job) -> tuple[tuple[str, float, str], ...]:
        """What a job has of its own: key, value, reason; by key."""
        self.load([job])
        return tuple((key, value, reason) for key, (value, reason) in self._own.get(job.pk, {}).items())

    def chosen(self, point_id: int | None) -> Chosen:
        """The forecast that is believed at a point; none without a point."""
        if point_id is None:
            return Chosen(hourly=None)
        if point_id not in self._chosen:
            # All points known by now are read together: two queries, however many jobs.
            wanted = ({point_id} | set(self._points.values())) - set(self._chosen)
            self._chosen.update(skies_for_points(wanted, self.now, self.limits()))
        return self._chosen[point_id]

    def over_job(self, job: Job, first_day: date, n_days: int) -> JobSky:
        """The sky over a job from the local midnight of its first day for n days."""
        self.load([job])
        point_id = self._points.get(job.pk)
        place = (job.lat, job.lon)
        rain_at = self._rain_near(job)
        return self._over(point_id, self.limits(job), place, zone_of(job), first_day, n_days, rain_at)

    def as_forecast_by(self, job: Job, day: date, forecast_id: int) -> Sky | None:
        """Today's sky over a job as an earlier forecast had it, so that two forecasts can be set side by side."""
        found = self._by_forecast(job, day, forecast_id)
        return None if found is None else found[1]

    def hours_by_forecast(self, job: Job, day: date, forecast_id: int) -> WorkHours | None:
        """A day's hours over a job as one stored forecast judged them."""
        found = self._by_forecast(job, day, forecast_id)
        return None if found is None else found[0]

    def _by_forecast(self, job: Job, day: date, forecast_id: int) -> tuple[WorkHours, Sky, tuple[SunDay, ...]] | None:
        row = Forecast.objects.filter(pk=forecast_id).first()
        if row is None:
            return None
        held = Chosen(hourly=unpack(bytes(row.table)), usable_today=True, usable_beyond=True)
        place = (job.lat, job.lon)
        return self._judged(held, self.limits(job), place, zone_of(job), day, 2, self._rain_near(job))

    def over_yard(self, first_day: date, n_days: int) -> JobSky:
        """The sky over the yard itself: its own point, else that of the job nearest to it."""
        yard = self.yard
        place = (yard.lat, yard.lon)
        return self._over(self._yard_point(), self.limits(), place, yard.time_zone, first_day, n_days, None)

    def nothing_known(self, first_day: date, n_days: int) -> JobSky:
        """The sky of a roof whose data cannot be read: the yard's daylight, and no forecast."""
        yard, nothing = self.yard, Chosen(hourly=None)
        limits, place = self.limits(), (self.yard.lat, self.yard.lon)
        hours, sky, suns = self._judged(nothing, limits, place, yard.time_zone, first_day, n_days, None)
        return JobSky(sky, hours, nothing, limits, suns, None, None, self.now)

    def _yard_point(self) -> int | None:
        pattern_first = "-recorded_pattern" if self.yard.is_demo else "recorded_pattern"
        near = Point.objects.filter(pk__in=JobPoint.objects.filter(job__yard=self.yard).values("point_id"))
        points = list(near.order_by(pattern_first, "pk").values_list("pk", "lat", "lon"))
        if not points:
            return None
        return min(points, key=lambda p: (p[1] - self.yard.lat) ** 2 + (p[2] - self.yard.lon) ** 2)[0]

    def _over(
        self,
        point_id: int | None,
        limits: Limits,
        place: tuple[float, float],
        zone: str,
        first_day: date,
        n_days: int,
        rain_at: datetime | None,
    ) -> JobSky:
        chosen = self.chosen(point_id)
        key = (point_id, limits, zone, first_day, n_days, round(place[0], 1), round(place[1], 1), rain_at)
        if key not in self._hours:
            self._hours[key] = self._judged(chosen, limits, place, zone, first_day, n_days, rain_at)
        work_hours, sky, suns = self._hours[key]
        return JobSky(sky, work_hours, chosen, limits, suns, point_id, rain_at, self.now)

    def _judged(
        self,
        chosen: Chosen,
        limits: Limits,
        place: tuple[float, float],
        zone: str,
        first_day: date,
        n_days: int,
        rain_at: datetime | None,
    ) -> tuple[WorkHours, Sky, tuple[SunDay, ...]]:
        suns = sun_days(place[0], place[1], first_day, n_days, ZoneInfo(zone))
        start = whole_hour(midnight(first_day, zone))
        hours = round((midnight(first_day + timedelta(days=n_days), zone) - start) / HOUR)
        work_hours = judge(chosen.hourly, limits, suns, start, hours, usable=chosen.usable_beyond)
        if chosen.usable_beyond != chosen.usable_today:
            # Older than today may be, young enough for the days after it.
            tomorrow = midnight(self.now.astimezone(ZoneInfo(zone)).date() + timedelta(days=1), zone)
            today = judge(chosen.hourly, limits, suns, start, hours, usable=chosen.usable_today)
            work_hours = joined(today, work_hours, tomorrow)
        if rain_at is not None:
            over = rain_at + RAIN_HERE_HOLDS
            # Nobody said how much fell: it dries as after much rain, unless the lead finds the roof dry before.
            work_hours = with_rain(work_hours, rain_at, over, over + timedelta(minutes=limits.drying_heavy_minutes))
        usable = chosen.usable_today or chosen.usable_beyond
        return work_hours, sky_from(work_hours, chosen.hourly if usable else None, limits), suns

    def _rain_near(self, job: Job) -> datetime | None:
        """When somebody last reported rain near a job, while it holds or the roof dries; None once found dry there."""
        if self._rain is None:
            since = self.now - RAIN_HERE_HOLDS - timedelta(minutes=self.limits().drying_heavy_minutes)
            kinds = (EntryKind.RAIN_HERE, EntryKind.DRY_READING)
            rows = ProgressEntry.objects.filter(kind__in=kinds, job__yard=self.yard, at__gt=since, at__lte=self.now)
            self._rain = list(rows.values_list("kind", "job_id", "job__lat", "job__lon", "at"))
        near = [
            at
            for kind, _job_id, lat, lon, at in self._rain
            if kind == EntryKind.RAIN_HERE
            and abs(lat - job.lat) <= RAIN_HERE_DEGREES
            and abs(lon - job.lon) <= RAIN_HERE_DEGREES
        ]
        dry = [at for kind, job_id, _lat, _lon, at in self._rain if kind == EntryKind.DRY_READING and job_id == job.pk]
        last = max(near, default=None)
        return None if last is None or any(at >= last for at in dry) else last


def sky(access: Access, job: Job, now: datetime, n_days: int = 1) -> tuple[Sky, Chosen]:
    """The sky over one job from today's local midnight, and the forecast it comes from.

    Raises NotFound for a yard that is not seen.
    """
    access.require(job.yard_id)
    reader = SkyReader(job.yard, now)
    found = reader.over_job(job, now.astimezone(ZoneInfo(zone_of(job))).date(), n_days)
    return found.sky, found.chosen


def forecast_note(
    chosen: Chosen, limits: Limits, now: datetime | None = None, *, has_point: bool = True
) -> ForecastNote:
    """The forecast behind a figure, as pages show it."""
    by_issue = chosen.why is Why.ISSUE_TOO_OLD
    # Without a contact nothing is ever fetched: that is the cause then, and there is no next try.
    off = not settings.ROOFOPS_WEATHER_CONTACT and (not has_point or chosen.why is Why.NO_FORECAST)
    return ForecastNote(
        source=chosen.source,
        issued_at=chosen.issued_at,
        age_hours=chosen.age_hours,
        checked_at=chosen.checked_at,
        checked_hours=chosen.checked_hours,
        usable_today=chosen.usable_today,
        usable_beyond=chosen.usable_beyond,
        attribution=chosen.attribution,
        invented=chosen.source == Source.RECORDED,
        why=SOURCE_OFF if off else chosen.why.value if has_point else NO_POINT,
        limit_hours=limits.forecast_issued_h if by_issue else limits.forecast_checked_today_h,
        failure=chosen.failure,
        next_try_at=None if now is None or off else next_fetch(now),
    )


def next_fetch(now: datetime) -> datetime:
    """When the timetable fetches next: every quarter of an hour, UTC."""
    step = FETCH_EVERY.total_seconds()
    return datetime.fromtimestamp((now.timestamp() // step + 1) * step, tz=now.tzinfo)
