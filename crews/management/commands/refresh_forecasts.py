"""`manage.py refresh_forecasts`: fetch the forecast of every place in use."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from crews.actions import refresh_forecasts
from crews.actions.watch import watch_yards
from crews.management.asking import as_json
from roofops.record import clock
from roofops.record.access import Access


class Command(BaseCommand):
    """Fetch each cell in use once, then compute the verdicts that follow."""

    help = "Fetches the forecast of every cell that serves an open job; a failure leaves the last good one in place."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--json", action="store_true", help="print JSON")

    def handle(self, *args: Any, **options: Any) -> None:
        found = refresh_forecasts(Access.system(), clock.now)
        watch_yards(clock.now)
        failed = [cell for cell in found if not cell.ok]
        if options["json"]:
            rows = [
                {"cell": cell.cell, "source": cell.source, "outcome": cell.outcome, "failure": cell.failure}
                for cell in found
            ]
            self.stdout.write(as_json({"cells": rows, "failed": len(failed)}))
        else:
            for cell in found:
                self.stdout.write(f"{cell.cell}: {cell.outcome}" + (f", {cell.failure}" if cell.failure else ""))
        if failed:
            raise CommandError(f"{len(failed)} of {len(found)} forecasts were not fetched; the last good ones stay.")
