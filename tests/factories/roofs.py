"""Measured roofs without a database: a shape as the kernels take it."""

from typing import Any

from jobs.roof_measure import EdgeMeasure, RoofMeasure, SectionMeasure
from jobs.roof_shape import RoofShape, gable


def measured(shape: RoofShape, **values: Any) -> RoofMeasure:
    """Return the measured roof of a shape, all of it old roof; ids are positions from 1."""
    return RoofMeasure(
        job_id=1,
        sections=tuple(
            SectionMeasure(
                section_id=i,
                name=section.name,
                pitch_in_12=section.pitch_in_12,
                squares=section.squares,
                old_squares=section.squares,
                eave_ft=section.eave_ft,
                run_ft=section.run_ft,
                downslope_deg=section.downslope_deg,
                outline_ft=section.outline_ft,
                position=i,
            )
            for i, section in enumerate(shape.sections, start=1)
        ),
        edges=tuple(
            EdgeMeasure(
                edge_id=i,
                kind=edge.kind,
                length_ft=edge.length_ft,
                section_id=edge.section + 1,
                other_section_id=None if edge.other_section is None else edge.other_section + 1,
                vented=edge.vented,
                line_ft=edge.line_ft,
            )
            for i, edge in enumerate(shape.edges, start=1)
        ),
        **values,
    )


def example_gable(**values: Any) -> RoofMeasure:
    """The worked example: gable 40 x 28 ft, overhangs 1 ft, 6/12; 12 in overhang and 6.5 in wall for the barrier."""
    return measured(gable(40, 28, 6), **values)
