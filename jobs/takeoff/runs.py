"""The runs of edge that sheets and metal are cut for."""

from jobs.roof_measure import EdgeKind, RoofMeasure


def eave_runs_ft(roof: RoofMeasure) -> tuple[tuple[float, float], ...]:
    """Return each eave as (length [ft], pitch of its plane [in 12]); the sections' own eaves where no edge is measured.

    An eave at no named plane takes the steepest pitch, which needs the widest ice barrier.
    """
    steepest = max(section.pitch_in_12 for section in roof.sections)
    eaves = tuple(
        (edge.length_ft, roof.section(edge.section_id).pitch_in_12 if edge.section_id is not None else steepest)
        for edge in roof.edges_of(EdgeKind.EAVE)
    )
    if eaves:
        return eaves
    return tuple((section.eave_ft, section.pitch_in_12) for section in roof.sections if section.eave_ft)


def drip_edge_runs_ft(roof: RoofMeasure) -> tuple[float, ...]:
    """Return the length of each eave and rake [ft]: metal is cut run by run, not from the sum."""
    rakes = tuple(edge.length_ft for edge in roof.edges_of(EdgeKind.RAKE))
    return (*(length for length, _ in eave_runs_ft(roof)), *rakes)
