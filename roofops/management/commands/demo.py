"""`manage.py demo`: loads the invented contractor, dated around today."""

import json
from argparse import ArgumentParser
from datetime import datetime
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils.dateparse import parse_datetime

from roofops.demo.actions import DemoRefused, Loaded, load
from roofops.demo.scenario import company
from roofops.demo.scenario.people import CREWS
from roofops.record import clock


class Command(BaseCommand):
    """Load, or load anew, the demo; prints who can sign in."""

    help = "Load the invented contractor Pell & Marrow Roofing, dated around today. Makes no outside call."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Take --fresh, --at and --json."""
        parser.add_argument("--fresh", action="store_true", help="drop the demo that is there and load it anew")
        parser.add_argument("--at", help="the moment to date it around, with its zone, e.g. 2026-10-13T09:20-05:00")
        parser.add_argument("--json", action="store_true", help="answer as JSON")

    def handle(self, *args: Any, **options: Any) -> None:
        """Load and report."""
        now = _moment(options["at"]) if options["at"] else clock.now()
        try:
            loaded = load(now, anew=options["fresh"])
        except DemoRefused as refusal:
            raise CommandError(str(refusal)) from refusal
        self.stdout.write(json.dumps(_as_json(loaded)) if options["json"] else _in_words(loaded))


def _moment(text: str) -> datetime:
    try:
        moment = parse_datetime(text)
    except ValueError as error:
        raise CommandError(f"“{text}” is not a moment: {error}.") from error
    if moment is None or moment.utcoffset() is None:
        raise CommandError(f"“{text}” is not a moment with a zone; write one such as 2026-10-13T09:20-05:00.")
    return moment


def _sign_ins() -> list[tuple[str, str]]:
    office = [(company.MANAGER[0], "manager"), (company.DISPATCHER[0], "dispatcher")]
    return office + [(crew.user_name, f"lead of crew {crew.name}") for crew in CREWS]


def _as_json(loaded: Loaded) -> dict[str, Any]:
    return {
        "yard": loaded.yard_id,
        "jobs": loaded.jobs,
        "crews": loaded.crews,
        "loaded_now": loaded.fresh,
        "sign_ins": [{"user": user, "role": role, "password": company.PASSWORD} for user, role in _sign_ins()],
    }


def _in_words(loaded: Loaded) -> str:
    state = "loaded" if loaded.fresh else "is there already; --fresh loads it anew"
    lines = [
        f"{company.COMPANY}, {company.YARD} (invented): {loaded.jobs} jobs, {loaded.crews} crews, {state}.",
        f"Sign in with the password {company.PASSWORD} (demo only):",
    ]
    return "\n".join(lines + [f"  {user:<10} {role}" for user, role in _sign_ins()])
