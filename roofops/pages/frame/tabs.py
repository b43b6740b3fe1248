"""Which tabs a person sees: the pages that exist, by role, in their fixed order."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.urls import NoReverseMatch, reverse
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from roofops.record.access import Role

OFFICE = (Role.MANAGER, Role.DISPATCHER)


@dataclass(frozen=True)
class _Page:
    url_name: str
    label: str | Promise
    roles: tuple[Role, ...]
    also: tuple[str, ...] = ()  # addresses below this tab
    on_phone_bar: bool = False


PAGES = (
    _Page("today", _("Today"), OFFICE, on_phone_bar=True),
    _Page("tomorrow", _("Tomorrow"), OFFICE, on_phone_bar=True),
    _Page("plan", _("Plan"), OFFICE, on_phone_bar=True),
    _Page("job_list", _("Jobs"), OFFICE, also=("job", "job_new", "job_import", "job_edit"), on_phone_bar=True),
    _Page("deliveries", _("Deliveries"), OFFICE, on_phone_bar=True),
    _Page("crews", _("Crews and rates"), OFFICE),
    _Page("limits", _("Limits"), (Role.MANAGER,)),
    _Page("my_sheet", _("Day sheet"), (Role.CREW_LEAD,), also=("day_sheet",), on_phone_bar=True),
)


@dataclass(frozen=True)
class Tab:
    """One tab as the template draws it."""

    url: str
    label: str | Promise
    current: bool
    on_phone_bar: bool


def tabs_for(roles: Iterable[Role], url_name: str | None) -> tuple[Tab, ...]:
    """Return the tabs that somebody with these roles may open; a page without an address has none."""
    held = frozenset(roles)
    tabs = []
    for page in PAGES:
        if not held.intersection(page.roles):
            continue
        try:
            url = reverse(page.url_name)
        except NoReverseMatch:
            continue
        current = (
            url_name == page.url_name
            or url_name in page.also
            or bool(url_name and url_name.startswith(page.url_name + "_"))
        )
        tabs.append(Tab(url=url, label=page.label, current=current, on_phone_bar=page.on_phone_bar))
    return tuple(tabs)
