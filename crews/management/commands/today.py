"""`manage.py today [--at T]`: the verdict of every roof at work or due today."""

from typing import Any
from zoneinfo import ZoneInfo

from django.core.management.base import BaseCommand, CommandParser

from crews.actions import decide
from crews.management.asking import YARD_HELP, as_json, iso, moment, yard_named
from crews.queries.verdict_list import VerdictRecord, verdict_records
from roofops.record import clock
from roofops.record.access import Access


class Command(BaseCommand):
    """Compute today's verdicts and print them; with --at only look, as it would be at that moment."""

    help = "Says for each roof how much may be bare at once and in all today, and by when it must be dried in."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--at", type=moment, help="another moment than now, e.g. 2026-10-13T14:20Z; stores nothing")
        parser.add_argument("--yard", default="", metavar="NAME", help=YARD_HELP)
        parser.add_argument("--json", action="store_true", help="print JSON")

    def handle(self, *args: Any, **options: Any) -> None:
        yard, access = yard_named(options["yard"]), Access.system()
        now = options["at"] or clock.now()
        if options["at"] is None:
            decide(access, yard.pk, now)
        records = verdict_records(access, yard.pk, now, stored=options["at"] is None)
        if options["json"]:
            self.stdout.write(as_json([_data(record) for record in records]))
            return
        if not records:
            self.stdout.write("No roof is at work today.")
        for record in records:
            self.stdout.write(_line(record, ZoneInfo(yard.time_zone)))


def _data(record: VerdictRecord) -> dict[str, Any]:
    return {
        "job": record.job,
        "street": record.street,
        "crew": record.crew,
        "verdict": record.verdict,
        "bare_at_once_squares": round(record.bare_at_once_squares, 2),
        "in_all_today_squares": round(record.in_all_today_squares, 2),
        "stop_line": record.stop_line,
        "dry_in_by": iso(record.dry_in_by),
        "valid_until": iso(record.valid_until),
        "p_wet": round(record.p_wet, 4),
        "because": record.because,
        "reasons": [
            {"hour": iso(hour), "reason": code, "value": value, "limit": limit}
            for hour, code, value, limit in record.reasons
        ],
        "forecast": {
            "source": record.source,
            "issued_at": iso(record.issued_at),
            "age_hours": record.age_hours,
            "checked_hours": record.checked_hours,
        },
        "version": record.version,
        "accepted": record.accepted,
        "waiting": record.waiting,
    }


def _line(record: VerdictRecord, zone: ZoneInfo) -> str:
    parts = [f"{record.job} {record.street}", record.crew or "no crew", record.verdict]
    if record.verdict == "tear_off":
        parts.append(f"at once {record.bare_at_once_squares:g}, in all {record.in_all_today_squares:g} squares")
        parts.append(f"stop at {record.stop_line}")
    if record.dry_in_by is not None:
        parts.append(f"dry in by {record.dry_in_by.astimezone(zone):%H:%M}")
    parts.append(f"because of {record.because}")
    return "; ".join(parts)
