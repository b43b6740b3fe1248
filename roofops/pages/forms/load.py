"""What was agreed about a load on the phone: a time, a note."""

from datetime import UTC, date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

NEEDS_TIME = ("ask_time", "moved")
NEEDS_NOTE = ("short", "refused")


class LoadForm(forms.Form):
    """Time in the yard's wall clock on the day shown, and a note."""

    time = forms.TimeField(
        label=_l("Time"),
        required=False,
        widget=forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
        error_messages={"invalid": _l("Enter a time, such as 13:30.")},
    )
    note = forms.CharField(label=_l("What was said"), max_length=200, required=False)

    def __init__(self, *args: Any, act: str = "", **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.act = act

    def clean(self) -> dict[str, Any]:
        """Ask for what the chosen button needs."""
        data = super().clean() or {}
        if self.act in NEEDS_TIME and not data.get("time") and "time" not in self.errors:
            self.add_error("time", _("Enter the time that was agreed."))
        if self.act in NEEDS_NOTE and not data.get("note"):
            self.add_error("note", _("Say in a few words what is missing or why."))
        return data

    def moment(self, day: date, zone: str) -> datetime | None:
        """Return the time on a day in UTC; None where none was given."""
        at = self.cleaned_data.get("time")
        return None if at is None else datetime.combine(day, at, tzinfo=ZoneInfo(zone)).astimezone(UTC)
