"""Run lengths of slot rows, so that 'allowed until' and 'allowed again from' are one look-up each."""

from collections.abc import Sequence

NEVER = 10**9  # a minute that no walk reaches


def allowed_ends(row: Sequence[bool], slot_minutes: int) -> list[int]:
    """Per slot the minute at which its allowed stretch ends (its own beginning when it is not allowed)."""
    ends = [0] * len(row)
    end = len(row) * slot_minutes
    for slot in range(len(row) - 1, -1, -1):
        if not row[slot]:
            end = slot * slot_minutes
        ends[slot] = end
    return ends


def next_starts(row: Sequence[bool], slot_minutes: int) -> list[int]:
    """Per slot the first minute from it on that is allowed."""
    firsts = [NEVER] * len(row)
    first = NEVER
    for slot in range(len(row) - 1, -1, -1):
        if row[slot]:
            first = slot * slot_minutes
        firsts[slot] = first
    return firsts
