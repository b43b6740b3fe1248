"""The upload of an import file."""

from typing import Any

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.utils.translation import gettext_lazy as _

from jobs.importing import MAX_BYTES, ParsedJobs, parse
from jobs.models import Yard
from jobs.queries import yards_for
from roofops.record.access import Access, Role


class JobImportForm(forms.Form):
    """A CSV or GeoJSON file of jobs for one yard."""

    yard = forms.ModelChoiceField(queryset=Yard.objects.none(), label=_("Yard"), empty_label=None)
    file = forms.FileField(label=_("File"), help_text=_("CSV or GeoJSON, UTF-8"))
    dry_run = forms.BooleanField(required=False, label=_("Only check it"))

    def __init__(self, access: Access, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        yards = yards_for(access)
        if not access.everywhere:
            yards = yards.filter(pk__in=access.yards(Role.MANAGER, Role.DISPATCHER))
        field = self.fields["yard"]
        if isinstance(field, forms.ModelChoiceField):
            field.queryset = yards

    def clean_file(self) -> UploadedFile:
        upload: UploadedFile = self.cleaned_data["file"]
        if upload.size is not None and upload.size > MAX_BYTES:
            limit = MAX_BYTES // 1024 // 1024
            raise forms.ValidationError(_("The file is larger than %(limit)s MB."), params={"limit": limit})
        return upload

    def parsed(self) -> ParsedJobs:
        """Return the file as jobs, or its refused rows."""
        upload: UploadedFile = self.cleaned_data["file"]
        upload.seek(0)
        return parse(upload.read())
