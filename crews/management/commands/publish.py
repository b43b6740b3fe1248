"""`manage.py publish`: put the proposal in force."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from crews.actions import PlanBroken, publish
from crews.management.asking import YARD_HELP, as_json, iso, yard_named
from crews.queries.plan_problem import proposal, published_plan
from crews.refusals import Refused
from roofops.record import clock
from roofops.record.access import Access


class Command(BaseCommand):
    """Publish the yard's proposal if every rule still holds."""

    help = "Publishes the proposal on the table; refused where another plan came between or a rule is broken now."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--yard", default="", metavar="NAME", help=YARD_HELP)
        parser.add_argument("--json", action="store_true", help="print JSON")

    def handle(self, *args: Any, **options: Any) -> None:
        yard = yard_named(options["yard"])
        plan, current = proposal(yard.pk), published_plan(yard.pk)
        if plan is None:
            raise CommandError("There is no proposal to publish; make one with `manage.py plan`.")
        try:
            done = publish(Access.system(), plan.pk, current.pk if current else None, clock.now())
        except PlanBroken as broken:
            for rule in broken.rules:
                self.stderr.write(rule.text)
            raise CommandError(f"Not published: {len(broken.rules)} rules are broken.") from broken
        except Refused as error:
            raise CommandError(f"Not published: {error}") from error
        if options["json"]:
            answer = {
                "published": done.plan.number,
                "published_at": iso(done.plan.published_at),
                "replaces": current.number if current else None,
                "told": list(done.told_crews),
                "moved_jobs": list(done.moved_jobs),
                "pencilled_jobs": list(done.pencilled_jobs),
            }
            self.stdout.write(as_json(answer))
            return
        self.stdout.write(f"Plan {done.plan.number} is in force. Told: {', '.join(done.told_crews) or 'nobody'}.")
