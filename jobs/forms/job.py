"""The job itself as a form; the roof has forms of its own."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from jobs.building_code import EDITIONS
from jobs.forms.fields import ReadText, time_zone_field
from jobs.importing.values import days
from jobs.job_data import ContactData, JobData
from jobs.models import JobKind, Yard
from jobs.queries import yards_for
from jobs.roof_data import RoofData
from roofops.record.access import Access, Role

CUT_UPS = (
    ("simple", _("simple")),
    ("hips_valleys", _("hips and valleys")),
    ("cut_up", _("cut up")),
    ("very_cut_up", _("very cut up")),
)
UNDERLAYMENTS = (("synthetic", _("synthetic")), ("felt15", _("felt #15")), ("felt30", _("felt #30")))
FROM_SHAPE, FROM_QUANTITIES, AS_MEASURED = "shape", "quantities", "keep"
ROOF_FROM = (
    (FROM_SHAPE, _("lengths and pitch of a simple shape")),
    (FROM_QUANTITIES, _("squares and feet of a measurement sheet")),
)
CONTACT_FIELDS = {"contact_name": "name", "contact_phone": "phone", "contact_email": "email"}
NOT_JOB_FIELDS = frozenset({"yard", "revision", "roof_from", *CONTACT_FIELDS})


class JobForm(forms.Form):
    """Everything about a job except its roof."""

    yard = forms.ModelChoiceField(queryset=Yard.objects.none(), label=_("Yard"), empty_label=None)
    number = forms.CharField(max_length=20, label=_("Job number"))
    short_name = forms.CharField(max_length=40, label=_("Short name"), help_text=_("As the crew calls it"))
    kind = forms.ChoiceField(choices=JobKind.choices, label=_("Kind of job"))
    street = forms.CharField(max_length=120, label=_("Street"))
    city = forms.CharField(max_length=80, required=False, label=_("City"))
    state = forms.CharField(max_length=2, required=False, label=_("State"))
    lat = forms.FloatField(min_value=-90, max_value=90, label=_("Latitude"))
    lon = forms.FloatField(min_value=-180, max_value=180, label=_("Longitude"))
    time_zone = time_zone_field(help_text=_("Only where it is not the yard's"))
    storeys = forms.IntegerField(min_value=1, max_value=4, initial=1, label=_("Storeys"))
    layers = forms.IntegerField(min_value=1, max_value=5, initial=1, label=_("Layers of old roof"))
    cut_up = forms.ChoiceField(choices=CUT_UPS, label=_("How cut up"))
    debris_carry = forms.BooleanField(required=False, label=_("Debris has to be carried to the dumpster"))
    code_edition = forms.ChoiceField(
        choices=[(name, name) for name in EDITIONS], initial="2018", label=_("Code edition")
    )
    ice_barrier_required = forms.BooleanField(required=False, initial=True, label=_("Ice barrier needed"))
    wall_thickness_in = forms.FloatField(min_value=0, max_value=36, initial=6.5, label=_("Wall thickness, in"))
    eave_overhang_in = forms.FloatField(min_value=0, max_value=60, initial=12, label=_("Eave overhang, in"))
    deck_sheets_allowance = forms.IntegerField(min_value=0, max_value=500, initial=2, label=_("Deck sheets allowed"))
    product_line = forms.CharField(max_length=80, required=False, label=_("Shingle"))
    shingle_color = forms.CharField(max_length=40, required=False, label=_("Shingle color"))
    metal_color = forms.CharField(max_length=40, required=False, label=_("Metal color"))
    underlayment = forms.ChoiceField(choices=UNDERLAYMENTS, label=_("Underlayment"))
    permit_number = forms.CharField(max_length=40, required=False, label=_("Permit number"))
    promised_from = forms.DateField(required=False, label=_("Promised from"))
    promised_by = forms.DateField(required=False, label=_("Promised by"))
    blocked_dates = ReadText(days, required=False, label=_("Days nobody may come"), help_text="2026-05-31 2026-06-01")
    allowed_start = forms.TimeField(required=False, label=_("Noise allowed from"))
    allowed_end = forms.TimeField(required=False, label=_("Noise allowed until"))
    priority = forms.IntegerField(min_value=0, max_value=3, initial=2, label=_("Priority, 3 is most urgent"))
    contract_value_usd = forms.IntegerField(min_value=0, initial=0, label=_("Contract value, $"))
    roof_drop_allowed = forms.BooleanField(
        required=False,
        label=_("A truck may load the roof"),
        help_text=_("Somebody looked: the old roof is sound and a truck reaches it"),
    )
    hazards = forms.CharField(max_length=300, required=False, label=_("Hazards"))
    wishes = forms.CharField(max_length=300, required=False, label=_("Wishes of the house"))
    contact_name = forms.CharField(max_length=120, required=False, label=_("Homeowner"))
    contact_phone = forms.CharField(max_length=40, required=False, label=_("Phone"))
    contact_email = forms.EmailField(required=False, label=_("E-mail"))
    roof_from = forms.ChoiceField(choices=ROOF_FROM, initial=FROM_SHAPE, label=_("The roof is given by"))
    revision = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def __init__(self, access: Access, *args: Any, editing: bool = False, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        yards = yards_for(access)
        if not access.everywhere:
            yards = yards.filter(pk__in=access.yards(Role.MANAGER, Role.DISPATCHER))
        field = self.fields["yard"]
        if isinstance(field, forms.ModelChoiceField):
            field.queryset = yards
        choice = self.fields["roof_from"]
        if editing and isinstance(choice, forms.ChoiceField):
            # A job stays in its yard; its roof may be left as it is measured.
            del self.fields["yard"]
            choice.choices = [(AS_MEASURED, _("as it is measured now")), *ROOF_FROM]
            choice.initial = AS_MEASURED
            self.fields["revision"].required = True

    def clean(self) -> dict[str, Any] | None:
        cleaned = super().clean()
        given = self.cleaned_data
        if (given.get("contact_phone") or given.get("contact_email")) and not given.get("contact_name"):
            self.add_error("contact_name", _("Give the homeowner's name too."))
        start, end = given.get("promised_from"), given.get("promised_by")
        if start and end and end < start:
            self.add_error("promised_by", _("The promised window ends before it begins."))
        return cleaned

    def job_data(self, roof: RoofData, measured_by: str) -> JobData:
        """Return the job with its roof.

        Raises ValidationError in the kernel's words where values contradict each other.
        """
        given = dict(self.cleaned_data)
        contact = None
        if given["contact_name"]:
            contact = ContactData(**{name: given[field] for field, name in CONTACT_FIELDS.items()})
        values = {name: value for name, value in given.items() if name not in NOT_JOB_FIELDS}
        values["blocked_dates"] = values["blocked_dates"] or ()
        try:
            return JobData(roof=roof, contact=contact, measured_by=measured_by, **values)
        except ValueError as error:
            raise ValidationError(str(error)) from error
