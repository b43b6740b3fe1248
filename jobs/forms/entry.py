"""A job and its roof as one page of forms that are right together or not at all."""

from typing import Any

from django.core.exceptions import ValidationError

from jobs.forms.fields import name_what_is_missing
from jobs.forms.job import AS_MEASURED, FROM_QUANTITIES, FROM_SHAPE, JobForm
from jobs.forms.roof import DetailsForm, EdgeFormSet, SectionFormSet, ShapeForm
from jobs.job_data import JobData
from jobs.models import Job
from jobs.queries import job_data
from jobs.queries.typed import COPIED, roof_of
from jobs.roof_data import RoofData, roof_data
from roofops.record.access import Access

MEASURED_BY = {FROM_SHAPE: "tape", FROM_QUANTITIES: "measurement sheet"}


class JobEntry:
    """The forms of one job: `job`, and by `roof_from` either `shape` or `sections` with `edges`, and `details`.

    Parameters
    ----------
    access
        Decides which yards can be chosen.
    data
        What was typed (request.POST); None for an empty page. It is kept on every form that was filled in.
    saved
        The job that is edited; None for a new one.
    """

    def __init__(self, access: Access, data: Any = None, *, saved: Job | None = None) -> None:
        self.saved = saved
        self.job = JobForm(access, data, prefix="job", editing=saved is not None, initial=self._initial())
        how = self._how(data)
        # Only the roof that was chosen is checked; the other forms still show what was typed.
        self.shape = ShapeForm(data if how == FROM_SHAPE else None, prefix="shape", initial=self._typed(data, "shape"))
        quantities = data if how == FROM_QUANTITIES else None
        self.sections = SectionFormSet(quantities, prefix="section")
        self.edges = EdgeFormSet(quantities, prefix="edge")
        self.details = DetailsForm(None if how == AS_MEASURED else data, prefix="details")
        for form in (self.job, self.shape):
            name_what_is_missing(form)
        self._how_given = how
        self.job_data: JobData | None = None

    def is_valid(self) -> bool:
        """Check everything that was typed; afterwards `job_data` holds the job, or the forms hold their errors."""
        forms = [self.job, *self._roof_forms()]
        # Every form is asked before any is judged, so that all errors show at once.
        valid = [form.is_valid() for form in forms]
        if not all(valid):
            return False
        try:
            roof = self._roof()
            self.job_data = self.job.job_data(roof, self._measured_by())
        except ValidationError as error:
            self.job.add_error(None, error)
        return self.job_data is not None

    def refuse(self, error: ValueError) -> None:
        """Show why an action refused the job, such as a number that is taken or a lost update."""
        self.job.add_error(None, str(error))

    @property
    def n_errors(self) -> int:
        """How many things are wrong, for the summary on top."""
        forms = [self.job, *self._roof_forms()]
        total = 0
        for form in forms:
            if isinstance(form, SectionFormSet | EdgeFormSet):
                total += form.total_error_count()
            else:
                total += len(form.errors)
        return total

    def _roof_forms(self) -> list[Any]:
        if self._how_given == FROM_SHAPE:
            return [self.shape, self.details]
        if self._how_given == FROM_QUANTITIES:
            return [self.sections, self.edges, self.details]
        return []

    def _roof(self) -> RoofData:
        if self._how_given == FROM_SHAPE:
            try:
                shape = self.shape.roof_shape(self.job.cleaned_data["eave_overhang_in"])
            except ValidationError as error:
                self.shape.add_error(None, error)
                raise ValidationError([]) from error
            return roof_data(shape, self.details.details())
        try:
            if self._how_given == FROM_QUANTITIES:
                return RoofData(self.sections.sections(), self.edges.edges(), self.details.details())
            if self.saved is None:
                raise ValueError("A job needs at least one roof section.")
            return roof_of(self.saved)
        except ValueError as error:
            raise ValidationError(str(error)) from error

    def _measured_by(self) -> str:
        saved = self.saved.measured_by if self.saved else ""
        return MEASURED_BY.get(self._how_given, saved)

    def _how(self, data: Any) -> str:
        default = AS_MEASURED if self.saved is not None else FROM_SHAPE
        if data is None:
            return default
        return str(data.get("job-roof_from", default))

    @staticmethod
    def _typed(data: Any, prefix: str) -> dict[str, Any]:
        """What was typed on a form that is not checked, to be shown again."""
        if data is None:
            return {}
        start = f"{prefix}-"
        return {key.removeprefix(start): data[key] for key in data if key.startswith(start)}

    def _initial(self) -> dict[str, Any]:
        if self.saved is None:
            return {}
        values = {name: getattr(self.saved, name) for name in COPIED}
        values["blocked_dates"] = " ".join(self.saved.blocked_dates)
        values["revision"] = self.saved.revision
        contact = job_data(self.saved).contact if self.saved.sections.all() else None
        if contact is not None:
            values |= {"contact_name": contact.name, "contact_phone": contact.phone, "contact_email": contact.email}
        return values
