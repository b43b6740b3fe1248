"""Fields whose range is checked by the kernels, so that a page and an import say the same."""

from collections.abc import Callable
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.text import format_lazy
from django.utils.translation import gettext_lazy as _

from jobs.importing.values import Reader
from jobs.job_data import check_time_zone
from jobs.roof_measure import check_length, check_not_negative, check_pitch


def name_what_is_missing(form: forms.BaseForm) -> None:
    """Let the error of each empty field that is needed say what to enter."""
    for field in form.fields.values():
        if field.required and field.label:
            label = str(field.label)
            what = label[:1].lower() + label[1:]
            words = _("Choose the {what}.") if isinstance(field, forms.ChoiceField) else _("Enter the {what}.")
            field.error_messages["required"] = format_lazy(words, what=what)


class CheckedFloat(forms.FloatField):
    """A number that a kernel check accepts; its ValueError becomes the field's error."""

    def __init__(self, check: Callable[[float], float], **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._check = check

    def clean(self, value: Any) -> float | None:
        number: float | None = super().clean(value)
        if number is None:
            return None
        try:
            return self._check(number)
        except ValueError as error:
            raise ValidationError(str(error)) from error


class ReadText(forms.CharField):
    """A text that an import reader understands, such as dates separated by spaces."""

    def __init__(self, reader: Reader, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._reader = reader

    def clean(self, value: Any) -> Any:
        typed = super().clean(value)
        if not typed:
            return typed
        try:
            return self._reader(typed)
        except ValueError as error:
            raise ValidationError(str(error)) from error


def pitch_field(**kwargs: Any) -> CheckedFloat:
    """A pitch, 0 to 24 in 12."""
    return CheckedFloat(check_pitch, label=_("Pitch, in 12"), **kwargs)


def length_field(label: Any, name: str, **kwargs: Any) -> CheckedFloat:
    """A length above zero [ft]; name is what the error calls it."""
    return CheckedFloat(lambda value: check_length(name, value), label=label, **kwargs)


def amount_field(label: Any, name: str, **kwargs: Any) -> CheckedFloat:
    """An amount that may be zero but not negative; name is what the error calls it."""
    return CheckedFloat(lambda value: check_not_negative(name, value), label=label, **kwargs)


def time_zone_field(**kwargs: Any) -> ReadText:
    """A time zone of the IANA database; empty means the yard's."""
    return ReadText(check_time_zone, label=_("Time zone"), required=False, max_length=64, **kwargs)
