"""Labor-hours of details: valleys and seals owed before dried-in, flashing and boots made with the shingles."""

from dataclasses import dataclass

from jobs.production_table import RateTable
from jobs.roof_measure import DetailKind, EdgeKind, RoofMeasure

# Pieces that are capped or sealed before rain may fall on the dried-in plane.
SEALED_BEFORE_RAIN = (DetailKind.PIPE_BOOT, DetailKind.CHIMNEY, DetailKind.SKYLIGHT)
RATE_BY_KIND = {
    DetailKind.PIPE_BOOT: "pipe_boot",
    DetailKind.CHIMNEY: "chimney",
    DetailKind.SKYLIGHT: "skylight",
    DetailKind.STEP_FLASHING: "step_flashing",
}


@dataclass(frozen=True)
class SectionDetails:
    """Labor-hours of one plane's details before pitch, storeys and cut-up."""

    closing_labor_hours: float
    field_labor_hours: float


def detail_hours(roof: RoofMeasure, rates: RateTable) -> dict[int, SectionDetails]:
    """Return each plane's detail hours by its id.

    A valley counts half for each plane at it; what lies at no named plane is shared out by area.
    """
    closing = dict.fromkeys((section.section_id for section in roof.sections), 0.0)
    with_field = dict(closing)
    for edge in roof.edges_of(EdgeKind.VALLEY):
        _share(roof, closing, edge.section_ids, edge.length_ft * rates.hours("valley_lining"))
    for detail in roof.details:
        at = () if detail.section_id is None else (detail.section_id,)
        amount = detail.length_ft if detail.kind is DetailKind.STEP_FLASHING else detail.count
        _share(roof, with_field, at, amount * rates.hours(RATE_BY_KIND[detail.kind]))
        if detail.kind in SEALED_BEFORE_RAIN:
            _share(roof, closing, at, detail.count * rates.hours("seal_penetration"))
    return {section_id: SectionDetails(closing[section_id], with_field[section_id]) for section_id in closing}


def _share(roof: RoofMeasure, hours: dict[int, float], section_ids: tuple[int, ...], amount: float) -> None:
    if section_ids:
        for section_id in section_ids:
            hours[section_id] += amount / len(section_ids)
        return
    for section in roof.sections:
        hours[section.section_id] += amount * section.squares / roof.squares
