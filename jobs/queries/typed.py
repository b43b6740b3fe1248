"""A saved job turned back into the data that it was handed in as, for edit forms and exports."""

from datetime import date

from jobs.job_data import ContactData, JobData
from jobs.models import Contact, Job
from jobs.roof_data import DetailData, EdgeData, RoofData, SectionData
from jobs.roof_measure import DetailKind, EdgeKind

COPIED = (
    "number",
    "short_name",
    "kind",
    "street",
    "city",
    "state",
    "lat",
    "lon",
    "time_zone",
    "storeys",
    "layers",
    "cut_up",
    "debris_carry",
    "code_edition",
    "ice_barrier_required",
    "wall_thickness_in",
    "eave_overhang_in",
    "deck_sheets_allowance",
    "product_line",
    "shingle_color",
    "metal_color",
    "underlayment",
    "permit_number",
    "promised_from",
    "promised_by",
    "allowed_start",
    "allowed_end",
    "priority",
    "contract_value_usd",
    "roof_drop_allowed",
    "hazards",
    "wishes",
    "measured_by",
)


def job_data(job: Job) -> JobData:
    """Return the data of a saved job, its roof and its homeowner included.

    Raises ValueError for a job without sections.
    """
    contact = Contact.objects.filter(job=job).first()
    return JobData(
        **{name: getattr(job, name) for name in COPIED},
        blocked_dates=tuple(date.fromisoformat(day) for day in job.blocked_dates),
        roof=roof_of(job),
        contact=ContactData(contact.name, contact.phone, contact.email, contact.language) if contact else None,
        ready={
            item.kind: "not_needed" if not item.needed else ("done" if item.done_at else "owed")
            for item in job.ready_items.all()
        },
    )


def roof_of(job: Job) -> RoofData:
    """Return the roof of a saved job by section names.

    Raises ValueError for a job without sections.
    """
    names = {section.pk: section.name for section in job.sections.all()}
    return RoofData(
        sections=tuple(
            SectionData(
                name=section.name,
                pitch_in_12=section.pitch_in_12,
                squares=section.squares,
                eave_ft=section.eave_ft,
                run_ft=section.run_ft,
                downslope_deg=section.downslope_deg,
                outline_ft=tuple((float(x), float(y)) for x, y in section.outline_ft),
            )
            for section in job.sections.all()
        ),
        edges=tuple(
            EdgeData(
                kind=EdgeKind(edge.kind),
                length_ft=edge.length_ft,
                section=names.get(edge.section_id or 0),
                other_section=names.get(edge.other_section_id or 0),
                vented=edge.vented,
                line_ft=tuple((float(x), float(y)) for x, y in edge.line_ft),
            )
            for edge in job.edges.all()
        ),
        details=tuple(
            DetailData(
                kind=DetailKind(detail.kind),
                count=detail.count,
                length_ft=detail.length_ft,
                section=names.get(detail.section_id or 0),
                at_ft=(float(detail.at_ft[0]), float(detail.at_ft[1])) if detail.at_ft else None,
            )
            for detail in job.details.all()
        ),
    )
