"""`manage.py import_jobs FILE`: jobs with sections and edges from CSV or GeoJSON."""

import json
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from jobs.actions import ImportRefused, ImportResult, import_jobs
from jobs.importing import MAX_BYTES, RefusedRow, parse
from jobs.models import Yard
from jobs.queries import yards_for
from roofops.record import clock
from roofops.record.access import Access


class Command(BaseCommand):
    """Read a file and save all of its jobs, or none and say which rows are wrong."""

    help = (
        "Imports jobs with their roof sections and edges from a CSV or GeoJSON file. "
        "All jobs of the file are saved, or none; each refused row is named with its line, column and reason."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, metavar="FILE", help="CSV or GeoJSON, UTF-8")
        parser.add_argument("--yard", default="", metavar="NAME", help="the yard; may be left out where there is one")
        parser.add_argument("--dry-run", action="store_true", help="check everything and save nothing")
        parser.add_argument("--json", action="store_true", help="print the result as JSON")

    def handle(self, *args: Any, **options: Any) -> None:
        yard = self._yard(options["yard"])
        document = self._document(options["file"])
        access = Access.system()
        try:
            result = import_jobs(access, yard, parse(document), clock.now(), dry_run=options["dry_run"])
        except ImportRefused as error:
            self._refuse(error.rows, as_json=options["json"])
        else:
            self._report(result, as_json=options["json"])

    def _yard(self, name: str) -> Yard:
        yards = yards_for(Access.system())
        found = list(yards.filter(name=name) if name else yards[:2])
        if len(found) == 1:
            return found[0]
        names = ", ".join(yards.values_list("name", flat=True)) or "none yet"
        raise CommandError(f"There is no yard “{name}”." if name else f"Say which yard with --yard: {names}.")

    def _document(self, path: Path) -> bytes:
        try:
            with path.open("rb") as file:
                # One byte more than allowed is enough to refuse it.
                return file.read(MAX_BYTES + 1)
        except OSError as error:
            raise CommandError(f"{path} cannot be read: {error.strerror}.") from error

    def _refuse(self, rows: tuple[RefusedRow, ...], *, as_json: bool) -> None:
        if as_json:
            refused = [{"place": r.place, "line": r.line, "column": r.column, "reason": r.reason} for r in rows]
            self.stdout.write(json.dumps({"imported": [], "refused": refused}, ensure_ascii=False, indent=2))
        else:
            for row in rows:
                self.stderr.write(str(row))
        raise CommandError(f"Nothing was imported: {len(rows)} rows are refused.", returncode=1)

    def _report(self, result: ImportResult, *, as_json: bool) -> None:
        if as_json:
            answer = {
                "imported": list(result.numbers),
                "job_ids": list(result.job_ids),
                "squares": round(result.squares, 3),
                "dry_run": result.dry_run,
                "refused": [],
            }
            self.stdout.write(json.dumps(answer, ensure_ascii=False, indent=2))
            return
        done = "Would import" if result.dry_run else "Imported"
        self.stdout.write(f"{done} {len(result.numbers)} jobs, {result.squares:.1f} squares.")
