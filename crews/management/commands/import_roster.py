"""`manage.py import_roster FILE`: workers, crews, absences and certificates from CSV."""

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from crews.actions.roster import RosterRefused, import_roster
from crews.management.asking import YARD_HELP, as_json, yard_named
from crews.roster_import import MAX_BYTES, read_roster
from roofops.record import clock
from roofops.record.access import Access


class Command(BaseCommand):
    """Read a file and take over all of it, or nothing and say which fields are wrong."""

    help = (
        "Imports workers with their crews, working days (RFC 5545 rules), absences and certificates from a CSV file. "
        "All rows are taken, or none; each refused field is named with its line, column and reason."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", type=Path, metavar="FILE", help="CSV, UTF-8, with a header line")
        parser.add_argument("--yard", default="", metavar="NAME", help=YARD_HELP)
        parser.add_argument("--dry-run", action="store_true", help="check everything and save nothing")
        parser.add_argument("--json", action="store_true", help="print JSON")

    def handle(self, *args: Any, **options: Any) -> None:
        yard, path = yard_named(options["yard"]), options["file"]
        try:
            with path.open("rb") as file:
                content = file.read(MAX_BYTES + 1)
        except OSError as error:
            raise CommandError(f"{path} cannot be read: {error.strerror}.") from error
        try:
            taken = import_roster(
                Access.system(), yard.pk, read_roster(content), clock.now(), dry_run=options["dry_run"]
            )
        except RosterRefused as error:
            refused = [{"line": e.line, "column": e.column, "reason": e.reason} for e in error.errors]
            if options["json"]:
                self.stdout.write(as_json({"imported": None, "refused": refused}))
            else:
                for row in refused:
                    self.stderr.write(f"Line {row['line']}, {row['column'] or 'file'}: {row['reason']}")
            raise CommandError(f"Nothing was imported: {len(refused)} fields are refused.") from error
        if options["json"]:
            self.stdout.write(as_json({"imported": vars(taken), "refused": []}))
            return
        done = "Would import" if taken.dry_run else "Imported"
        self.stdout.write(
            f"{done} {taken.workers_new} new and {taken.workers_changed} known workers, {taken.crews_new} new crews, "
            f"{taken.absences} absences, {taken.trainings} certificates."
        )
