"""What a crew reports from a roof. Shape and range only: an amount is never refused for being more than measured."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from jobs.models import Edge, PhotoKind, Section

BIG_NUMBER = 10_000
SQUARE_CHOICES = (
    ("torn_off", _l("torn off")),
    ("dried_in", _l("dried-in")),
    ("shingled", _l("shingled")),
)
RIDGE_CHOICES = (("ridge_opened", _l("slot opened")), ("ridge_finished", _l("finished")))
PROBLEMS = (
    ("need_help", _l("need help to close")),
    ("hurt", _l("somebody is hurt")),
    ("water", _l("water in the house")),
    ("rotten_deck", _l("rotten deck")),
    ("load_short", _l("load short")),
    ("other", _l("something else")),
)


def _number(unit: str) -> forms.TextInput:
    return forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off", "unit": unit})


class SmallNumber(forms.FloatField):
    """A number typed with gloves on: a comma counts as a point, nan and infinity are no numbers."""

    def __init__(self, unit: str, **kwargs: Any) -> None:
        words = _l("Enter a number, such as 4.5.")
        super().__init__(
            min_value=0,
            max_value=BIG_NUMBER,
            widget=_number(unit),
            error_messages={"required": words, "invalid": words, "min_value": _l("The number cannot be below 0.")},
            **kwargs,
        )

    def to_python(self, value: Any) -> Any:
        """Read `4,5` like `4.5`."""
        return super().to_python(value.replace(",", ".") if isinstance(value, str) else value)


class ReportForm(forms.Form):
    """One report; each kind below has its own fields."""

    heading = ""

    def __init__(self, *args: Any, sections: list[Section], edges: list[Edge], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.sections = {row.pk: row for row in sections}
        self.edges = {row.pk: row for row in edges}


class SquaresForm(ReportForm):
    """Squares done so far on one slope, or feet of a ridge."""

    place = forms.ChoiceField(label=_l("Where"), widget=forms.RadioSelect)
    kind = forms.ChoiceField(
        label=_l("What is done"), choices=(*SQUARE_CHOICES, *RIDGE_CHOICES), widget=forms.RadioSelect
    )
    amount = SmallNumber("", label=_l("So far in all, squares or feet"))

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        slopes = [(f"s{row.pk}", _slope_words(row)) for row in self.sections.values()]
        ridges = [(f"e{row.pk}", _ridge_words(row)) for row in self.edges.values()]
        self._field("place").choices = [*slopes, *ridges]
        if not ridges:
            self._field("kind").choices = list(SQUARE_CHOICES)
        self.fields["place"].error_messages["required"] = _("Choose where.")
        self.fields["kind"].error_messages["required"] = _("Choose what is done.")

    def _field(self, name: str) -> forms.ChoiceField:
        field = self.fields[name]
        if not isinstance(field, forms.ChoiceField):
            raise TypeError(f"{name} is no choice.")
        return field

    def clean(self) -> dict[str, Any]:
        """Refuse feet on a slope and squares on a ridge."""
        data = super().clean() or {}
        place, kind = data.get("place"), data.get("kind")
        if place and kind and place.startswith("e") != kind.startswith("ridge"):
            on_ridge = place.startswith("e")
            self.add_error(
                "kind",
                _("A ridge is opened or finished.") if on_ridge else _("A slope is torn off, dried-in or shingled."),
            )
        return data


class DriedInForm(ReportForm):
    """One slope on which nothing is bare any more, every side tied in."""

    place = forms.ChoiceField(label=_l("Which slope is closed, every side tied in?"), widget=forms.RadioSelect)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        bare = [row for row in self.sections.values() if row.bare_squares > 0]
        field = self.fields["place"]
        if isinstance(field, forms.ChoiceField):
            field.choices = [(f"s{row.pk}", _slope_words(row)) for row in (bare or self.sections.values())]
        field.error_messages["required"] = _("Choose the slope.")


class PeopleForm(ReportForm):
    """Who is really here."""

    amount = SmallNumber("", label=_l("How many people are on this roof now?"))


class NamedForm(ReportForm):
    """Somebody stands for it with name and photo."""

    by_name = forms.CharField(
        label=_l("Name"), max_length=80, widget=forms.TextInput(attrs={"autocomplete": "name"}),
        error_messages={"required": _l("Enter who looked.")},
    )  # fmt: skip
    photo = forms.FileField(
        label=_l("Photo"), required=False, widget=forms.FileInput(attrs={"accept": "image/*", "capture": "environment"})
    )
    no_photo = forms.BooleanField(label=_l("No photo can be taken"), required=False)
    note = forms.CharField(label=_l("Note"), max_length=200, required=False)

    def clean(self) -> dict[str, Any]:
        """Ask for the photo, or for the word that there is none."""
        data = super().clean() or {}
        if not data.get("photo") and not data.get("no_photo") and "photo" not in self.errors:
            self.add_error("photo", _("Take a photo, or tick that none can be taken."))
        return data


class ProblemForm(ReportForm):
    """Something is wrong."""

    problem = forms.ChoiceField(
        label=_l("What is it?"), choices=PROBLEMS, widget=forms.RadioSelect,
        error_messages={"required": _l("Choose what it is.")},
    )  # fmt: skip
    note = forms.CharField(
        label=_l("In a few words"), max_length=200, required=False, widget=forms.Textarea(attrs={"rows": 3})
    )
    photo = forms.FileField(
        label=_l("Photo"), required=False, widget=forms.FileInput(attrs={"accept": "image/*", "capture": "environment"})
    )


class PhotoForm(ReportForm):
    """A photo of the roof."""

    photo = forms.FileField(
        label=_l("Photo"), widget=forms.FileInput(attrs={"accept": "image/*", "capture": "environment"}),
        error_messages={"required": _l("Take or choose a photo.")},
    )  # fmt: skip
    kind = forms.ChoiceField(label=_l("What does it show?"), choices=PhotoKind.choices, initial=PhotoKind.OTHER)
    place = forms.ChoiceField(label=_l("Where"), required=False)
    note = forms.CharField(label=_l("Note"), max_length=200, required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["place"]
        if isinstance(field, forms.ChoiceField):
            field.choices = [("", _("the whole roof")), *((f"s{row.pk}", row.name) for row in self.sections.values())]


class SheetsForm(ReportForm):
    """Deck sheets replaced today."""

    amount = SmallNumber("", label=_l("Deck sheets replaced today, in all"))
    note = forms.CharField(label=_l("Where"), max_length=200, required=False)


class EmptyForm(ReportForm):
    """A report that needs no more than its tap."""


def _slope_words(row: Section) -> str:
    words = {"name": row.name, "squares": f"{row.squares:.1f}", "bare": f"{row.bare_squares:.1f}"}
    if row.bare_squares > 0:
        return _("%(name)s, %(squares)s sq, %(bare)s bare") % words
    return _("%(name)s, %(squares)s sq") % words


def _ridge_words(row: Edge) -> str:
    words = {"kind": row.get_kind_display(), "feet": f"{row.length_ft:.0f}"}
    return _("%(kind)s, %(feet)s ft") % words
