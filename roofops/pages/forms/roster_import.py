"""The upload form of a roster file: as for jobs, a file, or its text again after the preview."""

from django import forms
from django.utils.translation import gettext_lazy as _l

from roofops.pages.forms.job_import import ImportForm


class RosterImportForm(ImportForm):
    """A roster is CSV only."""

    file = forms.FileField(label=_l("File, CSV"), required=False, widget=forms.FileInput(attrs={"accept": ".csv"}))
