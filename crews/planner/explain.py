"""Why a job stands where it stands, and why another is left out: costs term by term, the runner-up, what is missing."""

from collections import Counter
from collections.abc import Sequence

from crews.planner.columns import Column, ColumnSet, HalfDay
from crews.planner.pinning import PinCheck
from crews.planner.plan_problem import PlanProblem, Said, Unscheduled

# Plain English per term, for logs and commands; pages have their own words.
TERM_WORDS = {
    "lateness": "days past the promised date",
    "waiting": "starting later",
    "water_loss": "expected water loss",
    "travel": "travel",
    "labor": "labor",
    "idle": "waits, expected ones included",
    "overtime": "overtime",
    "stability": "moving away from the published plan",
    "priority": "priority",
}
WHY_RULED_OUT = {
    "too_steep": "its pitch is above what {n} crews may work",
    "skills": "{n} crews lack a skill that it needs",
    "insurance": "the insurance of a crew does not last",
    "blocked_date": "the homeowner's blocked dates stand in the way of {n} starts",
    "before_promised": "{n} starts lie before the promised first day",
    "not_finished": "{n} starts do not lead to a finished roof within the crews' days",
}


def reasons_of(
    problem: PlanProblem, column: Column, columns: Sequence[Column], taken: Sequence[Column]
) -> tuple[Said, ...]:
    """Why this column: its pin, its largest costs, and the best other way with what it would cost more or why not."""
    said: list[Said] = []
    if any(pin.job_id == column.job_id for pin in problem.pins):
        said.append(Said("pinned", "Pinned to this crew and day."))
    costs = sorted(((usd, term) for term, usd in column.cost.items() if usd > 0 and term != "labor"), reverse=True)
    if costs:
        usd, term = costs[0]
        said.append(
            Said(
                "largest_cost",
                f"Largest cost beside labor: {TERM_WORDS[term]}, {usd} USD.",
                {"term": term, "usd": float(usd)},
            )
        )
    said.append(_runner_up(problem, column, columns, taken))
    if column.typical:
        said.append(Said("typical", "Reaches beyond the forecast: the month's usual weather stands in for it."))
    return tuple(said)


def _runner_up(problem: PlanProblem, column: Column, columns: Sequence[Column], taken: Sequence[Column]) -> Said:
    """The best other crew or start of the same job, and the difference."""
    others = [c for c in columns if c.job_id == column.job_id and c is not column]
    if not others:
        return Said("only_way", "No other crew and start is possible.")
    best = max(others, key=lambda c: (c.net_usd, -c.start.timestamp(), -c.crew_id))
    names = {crew.crew_id: crew.name for crew in problem.crews}
    day = best.first_day.isoformat()
    params: dict[str, str | float | None] = {
        "crew": names.get(best.crew_id, ""),
        "crew_id": float(best.crew_id),
        "day": day,
        "usd": float(column.net_usd - best.net_usd),
    }
    where = f"{params['crew']} from {day}"
    if best.net_usd <= column.net_usd:
        term = max(column.cost, key=lambda t: best.cost[t] - column.cost[t])
        params["term"] = term
        more = column.net_usd - best.net_usd
        words = f"{more} USD less (most of it {TERM_WORDS[term]})" if more else "as good"
        return Said("runner_up", f"Next best: {where}, {words}.", params)
    blocker = _blocker(problem, best, taken, column)
    params["blocked_by"] = blocker
    return Said("better_taken", f"{where} would bring {best.net_usd - column.net_usd} USD more, but {blocker}.", params)


def _blocker(problem: PlanProblem, wanted: Column, taken: Sequence[Column], instead_of: Column | None) -> str:
    """What stands in the way of a column, in words."""
    capacity, names = problem.capacity, {job.job_id: job.name for job in problem.jobs}
    others = [c for c in taken if c is not instead_of]
    halves = set(wanted.half_days)
    in_the_way = sorted({c.job_id for c in others if halves & set(c.half_days)})
    if in_the_way:
        return f"the crew is on {', '.join(names.get(job, str(job)) for job in in_the_way)} then"
    drops = sum(c.drops for c in others if c.first_day == wanted.first_day)
    if drops + wanted.drops > capacity.drops(wanted.first_day):
        return f"one more drop on {wanted.first_day.isoformat()} would be needed"
    dumpsters = sum(c.dumpsters for c in others if c.first_day == wanted.first_day)
    if dumpsters + wanted.dumpsters > capacity.dumpsters(wanted.first_day):
        return f"one more dumpster on {wanted.first_day.isoformat()} would be needed"
    return "the whole plan is better this way"


def unscheduled_of(
    problem: PlanProblem, found: ColumnSet, pins: PinCheck, taken: Sequence[Column]
) -> tuple[Unscheduled, ...]:
    """Every job that is left out, with the one reason that matters most."""
    planned = {column.job_id for column in taken}
    of_job: dict[int, list[Column]] = {}
    for column in pins.columns:
        of_job.setdefault(column.job_id, []).append(column)
    out = []
    for job in problem.jobs:
        if job.job_id in planned:
            continue
        if job.job_id in pins.dropped:
            reason = pins.dropped[job.job_id]
        elif job.job_id not in of_job:
            reason = _no_column(found, job.job_id)
        else:
            reason = _not_chosen(problem, of_job[job.job_id], taken)
        out.append(Unscheduled(job.job_id, reason))
    return tuple(out)


def _no_column(found: ColumnSet, job_id: int) -> Said:
    """Why no crew and start is possible at all: the commonest reason."""
    counts = found.ruled_out.get(job_id, {})
    if not counts:
        return Said("no_crew_days", "No crew works within the days of the plan.")
    code, n = max(counts.items(), key=lambda item: (item[1], item[0]))
    return Said(code, f"Not possible: {WHY_RULED_OUT[code].format(n=n)}.", {"count": float(n)})


def _not_chosen(problem: PlanProblem, columns: Sequence[Column], taken: Sequence[Column]) -> Said:
    """Why no column of a job was chosen: not worth it, or what stands in the way of its best one."""
    best = max(columns, key=lambda c: (c.net_usd, -c.start.timestamp(), -c.crew_id))
    if best.net_usd <= 0:
        return Said(
            "not_worth",
            f"Its best place would cost {-best.net_usd} USD more than it brings.",
            {"usd": float(best.net_usd)},
        )
    free = [c for c in columns if not _meets(c, taken)]
    if free:
        wanted = max(free, key=lambda c: (c.net_usd, -c.start.timestamp(), -c.crew_id))
        blocker = _blocker(problem, wanted, taken, None)
        return Said(
            "no_capacity",
            f"A crew is free, but {blocker}.",
            {"blocked_by": blocker, "day": wanted.first_day.isoformat()},
        )
    busy: Counter[int] = Counter()
    for column in columns:
        busy.update({c.job_id for c in taken if set(c.half_days) & set(column.half_days)})
    job, _ = max(busy.items(), key=lambda item: (item[1], -item[0]))
    names = {j.job_id: j.name for j in problem.jobs}
    return Said(
        "crews_full",
        f"Every crew that may do it is busy within the plan's days; most often with {names.get(job, job)}.",
        {"with": names.get(job, str(job)), "usd": float(best.net_usd)},
    )


def _meets(column: Column, taken: Sequence[Column]) -> bool:
    """Whether a column shares a half-day with one that is taken."""
    halves: set[HalfDay] = set(column.half_days)
    return any(halves & set(c.half_days) for c in taken)
