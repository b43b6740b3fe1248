"""The roof as a form: a simple shape from lengths and pitch, or plain quantities."""

from typing import Any, cast

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from jobs.forms.fields import amount_field, length_field, pitch_field
from jobs.models import EdgeKind as EdgeKindChoices
from jobs.roof_data import DetailData, EdgeData, SectionData, plain_section
from jobs.roof_measure import DetailKind, EdgeKind
from jobs.roof_shape import RoofShape, ell, gable, hip, shed, tee

SHAPES = (
    ("gable", _("gable")),
    ("hip", _("hip")),
    ("shed", _("shed, one slope")),
    ("ell", _("L, gable with a wing at one end")),
    ("tee", _("T, gable with a wing in the middle")),
)
WITH_WING = ("ell", "tee")
FRONTS = (
    (180, _("south")),
    (225, _("southwest")),
    (270, _("west")),
    (315, _("northwest")),
    (0, _("north")),
    (45, _("northeast")),
    (90, _("east")),
    (135, _("southeast")),
)
INCHES_PER_FOOT = 12.0


class ShapeForm(forms.Form):
    """A roof of a simple shape: lengths outside of the walls, pitch, overhangs."""

    shape = forms.ChoiceField(choices=SHAPES, label=_("Shape"))
    length_ft = length_field(_("Length of the house, ft"), "house length")
    width_ft = length_field(_("Depth of the house, ft"), "house width")
    pitch_in_12 = pitch_field()
    rake_overhang_in = amount_field(_("Rake overhang, in"), "rake overhang", initial=12)
    front_deg = forms.TypedChoiceField(coerce=float, choices=FRONTS, initial=180, label=_("The front faces"))
    wing_width_ft = length_field(_("Width of the wing, ft"), "width of the wing", required=False)
    wing_projection_ft = length_field(_("The wing stands out by, ft"), "projection of the wing", required=False)
    wing_offset_ft = amount_field(_("From the left end to the wing, ft"), "offset of the wing", required=False)
    wing_name = forms.CharField(max_length=30, required=False, initial="garage", label=_("The wing is called"))
    vented_ridge = forms.BooleanField(required=False, initial=True, label=_("Ridge vent"))

    def clean(self) -> dict[str, Any] | None:
        cleaned = super().clean()
        if self.cleaned_data.get("shape") in WITH_WING:
            for name in ("wing_width_ft", "wing_projection_ft"):
                if name not in self.errors and not self.cleaned_data.get(name):
                    self.add_error(name, _("An L or T needs this length of its wing."))
        return cleaned

    def roof_shape(self, eave_overhang_in: float) -> RoofShape:
        """Return the shape that was entered.

        Raises ValidationError in the kernel's words where the lengths make no roof.
        """
        try:
            return self._built(eave_overhang_in / INCHES_PER_FOOT)
        except ValueError as error:
            raise ValidationError(str(error)) from error

    def _built(self, eave_ft: float) -> RoofShape:
        given = self.cleaned_data
        rake_ft = given["rake_overhang_in"] / INCHES_PER_FOOT
        house = (given["length_ft"], given["width_ft"])
        pitch, front, vented = given["pitch_in_12"], given["front_deg"], given["vented_ridge"]
        if given["shape"] == "hip":
            return hip(*house, pitch, eave_overhang_ft=eave_ft, front_deg=front, vented_ridge=vented)
        overhangs = {"eave_overhang_ft": eave_ft, "rake_overhang_ft": rake_ft, "front_deg": front}
        if given["shape"] == "gable":
            return gable(*house, pitch, vented_ridge=vented, **overhangs)
        if given["shape"] == "shed":
            return shed(*house, pitch, **overhangs)
        wing = (given["wing_width_ft"], given["wing_projection_ft"])
        name = given["wing_name"] or "wing"
        if given["shape"] == "tee":
            return tee(*house, *wing, pitch, wing_name=name, vented_ridges=vented, **overhangs)
        offset = given["wing_offset_ft"] or 0.0
        return ell(*house, *wing, pitch, wing_offset_ft=offset, wing_name=name, vented_ridges=vented, **overhangs)


class SectionForm(forms.Form):
    """One slope of a measurement sheet: its squares, or eave and horizontal run."""

    name = forms.CharField(max_length=60, label=_("Slope"), help_text=_("By the side of the house: front slope"))
    pitch_in_12 = pitch_field()
    squares = amount_field(_("Squares"), "area", required=False)
    eave_ft = amount_field(_("Eave, ft"), "eave", required=False)
    run_plan_ft = amount_field(_("Run in plan, ft"), "run", required=False)

    def clean(self) -> dict[str, Any] | None:
        cleaned = super().clean()
        if self.has_changed() and not self.errors:
            try:
                self.section = self._section()
            except ValueError as error:
                raise ValidationError(str(error)) from error
        return cleaned

    def _section(self) -> SectionData:
        given = self.cleaned_data
        return plain_section(
            given["name"],
            given["pitch_in_12"],
            squares=given["squares"],
            eave_ft=given["eave_ft"] or 0.0,
            run_plan_ft=given["run_plan_ft"] or 0.0,
        )


class EdgeForm(forms.Form):
    """Feet of one kind of edge, run by run."""

    kind = forms.ChoiceField(choices=EdgeKindChoices.choices, label=_("Edge"))
    length_ft = length_field(_("Feet"), "edge")
    section = forms.CharField(max_length=60, required=False, label=_("At slope"))
    other_section = forms.CharField(max_length=60, required=False, label=_("And slope"))
    vented = forms.BooleanField(required=False, label=_("Ridge vent"))

    def clean(self) -> dict[str, Any] | None:
        cleaned = super().clean()
        if self.has_changed() and not self.errors:
            given = self.cleaned_data
            try:
                self.edge = EdgeData(
                    EdgeKind(given["kind"]),
                    given["length_ft"],
                    given["section"] or None,
                    given["other_section"] or None,
                    given["vented"],
                )
            except ValueError as error:
                raise ValidationError(str(error)) from error
        return cleaned


class BaseSectionFormSet(forms.BaseFormSet):
    """The slopes of a measurement sheet; at least one, each with a name of its own."""

    def clean(self) -> None:
        if any(self.errors):
            return
        names = [section.name for section in self.sections()]
        if not names:
            raise ValidationError(_("A job needs at least one roof section."))
        for name in names:
            if names.count(name) > 1:
                raise ValidationError(
                    _("Two slopes are named “%(name)s”; name each by its side of the house."), params={"name": name}
                )

    def sections(self) -> tuple[SectionData, ...]:
        """The slopes that were filled in."""
        return tuple(form.section for form in self.forms if hasattr(form, "section"))


class BaseEdgeFormSet(forms.BaseFormSet):
    """The edges of a measurement sheet; may be empty."""

    def edges(self) -> tuple[EdgeData, ...]:
        """The edges that were filled in."""
        return tuple(form.edge for form in self.forms if hasattr(form, "edge"))


SectionFormSet = cast(
    type[BaseSectionFormSet],
    forms.formset_factory(SectionForm, formset=BaseSectionFormSet, extra=4, max_num=60, validate_max=True),
)
EdgeFormSet = cast(
    type[BaseEdgeFormSet],
    forms.formset_factory(EdgeForm, formset=BaseEdgeFormSet, extra=6, max_num=200, validate_max=True),
)


class DetailsForm(forms.Form):
    """What sticks out of the roof, counted; shared out over the slopes by area."""

    pipe_boots = forms.IntegerField(min_value=0, max_value=1000, required=False, label=_("Pipe boots"))
    chimneys = forms.IntegerField(min_value=0, max_value=1000, required=False, label=_("Chimneys"))
    skylights = forms.IntegerField(min_value=0, max_value=1000, required=False, label=_("Skylights"))
    step_flashing_ft = amount_field(_("Step flashing, ft"), "step flashing", required=False)

    def details(self) -> tuple[DetailData, ...]:
        """The details that were filled in."""
        given = self.cleaned_data
        counted = (
            (DetailKind.PIPE_BOOT, given.get("pipe_boots")),
            (DetailKind.CHIMNEY, given.get("chimneys")),
            (DetailKind.SKYLIGHT, given.get("skylights")),
        )
        found = [DetailData(kind, count) for kind, count in counted if count]
        if given.get("step_flashing_ft"):
            found.append(DetailData(DetailKind.STEP_FLASHING, 1, given["step_flashing_ft"]))
        return tuple(found)
