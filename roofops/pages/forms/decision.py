"""What a manager types for a roof's day: a tighter limit, a reason to hold or to release."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from crews.boards.key_line import KeyLine
from roofops.pages.wording.formats import figure

REASON_LENGTH = 200


class _DecisionForm(forms.Form):
    """A form of one row: its fields carry ids of their own, and point at their error and range."""

    reason = forms.CharField(
        label=gettext_lazy("Reason"),
        max_length=REASON_LENGTH,
        error_messages={"required": gettext_lazy("Say why, in a few words; the crew sees it.")},
    )

    def __init__(self, *args: Any, job_id: int, **kwargs: Any) -> None:
        kwargs.setdefault("auto_id", f"{self.kind}{job_id}_%s")
        super().__init__(*args, **kwargs)

    kind = ""


class LimitForm(_DecisionForm):
    """The office's own, tighter limits for today; they take only less than what holds."""

    kind = "limit"
    squares = forms.FloatField(label=gettext_lazy("Your limit, in all today"), min_value=0)
    at_once = forms.FloatField(label=gettext_lazy("Bare at once"), min_value=0, required=False)
    field_order = ("squares", "at_once", "reason")

    def __init__(self, *args: Any, line: KeyLine, job_id: int, **kwargs: Any) -> None:
        super().__init__(*args, job_id=job_id, **kwargs)
        self.most = round(line.in_all_today_squares, 1)
        self.most_at_once = round(line.bare_at_once_squares, 1)
        bare = round(line.bare_now_squares, 1)
        words = {"bare": figure(bare), "most": figure(self.most), "once": figure(self.most_at_once)}
        self._describe("squares", self.most, words)
        self._describe("at_once", self.most_at_once, {**words, "most": words["once"]})
        if bare:
            self.fields["squares"].help_text = _("%(bare)s to %(most)s: %(bare)s are bare already.") % words

    def _describe(self, name: str, most: float, words: dict[str, str]) -> None:
        field = self.fields[name]
        field.widget.attrs |= {"step": "0.1", "inputmode": "decimal", "max": figure(most)}
        field.help_text = _("0 to %(most)s") % words
        number = _("Enter a number of squares, 0 to %(most)s.") % words
        field.error_messages |= {"required": number, "invalid": number, "min_value": number}

    def clean_squares(self) -> float:
        """Refuse what is more than the total in force."""
        return self._no_more("squares", self.most)

    def clean_at_once(self) -> float | None:
        """Refuse what is more than what may be bare at once now."""
        return None if self.cleaned_data["at_once"] is None else self._no_more("at_once", self.most_at_once)

    def _no_more(self, name: str, most: float) -> float:
        value = float(self.cleaned_data[name])
        if not value <= most:
            raise forms.ValidationError(
                _("Your limit may only be lower. Enter %(most)s or less."), params={"most": figure(most)}
            )
        return value


class HoldForm(_DecisionForm):
    """Stops opening until released; never stops covering."""

    kind = "hold"

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["reason"].label = _("Why is it held?")
        self.fields["reason"].help_text = _("Nothing more is opened until you release it. Covering goes on.")


class ReleaseForm(_DecisionForm):
    """Lifts the office's own hold and limits."""

    kind = "release"

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["reason"].label = _("Why may it go on?")
