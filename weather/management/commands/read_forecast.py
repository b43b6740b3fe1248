"""`manage.py read_forecast`: what the adapter reads out of a saved document."""

import json
from argparse import ArgumentTypeError
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from weather.hourly import Hourly
from weather.hourly_record import record
from weather.parsing import nws, openmeteo
from weather.sources import recorded_document

Reader = Callable[[bytes, datetime | None], Hourly]
READERS: dict[str, Reader] = {"nws": nws.read, "openmeteo": openmeteo.read, "recorded": recorded_document.read}
ROW = "{valid_from:<21}{air_temp_c:>8}{wind_ms:>8}{gust_ms:>8}{pop:>7}{pop_period_h:>7}{qpf_mm:>8}{thunder_p:>8}  "
HEAD = {
    "valid_from": "valid from (UTC)",
    "air_temp_c": "air °C",
    "wind_ms": "m/s",
    "gust_ms": "gust",
    "pop": "rain",
    "pop_period_h": "in h",
    "qpf_mm": "mm",
    "thunder_p": "thunder",
}


class Command(BaseCommand):
    """Read one saved document and print its hours; nothing is stored."""

    help = "Print the hourly table that is read out of a saved forecast document, with every flag."

    def add_arguments(self, parser: CommandParser) -> None:
        """Declare the arguments."""
        parser.add_argument("file", type=Path, help="the saved document")
        parser.add_argument("--source", choices=sorted(READERS), required=True)
        parser.add_argument(
            "--now", type=_moment, help="the present moment, e.g. 2026-05-04T15:00Z (default: its issue)"
        )
        parser.add_argument("--json", action="store_true", help="print JSON")

    def handle(self, *args: Any, **options: Any) -> None:
        """Read and print.

        Raises
        ------
        CommandError
            The file cannot be opened, or is no forecast that can be trusted.
        """
        try:
            hourly = READERS[options["source"]](options["file"].read_bytes(), options["now"])
        except OSError as error:
            raise CommandError(f"{options['file']} cannot be opened: {error.strerror}.") from None
        except ValueError as error:
            raise CommandError(f"{options['file']}: {error}") from None
        document = record(hourly)
        self.stdout.write(json.dumps(document, indent=1) if options["json"] else _table(hourly, document))


def _moment(text: str) -> datetime:
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        raise ArgumentTypeError(f"'{text}' is no moment, e.g. 2026-05-04T15:00Z.") from None
    if moment.utcoffset() is None:
        raise ArgumentTypeError(f"'{text}' has no time zone, e.g. 2026-05-04T15:00Z.")
    return moment.astimezone(UTC)


def _table(hourly: Hourly, document: dict[str, Any]) -> str:
    title = f"{hourly.source}, issued {document['issued_at']}, {hourly.n_hours} hours. {hourly.attribution}"
    lines = [title, ROW.format(**HEAD) + "flags"]
    for hour in document["hours"]:
        cells = {name: "?" if hour[name] is None else hour[name] for name in HEAD}
        cells |= {name: f"{cells[name]:.2f}" for name in HEAD if isinstance(cells[name], float)}
        lines.append(ROW.format(**cells) + " ".join([*hour["wx"], *hour["flags"]]))
    return "\n".join(lines)
