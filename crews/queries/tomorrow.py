"""Tomorrow: each job of the next work day with its verdict, the choice, the backup, and who has been told."""

from collections.abc import Mapping, Sequence
from datetime import date, datetime, timedelta

from crews.boards.key_line import KeyLine
from crews.boards.tomorrow import PARTIES, BackupWork, ProposedChoice, ToldTick, TomorrowBoard, TomorrowRow
from crews.models import Crew, DayChoice
from crews.planner.verdict import Word
from crews.queries.backups import backups_for
from crews.queries.day_inputs import DueRoof, OfficeOrder, judged_or_none
from crews.queries.due import due_on
from crews.queries.lines import cause_of, stop_words
from crews.queries.roof_rows import job_line, leads_of, name_of, no_verdict
from crews.queries.roofs_ahead import roofs_on
from crews.queries.rows_read import RowsRead
from crews.queries.skies import JobSky, SkyReader
from crews.queries.strips import axis_of, strip_of
from crews.queries.yards import YardDay, on_day, yard_day, yard_seen
from crews.roster import moment_of
from crews.verdict.day_verdict import DayResult
from crews.verdict.sky_hours import HOUR, bare_hours, sky_hours, whole_hour
from jobs.models import InspectionState, Load, LoadKind, LoadState, Supplier, Yard
from roofops.record.access import Access, Role
from weather.hourly import Hourly
from weather.work_hours import Kind

MOVE_WITHIN_DAYS = 10
WORTH_OPENING_SQUARES = 0.5
GONE = (LoadState.CAME, LoadState.CANCELLED)
CONTAINERS = (LoadKind.DUMPSTER_DROP, LoadKind.DUMPSTER_SWAP, LoadKind.FINAL_HAUL)


def tomorrow_board(access: Access, yard_id: int, now: datetime) -> TomorrowBoard:
    """The whole page for the office; Forbidden for a crew lead, NotFound where the yard is not seen."""
    yard = yard_seen(access, yard_id)
    access.require(yard_id, Role.MANAGER, Role.DISPATCHER)
    today = yard_day(yard, now)
    day = on_day(yard, today.hours.next_workday(today.day))
    reader = SkyReader(yard, now)
    all_choices = {row.job_id: row for row in _choices(yard_id, day.day)}
    # Jobs that were moved away stay on the page, so that the choice can be seen and taken back.
    found, read = due_on(yard_id, day.day, with_moved=True, today=today.day), RowsRead()
    roofs = roofs_on(yard, found, day.day, now, reader, read)
    axis = axis_of(roofs, day.day, day.axis())
    leads = leads_of(roofs)
    judged = [(roof, judged_or_none(roof)) for roof in roofs]
    backups = backups_for(yard, roofs, day.day, now, reader, read)
    rows = [
        _row(roof, result, day, axis, now, leads, all_choices.get(roof.job.pk), reader, backups)
        for roof, result in judged
    ]
    return _board(yard, access, today, day, now, sorted(rows, key=_order), reader, axis, judged)


def tomorrow_rows(access: Access, yard_id: int, now: datetime) -> list[TomorrowRow]:
    """The rows of the next work day, the undecided first."""
    return list(tomorrow_board(access, yard_id, now).rows)


def _choices(yard_id: int, day: date) -> Sequence[DayChoice]:
    return list(DayChoice.objects.filter(job__yard_id=yard_id, day=day).select_related("chosen_by"))


def _order(row: TomorrowRow) -> tuple[bool, str]:
    return row.choice != "", row.job.number


def _row(
    roof: DueRoof,
    result: DayResult | None,
    day: YardDay,
    axis: tuple[datetime, datetime],
    now: datetime,
    leads: dict[int, tuple[str, str]],
    choice: DayChoice | None,
    reader: SkyReader,
    backups: Mapping[int, BackupWork],
) -> TomorrowRow:
    verdict = result.verdict if result else None
    run = result.run if result else None
    strip = strip_of(roof, day.day, axis, now, None, verdict, run)
    line = line_of(roof, result)
    return TomorrowRow(
        job=job_line(roof, leads),
        day=day.day,
        line=line,
        strip=strip,
        forecast=roof.sky.note,
        proposed=_proposed(roof, line, day, reader),
        choice=choice.choice if choice else "",
        chosen_at=choice.chosen_at if choice else None,
        chosen_by=name_of(choice.chosen_by) if choice else "",
        move_to=choice.move_to if choice else None,
        backup=_backup(choice, backups.get(roof.job.pk)),
        ticks=_ticks(roof, choice, day),
        not_ready=roof.work.missing if roof.work else ("measurement",),
        dry_in_at_risk=_dry_in_at_risk(roof, day),
        left_tarped_squares=sum(s.tarped_squares for s in roof.work.work.sections) if roof.work else 0.0,
    )


def line_of(roof: DueRoof, result: DayResult | None) -> KeyLine:
    """The key line of a verdict that is not stored."""
    if result is None or roof.work is None:
        return no_verdict(roof)
    verdict, run = result.verdict, result.run
    sections = roof.work.work.sections
    field = [step for step in run.steps if step.kind == "field"]
    off = next((b for b in verdict.bands if b.kind is Word.STAY_OFF and b.code != "dark"), None)
    opens = verdict.verdict is Word.TEAR_OFF
    return KeyLine(
        verdict=verdict.verdict.value,
        bare_at_once_squares=verdict.bare_at_once_squares,
        in_all_today_squares=verdict.in_all_today_squares,
        stop_line=stop_words(roof, verdict),
        dry_in_by=verdict.dry_in_by if opens or verdict.bare_now_squares > 0 else None,
        cause=cause_of(verdict.because, roof, OfficeOrder(), verdict.bands),
        bare_now_squares=verdict.bare_now_squares,
        open_ridge_now_ft=sum(ridge.open_ft for ridge in roof.work.work.ridges),
        off_from=off.start if off else None,
        off_until=off.end if off else None,
        shingle_squares=sum(step.squares for step in field),
        shingle_from=field[0].start if field else None,
        old_squares=sum(s.old_squares for s in sections),
        has_closed_work=bool(field) or any(step.kind == "ridge" for step in run.steps),
        valid_until=verdict.valid_until,
        p_wet=verdict.p_wet,
        ahead=True,
    )


def _proposed(roof: DueRoof, line: KeyLine, day: YardDay, reader: SkyReader) -> ProposedChoice:
    """Go where the day is worth it, wait for the morning where nothing is known, else the next day that is dry."""
    if line.verdict == "unknown":
        return ProposedChoice("at_530", cause=line.cause)
    begins = line.shingle_from if line.verdict == "no_tear_off" else _opens_at(roof, line)
    wants_opening = line.old_squares > WORTH_OPENING_SQUARES
    opens = line.in_all_today_squares - line.bare_now_squares > WORTH_OPENING_SQUARES
    worth = (opens and line.verdict == "tear_off") or line.shingle_squares > WORTH_OPENING_SQUARES
    if worth or line.bare_now_squares > 0 or not wants_opening:
        return ProposedChoice("go", from_time=begins, cause=line.cause)
    to = _dry_day(roof, day, reader)
    promise = roof.job.promised_by
    holds = None if promise is None or to is None else to <= promise
    return ProposedChoice("move", move_to=to, cause=line.cause, promise_holds=holds)


def _opens_at(roof: DueRoof, line: KeyLine) -> datetime | None:
    """When the first strip may be opened, where that is later than the shift's start."""
    shift = roof.crew_day
    if shift is None:
        return None
    row = roof.sky.work_hours.by_kind[Kind.TEAR_OFF]
    start = roof.sky.work_hours.start
    first = next(
        (start + i * HOUR for i, hour in enumerate(row) if hour.allowed and start + (i + 1) * HOUR > shift.start), None
    )
    return first if first is not None and first > shift.start and first < shift.end else None


def _dry_day(roof: DueRoof, day: YardDay, reader: SkyReader) -> date | None:
    """The next work day on which a deck may lie bare for half a shift, nobody blocked it, and the forecast knows it."""
    sky = reader.over_job(roof.job, day.day, MOVE_WITHIN_DAYS)
    at = day.day
    for _step in range(MOVE_WITHIN_DAYS):
        at = day.hours.next_workday(at)
        start, end = day.hours.span(at)
        hours = bare_hours(sky.work_hours, start, end)
        if at.isoformat() not in roof.job.blocked_dates and hours is not None and hours >= (end - start) / HOUR / 2:
            return at
    return None


def _backup(choice: DayChoice | None, other: BackupWork | None) -> BackupWork:
    """Somebody's own words, else other closed work that was found for the crew, else work at the yard."""
    if choice is not None and choice.backup:
        return BackupWork("own_text", choice.backup)
    return other or BackupWork("yard")


def _ticks(roof: DueRoof, choice: DayChoice | None, day: YardDay) -> tuple[ToldTick, ...]:
    loads = [load for load in roof.job.loads.all() if load.state not in GONE and _on(load, day)]
    needed = {
        "crew": roof.due.crew_id is not None,
        "homeowner": hasattr(roof.job, "contact"),
        "supplier": any(load.kind == LoadKind.MATERIALS for load in loads),
        "dumpster": any(load.kind in CONTAINERS for load in loads),
        "inspector": any(
            v.state != InspectionState.PASSED and (v.window_start is None or day.start <= v.window_start < day.end)
            for v in roof.job.inspections.all()
        ),
    }
    told = choice.told if choice else {}
    return tuple(_tick(party, told.get(party), needed[party]) for party in PARTIES)


def _tick(party: str, tick: dict[str, str] | None, needed: bool) -> ToldTick:
    notes = {"supplier": "no_load", "dumpster": "same", "inspector": "none"}
    if tick is None:
        return ToldTick(party, "to_tell") if needed else ToldTick(party, "not_needed", note=notes.get(party, ""))
    return ToldTick(
        party, tick["state"], datetime.fromisoformat(tick["at"]), notes.get(party, "") if not needed else ""
    )


def _on(load: Load, day: YardDay) -> bool:
    moment = load.slot_start or load.need_by
    return moment is None or day.start <= moment < day.end


def _dry_in_at_risk(roof: DueRoof, day: YardDay) -> bool:
    """Before days off: what will lie dried-in would see gusts over the closing limit until the next work day."""
    following = day.hours.next_workday(day.day)
    if following == day.day + timedelta(days=1) or roof.work is None:
        return False
    hours = roof.sky.work_hours
    lies = sum(s.dried_in_squares + s.bare_squares + s.old_squares for s in roof.work.work.sections) > 0
    gusty = [
        reason.code == "gust"
        for hour in range(hours.n_hours)
        if day.end - 6 * HOUR <= hours.start + hour * HOUR
        for reason in hours.by_kind[Kind.UNDERLAYMENT][hour].reasons
    ]
    return lies and any(gusty)


def _board(
    yard: Yard,
    access: Access,
    today: YardDay,
    day: YardDay,
    now: datetime,
    rows: Sequence[TomorrowRow],
    reader: SkyReader,
    axis: tuple[datetime, datetime],
    judged: Sequence[tuple[DueRoof, DayResult | None]],
) -> TomorrowBoard:
    sky = reader.over_yard(day.day, 2)
    shift = day.hours.span(day.day)
    first = whole_hour(axis[0])
    hours = sky_hours(sky.work_hours, _table(sky), first, max(1, round((axis[1] - first) / HOUR)))
    wet = [hour for hour in hours if hour.known and hour.wet]
    lying = [hour for hour in hours if hour.known and (hour.wet or hour.roof_wet)]
    return TomorrowBoard(
        yard_id=yard.pk,
        yard_name=yard.name,
        company=yard.company,
        zone=yard.time_zone,
        day=day.day,
        now=now,
        decide_by=moment_of(today.day, yard.decide_by, yard.time_zone),
        cutoff=_cutoff(yard, today, now),
        rows=tuple(rows),
        forecast=sky.note,
        yard_hours=hours,
        rain_until=wet[-1].start + HOUR if wet else None,
        wet_until=lying[-1].start + HOUR if lying else None,
        bare_hours=bare_hours(sky.work_hours, *shift),
        crews_without_job=_idle_crews(yard, day, judged),
        axis_start=axis[0],
        axis_end=axis[1],
        may_decide=access.may_see(yard.pk, Role.MANAGER, Role.DISPATCHER),
    )


def _table(sky: JobSky) -> Hourly | None:
    return sky.chosen.hourly if sky.chosen.usable_beyond else None


def _cutoff(yard: Yard, today: YardDay, now: datetime) -> datetime | None:
    """The earliest supplier's cut-off that is still ahead today."""
    clocks = Supplier.objects.filter(yard=yard).values_list("order_cutoff", flat=True)
    ahead = [moment for clock in clocks if (moment := moment_of(today.day, clock, today.zone)) > now]
    return min(ahead, default=None)


def _idle_crews(yard: Yard, day: YardDay, judged: Sequence[tuple[DueRoof, DayResult | None]]) -> tuple[str, ...]:
    busy = {roof.due.crew_id for roof, _result in judged}
    rows = Crew.objects.filter(yard=yard, active=True).exclude(pk__in=[pk for pk in busy if pk is not None])
    return tuple(rows.order_by("name").values_list("name", flat=True))
