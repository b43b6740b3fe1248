"""The inspector's window, in the job's wall time."""

from datetime import UTC, date, datetime, time
from typing import Any
from zoneinfo import ZoneInfo

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from jobs.forms.fields import name_what_is_missing


class InspectionForm(forms.Form):
    """Day, from and until."""

    day = forms.DateField(label=_l("Day"), widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"))
    from_time = forms.TimeField(label=_l("From"), widget=forms.TimeInput(attrs={"type": "time"}, format="%H:%M"))
    until_time = forms.TimeField(label=_l("Until"), widget=forms.TimeInput(attrs={"type": "time"}, format="%H:%M"))

    def __init__(self, *args: Any, zone: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.zone = ZoneInfo(zone)
        name_what_is_missing(self)

    def clean(self) -> dict[str, Any]:
        """Refuse a window that ends before it begins."""
        data = super().clean() or {}
        start, end = data.get("from_time"), data.get("until_time")
        if start is not None and end is not None and end <= start:
            self.add_error("until_time", _("The window must end after it begins. Enter a later time."))
        return data

    def window(self) -> tuple[datetime, datetime]:
        """Return start and end in UTC."""
        day: date = self.cleaned_data["day"]
        return self._moment(day, self.cleaned_data["from_time"]), self._moment(day, self.cleaned_data["until_time"])

    def _moment(self, day: date, at: time) -> datetime:
        return datetime.combine(day, at, tzinfo=self.zone).astimezone(UTC)
