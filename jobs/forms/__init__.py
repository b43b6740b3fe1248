"""Forms of jobs and roofs: they check what was typed and hand kernel data to the actions."""

from jobs.forms.entry import JobEntry
from jobs.forms.job import JobForm
from jobs.forms.roof import DetailsForm, EdgeFormSet, SectionFormSet, ShapeForm

__all__ = ["DetailsForm", "EdgeFormSet", "JobEntry", "JobForm", "SectionFormSet", "ShapeForm"]
