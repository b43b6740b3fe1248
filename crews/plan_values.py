"""What a job is worth to a plan, where nothing better is known than its contract or its size."""

# Share of a contract that is left after material, container and permit; labor is a cost of the plan itself.
# Planning assumption, to be replaced by the company's own figure; no published source.
VALUE_SHARE = 0.55
# Value of a square where no contract sum is entered [USD per square]. Planning assumption; no published source.
VALUE_PER_SQUARE_USD = 330.0
USUAL_PRIORITY = 2  # the middle of 0 to 3


def value_usd(contract_value_usd: float, squares: float) -> float:
    """What finishing a job brings before labor [USD].

    Raises ValueError for a negative contract or no squares.
    """
    if contract_value_usd < 0 or not squares > 0:
        raise ValueError("A job's value needs a contract of 0 or more and squares above 0.")
    return contract_value_usd * VALUE_SHARE if contract_value_usd else squares * VALUE_PER_SQUARE_USD


def priority_steps(priority: int) -> int:
    """Steps above (below) the usual: a job of priority 3 is one above."""
    return priority - USUAL_PRIORITY
