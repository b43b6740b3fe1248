"""Template tags of the sheet: tabs, theme, and the ways amounts and moments are written."""

from datetime import date, datetime
from typing import Any

from django import template
from django.http import HttpRequest
from django.template import Context

from roofops.access.requests import access_for
from roofops.pages.frame.tabs import Tab, tabs_for
from roofops.pages.wording import formats
from roofops.record.access import Access

register = template.Library()

THEMES = ("light", "dark")
THEME_COOKIE = "roofops-theme"


@register.simple_tag(takes_context=True)
def theme(context: Context) -> str:
    """Return the stored choice of light or dark, else the page's own start, else nothing: the system decides."""
    request = context.get("request")
    chosen = request.COOKIES.get(THEME_COOKIE, "") if request is not None else ""
    return chosen if chosen in THEMES else str(context.get("theme_default", ""))


@register.simple_tag(takes_context=True)
def tabs(context: Context) -> tuple[Tab, ...]:
    """Return the tabs of the person who asks; none before signing in."""
    request: HttpRequest | None = context.get("request")
    access = _access(request)
    if request is None or access is None or access.user is None:
        return ()
    match = request.resolver_match
    return tabs_for(access.role_by_yard.values(), match.url_name if match else None)


@register.simple_tag(takes_context=True)
def role_names(context: Context) -> str:
    """Return the names of the roles that the person holds, for the menu."""
    from roofops.access.models import ROLE_NAMES

    access = _access(context.get("request"))
    if access is None:
        return ""
    held = set(access.role_by_yard.values())
    return ", ".join(str(name) for role, name in ROLE_NAMES if role in held)


def _access(request: HttpRequest | None) -> Access | None:
    return access_for(request) if request is not None and hasattr(request, "access") else None


@register.filter
def clock(moment: datetime | None, zone: str) -> str:
    """Write a moment as `1:30 pm` in a zone."""
    return formats.clock(moment, zone) if moment else ""


@register.filter
def clock_short(moment: datetime | None, zone: str) -> str:
    """Write a moment as `9:06` in a zone."""
    return formats.clock_short(moment, zone) if moment else ""


@register.filter
def day(value: date | None) -> str:
    """Write a day as `Tue, Oct 13`."""
    return formats.day(value) if value else ""


@register.filter
def day_short(value: date | None) -> str:
    """Write a day as `Thu 15`."""
    return formats.day_short(value) if value else ""


@register.filter
def figure(value: Any) -> str:
    """Write an amount as `9.8` or `5`; nothing for an unknown one."""
    return "" if value is None else formats.figure(float(value))


@register.filter
def squares(value: Any) -> str:
    """Write squares as `9.8 sq`."""
    return "" if value is None else formats.amount(float(value), "sq")


@register.filter
def measured_squares(value: Any) -> str:
    """Write measured squares as `22.0 sq`."""
    return "" if value is None else formats.measured(float(value), "sq")


@register.filter
def feet(value: Any) -> str:
    """Write feet as `154 ft`."""
    return "" if value is None else f"{float(value):.0f}{formats.NBSP}ft"


@register.filter
def share(value: Any) -> str:
    """Write a share as `70 %`."""
    return "" if value is None else formats.share(float(value))


@register.filter
def pitch(value: Any) -> str:
    """Write a pitch as `6/12`."""
    return "" if value is None else formats.pitch(float(value))


@register.filter
def people(value: Any) -> str:
    """Write a crew's size as `5 people`."""
    return "" if value is None else formats.people(float(value))
