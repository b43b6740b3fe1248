"""`manage.py plan`: a proposal for the coming days."""

from datetime import date
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from crews.actions.planning import DEFAULT_DAYS, make_plan
from crews.management.asking import YARD_HELP, as_json, day, iso, yard_named
from crews.models import Plan
from crews.planner.plan_problem import PlanProblem, PlanResult
from crews.planner.solve import plan as solve
from crews.queries.yards import local_day
from crews.refusals import Refused
from jobs.models import Job
from roofops.record import clock
from roofops.record.access import Access


class Command(BaseCommand):
    """Make a proposal here and now, store it and print it."""

    help = "Proposes which crew does which job from when; the proposal waits on the Plan page until it is published."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--from", dest="first_day", type=day, metavar="DAY", help="first day (default: today)")
        parser.add_argument("--days", type=int, default=DEFAULT_DAYS, help=f"how many days (default: {DEFAULT_DAYS})")
        parser.add_argument("--seed", type=int, default=1, help="same seed, same plan (default: 1)")
        parser.add_argument("--yard", default="", metavar="NAME", help=YARD_HELP)
        parser.add_argument("--json", action="store_true", help="print JSON")

    def handle(self, *args: Any, **options: Any) -> None:
        yard, now, seed = yard_named(options["yard"]), clock.now(), options["seed"]
        first: date = options["first_day"] or local_day(now, yard.time_zone)

        def answer(problem: PlanProblem) -> PlanResult:
            return solve(problem, seed)

        try:
            made = make_plan(Access.system(), yard.pk, first, options["days"], seed, now, clock=clock.now, solve=answer)
        except Refused as error:
            raise CommandError(str(error)) from error
        if options["json"]:
            self.stdout.write(as_json(plan_data(made)))
            return
        self.stdout.write(
            f"Proposal {made.number}: {made.assignments.count()} jobs, gap {made.gap:.2%}, {made.seconds:.1f} s."
        )
        for rule in made.broken_rules:
            self.stdout.write(f"Broken: {rule['text']}")


def plan_data(plan: Plan) -> dict[str, Any]:
    """A plan as the JSON that scripts rely on."""
    rows = plan.assignments.select_related("job", "crew").order_by("start", "id")
    jobs = {row.job_id: row.job.number for row in rows}
    numbers = _numbers([entry["job"] for entry in plan.unscheduled]) | jobs
    return {
        "plan": plan.number,
        "id": plan.pk,
        "made_from": plan.made_from.number if plan.made_from else None,
        "first_day": plan.first_day,
        "days": plan.days,
        "objective": plan.objective,
        "bound": plan.bound,
        "gap": plan.gap,
        "seed": plan.seed,
        "stopped": plan.stopped,
        "seconds": plan.seconds,
        "costs": plan.costs,
        "assignments": [
            {
                "job": row.job.number,
                "crew": row.crew.name,
                "start": iso(row.start),
                "days": row.days,
                "finish_p50": iso(row.finish_p50),
                "finish_p90": iso(row.finish_p90),
                "cost": row.cost,
                "pinned": row.pinned,
                "pencilled": row.pencilled,
                "p_wet": row.p_wet,
                "reasons": [said["text"] for said in row.reasons],
            }
            for row in rows
        ],
        "unscheduled": [
            {"job": numbers.get(entry["job"], entry["job"]), "reason": entry.get("text", "")}
            for entry in plan.unscheduled
        ],
        "broken_rules": plan.broken_rules,
    }


def _numbers(job_ids: list[int]) -> dict[int, str]:

    return dict(Job.objects.filter(pk__in=job_ids).values_list("pk", "number"))
