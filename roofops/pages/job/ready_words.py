"""The words of the ready-to-build checklist, inspections and states that several pages share."""

from django.utils.translation import gettext as _


def ready_word(kind: str) -> str:
    """Return one line of the ready-to-build checklist in words."""
    words = {
        "permit": _("permit"),
        "product_color": _("product and color"),
        "payment": _("payment or insurer's approval"),
        "association": _("association's approval"),
        "homeowner_dates": _("homeowner's dates"),
        "things_off_roof": _("things taken off the roof"),
        "asbestos_test": _("asbestos test"),
        "measurement": _("measured roof"),
    }
    return words.get(kind, kind.replace("_", " "))


def inspection_word(kind: str) -> str:
    """Return a kind of inspection in words."""
    words = {
        "pre": _("Before tear-off"),
        "deck": _("Deck"),
        "ice_barrier": _("Ice barrier"),
        "final": _("Final"),
    }
    return words.get(kind, kind.replace("_", " "))


def inspection_state(state: str) -> str:
    """Return how an inspection stands."""
    words = {"to_call": _("to call"), "booked": _("waits"), "passed": _("passed"), "failed": _("failed")}
    return words.get(state, state)


def area_state(state: str) -> str:
    """Return what lies on a slope in one word."""
    words = {
        "old": _("old"),
        "bare": _("bare"),
        "tarped": _("tarped"),
        "dried_in": _("dried-in"),
        "shingled": _("shingled"),
    }
    return words.get(state, state)
