"""What a manager types for a roof's day: a tighter limit, or a reason to hold."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from crews.key_line import KeyLine
from roofops.pages.formats import figure


class _DecisionForm(forms.Form):
    """A form of one row: its fields carry ids of their own, and point at their error and range."""

    def __init__(self, *args: Any, decision_id: int | None = None, **kwargs: Any) -> None:
        kwargs.setdefault("auto_id", f"d{decision_id}_%s")
        super().__init__(*args, **kwargs)


class LimitForm(_DecisionForm):
    """The office's own, tighter total for today; it takes only less than what holds."""

    squares = forms.FloatField(label=gettext_lazy("Your limit, in all today"), min_value=0)
    reason = forms.CharField(label=gettext_lazy("Reason"), max_length=200, required=False)

    def __init__(self, *args: Any, line: KeyLine, decision_id: int | None = None, **kwargs: Any) -> None:
        super().__init__(*args, decision_id=decision_id, **kwargs)
        self.most = round(line.in_all_today_squares, 1)
        self.bare_now = round(line.bare_now_squares, 1)
        squares = self.fields["squares"]
        squares.widget.attrs |= {"step": "0.1", "inputmode": "decimal", "max": figure(self.most)}
        words = {"bare": figure(self.bare_now), "most": figure(self.most)}
        squares.help_text = (
            _("%(bare)s to %(most)s: %(bare)s are bare already.") % words
            if self.bare_now
            else _("0 to %(most)s") % words
        )
        number = _("Enter a number of squares, 0 to %(most)s.") % words
        squares.error_messages |= {"required": number, "invalid": number}

    def clean_squares(self) -> float:
        """Refuse what is not less; nan and infinity are no numbers here."""
        value = float(self.cleaned_data["squares"])
        if not value <= self.most:
            raise forms.ValidationError(
                _("Your limit may only be lower. Enter %(most)s or less."), params={"most": figure(self.most)}
            )
        return value


class HoldForm(_DecisionForm):
    """Stops opening until released; never stops covering."""

    reason = forms.CharField(
        label=gettext_lazy("Why is it held?"),
        max_length=200,
        help_text=gettext_lazy("Nothing more is opened until you release it. Covering goes on."),
        error_messages={"required": gettext_lazy("Say why, in a few words; the crew sees it.")},
    )
