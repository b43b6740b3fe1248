"""What a job is worth to a plan, where nothing better is known than its contract or its size."""

# Share of a contract that finishing brings in; labor is a cost of the plan itself, material is spent either way.
# High on purpose: a signed job is owed, and only crews that are busy may keep it out of a plan.
# Planning assumption, to be replaced by the company's own figure; no published source.
VALUE_SHARE = 0.85
# Value of a square where no contract sum is entered [USD per square]. Planning assumption; no published source.
VALUE_PER_SQUARE_USD = 450.0
# However small a signed job is, it is worth this much: more than a low priority and the way there count against it.
# Planning assumption; no published source.
LEAST_VALUE_USD = 1500.0
USUAL_PRIORITY = 2  # the middle of 0 to 3


def value_usd(contract_value_usd: float, squares: float) -> float:
    """What finishing a job brings before labor [USD], never less than what any signed job is worth.

    Raises ValueError for a negative contract or no squares.
    """
    if contract_value_usd < 0 or not squares > 0:
        raise ValueError("A job's value needs a contract of 0 or more and squares above 0.")
    value = contract_value_usd * VALUE_SHARE if contract_value_usd else squares * VALUE_PER_SQUARE_USD
    return max(value, LEAST_VALUE_USD)


def priority_steps(priority: int) -> int:
    """Steps above (below) the usual: a job of priority 3 is one above."""
    return priority - USUAL_PRIORITY
