"""Units of counted things, in the plural where there are more of them."""

from django.utils.translation import gettext as _

from roofops.pages.wording.formats import NBSP

# Never counted in words: measures, and what needs none.
MEASURES = ("ft", "sq", "lb", "in", "sq ft", "yd")


def plural_unit(unit: str) -> str:
    """Return a counting unit in the plural; a measure stays as it is, 'each' needs no word."""
    words = {
        "bundle": _("bundles"),
        "roll": _("rolls"),
        "piece": _("pieces"),
        "stick": _("pieces"),
        "box": _("boxes"),
        "sheet": _("sheets"),
        "section": _("sections"),
        "nail": _("nails"),
        "hundred": _("hundred"),
        "thousand": _("thousand"),
        "each": "",
    }
    return words.get(unit, unit)


def single_unit(unit: str) -> str:
    """Return a counting unit for one."""
    return {"stick": _("piece"), "each": ""}.get(unit, unit)


def counted(value: str, unit: str, *, one: bool) -> str:
    """Return `81 bundles`, `1 box`, `154 ft`."""
    word = unit if unit in MEASURES else (single_unit(unit) if one else plural_unit(unit))
    return f"{value}{NBSP}{word}" if word else value
