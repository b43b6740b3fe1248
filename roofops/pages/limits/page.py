"""What the page of company limits prints: each limit with its unit, source note, who set it, and its form."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l
from django.utils.translation import ngettext

from roofops.pages.wording import formats
from weather.limit_table import LimitSpec
from weather.limits import DEFAULTS, Limits
from weather.models import WorkLimit

SHARES = ("chance", "share")
PERCENT = 100.0
GROUP_ORDER = ("rain", "wind", "thunder", "labor", "temperature", "cold", "moisture", "forecast")


class LimitForm(forms.Form):
    """A new value of one limit, and why."""

    value = forms.FloatField(label=_l("New value"))
    reason = forms.CharField(label=_l("Reason"), max_length=200, required=False)

    def __init__(self, *args: Any, key: str, in_force: float | None = None, **kwargs: Any) -> None:
        kwargs["prefix"] = key
        self.spec = spec = DEFAULTS[key]
        # Shares are read as percent and so typed as percent.
        self.factor = PERCENT if spec.unit in SHARES else 1.0
        if in_force is not None:
            kwargs["initial"] = {"value": number(in_force * self.factor)}
        super().__init__(*args, **kwargs)
        value = self.fields["value"]
        value.help_text = self._range()
        value.widget = forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"})
        wrong = _("Enter a number.")
        value.error_messages |= {"required": wrong, "invalid": wrong}
        if spec.is_safety:
            self.fields["reason"].help_text = _("Needed to loosen it: people or houses depend on it.")

    def clean_value(self) -> float:
        """Return the value in the limit's own unit; refuse what lies outside its range."""
        value: float = self.cleaned_data["value"] / self.factor
        if not self.spec.lowest <= value <= self.spec.highest:
            raise ValidationError(_("Enter %(range)s.") % {"range": self._range()})
        return value

    def _range(self) -> str:
        low, high = number(self.spec.lowest * self.factor), number(self.spec.highest * self.factor)
        unit = "%" if self.factor != 1.0 else unit_word(self.spec.unit)
        return _("%(low)s to %(high)s %(unit)s") % {"low": low, "high": high, "unit": unit}


@dataclass(frozen=True)
class LimitLine:
    """One limit."""

    key: str
    label: str
    value: str
    default: str  # empty where the company changed nothing
    safety: bool
    source: str
    set_by: str
    form: LimitForm
    open: bool


@dataclass(frozen=True)
class LimitGroup:
    """Limits that belong together."""

    name: str
    lines: tuple[LimitLine, ...]


@dataclass(frozen=True)
class LimitsPage:
    """The whole page."""

    headline: str
    groups: tuple[LimitGroup, ...]


def limits_page(
    values: dict[str, float], rows: Iterable[WorkLimit], zone: str, refused: tuple[str, LimitForm] | None = None
) -> LimitsPage:
    """Return the page; values: what the company set; rows: who set it, newest first; refused: a form with errors."""
    in_force = Limits.from_values(values).as_dict()
    newest: dict[str, WorkLimit] = {}
    for row in rows:
        newest.setdefault(row.key, row)
    groups: dict[str, list[LimitLine]] = {}
    for key, spec in DEFAULTS.items():
        form = refused[1] if refused and refused[0] == key else LimitForm(key=key, in_force=in_force[key])
        line = _line(key, spec, in_force[key], newest.get(key), zone, form, is_open=bool(refused and refused[0] == key))
        groups.setdefault(spec.group, []).append(line)
    changed = len(Limits.from_values(values).changed())
    ordered = sorted(groups, key=lambda name: (GROUP_ORDER.index(name) if name in GROUP_ORDER else 99, name))
    return LimitsPage(
        headline=_headline(len(DEFAULTS), changed),
        groups=tuple(LimitGroup(group_word(name), tuple(groups[name])) for name in ordered),
    )


def _headline(total: int, changed: int) -> str:
    if not changed:
        return _("%(n)s limits, all as they came.") % {"n": total}
    return ngettext(
        "%(n)s limits, %(changed)s set by the company.", "%(n)s limits, %(changed)s set by the company.", changed
    ) % {"n": total, "changed": changed}


def _line(
    key: str, spec: LimitSpec, value: float, row: WorkLimit | None, zone: str, form: LimitForm, *, is_open: bool
) -> LimitLine:
    changed = abs(value - spec.value) > 1e-9
    return LimitLine(
        key=key,
        label=_(spec.label),
        value=value_words(value, spec.unit),
        default=value_words(spec.value, spec.unit) if changed else "",
        safety=spec.is_safety,
        source=spec.source_note,
        set_by=_set_by(row, zone) if row else "",
        form=form,
        open=is_open,
    )


def _set_by(row: WorkLimit, zone: str) -> str:
    local = formats.local(row.set_at, zone)
    who = (row.set_by.get_full_name() or row.set_by.get_username()) if row.set_by else _("roofops")
    words = {"day": formats.day(local.date()), "who": who, "reason": row.reason}
    return _("%(day)s, %(who)s: %(reason)s") % words if row.reason else _("%(day)s, %(who)s") % words


def value_words(value: float, unit: str) -> str:
    """Return a limit with its unit, shares in percent."""
    if unit in SHARES:
        return formats.share(value)
    return f"{number(value)}{formats.NBSP}{unit_word(unit)}"


def number(value: float) -> str:
    """Return a number without needless zeros."""
    return f"{value:g}"


def unit_word(unit: str) -> str:
    """Return a unit as the screen writes it."""
    words = {"degF": "°F", "F": "°F", "squares": "sq"}
    return words.get(unit, unit)


def group_word(group: str) -> str:
    """Return the heading of a group."""
    words = {
        "rain": _("Rain"),
        "wind": _("Wind"),
        "thunder": _("Thunder"),
        "labor": _("Crew and day"),
        "temperature": _("Cold and heat"),
        "moisture": _("Wet roofs"),
        "forecast": _("Age of the forecast"),
    }
    return words.get(group, group.replace("_", " ").capitalize())
