"""The phases of a re-roof and the states that a piece of roof passes through."""

from enum import StrEnum


class Phase(StrEnum):
    """One phase of the work, in the order in which a strip passes through it."""

    TEAR_OFF = "tear_off"
    DECK = "deck"
    ICE_BARRIER = "ice_barrier"
    UNDERLAYMENT = "underlayment"
    FIELD = "field"
    RIDGE = "ridge"


class RoofState(StrEnum):
    """What lies on a piece of roof now."""

    OLD = "old"
    BARE = "bare"
    TARPED = "tarped"
    DRIED_IN = "dried_in"
    SHINGLED = "shingled"


# Everything a bare strip still needs before rain may fall on it, in order.
CLOSING_PHASES = (Phase.DECK, Phase.ICE_BARRIER, Phase.UNDERLAYMENT)
OPENING_PHASES = (Phase.TEAR_OFF, *CLOSING_PHASES)
