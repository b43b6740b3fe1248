"""The upload form of a job file: a file, or its text again after the preview."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from jobs.importing import MAX_BYTES


class ImportForm(forms.Form):
    """A file, or the text that the preview kept. Where both are given the file counts."""

    file = forms.FileField(
        label=_l("File, CSV or GeoJSON"),
        required=False,
        widget=forms.FileInput(attrs={"accept": ".csv,.json,.geojson"}),
    )
    text = forms.CharField(
        label=_l("Or its text"),
        required=False,
        strip=False,
        widget=forms.Textarea(attrs={"rows": 10, "spellcheck": "false"}),
    )

    def clean(self) -> dict[str, Any]:
        """Read the file into `document`; keep its text for the form that comes back."""
        data = super().clean() or {}
        upload = data.get("file")
        if upload is not None and upload.size > MAX_BYTES:
            self.add_error("file", _("The file is larger than %(n)s MB.") % {"n": MAX_BYTES // 1024 // 1024})
            return data
        document = upload.read() if upload is not None else (data.get("text") or "").encode()
        if not document.strip():
            self.add_error("file", _("Choose a file, or paste its text."))
        data["document"] = document
        return data
