"""`manage.py verify`: rebuild totals from reports and compare, and look at the invariants."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from crews.management.asking import as_json
from crews.queries.soundness import unsound


class Command(BaseCommand):
    """Say whether everything stored is as the reports make it; changes nothing."""

    help = "Rebuilds every total from the crews' reports and compares it with what is stored; changes nothing."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--json", action="store_true", help="print JSON")

    def handle(self, *args: Any, **options: Any) -> None:
        found = unsound()
        if options["json"]:
            rows = [{"where": u.where, "what": u.what, "stored": u.stored, "rebuilt": u.rebuilt} for u in found]
            self.stdout.write(as_json({"sound": not found, "unsound": rows}))
        else:
            for one in found:
                self.stdout.write(str(one))
        if found:
            raise CommandError(f"{len(found)} things are not sound.")
        if not options["json"]:
            self.stdout.write("Everything is sound.")
