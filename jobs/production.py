"""Labor-hours of each phase and detail of a measured roof, with a calculation that people can follow.

Source of the rates: jobs.production_table. Set-up and clean-up are steps of each day, not part of these hours.
"""

from dataclasses import dataclass

from jobs.building_code import ice_barrier, underlayment_layers
from jobs.phases import Phase
from jobs.production_details import SectionDetails, detail_hours
from jobs.production_table import DEFAULT_RATES, RateTable, pitch_labor_factor
from jobs.roof_measure import SQUARE_FT2, EdgeKind, RoofMeasure, SectionMeasure


@dataclass(frozen=True)
class CalculationLine:
    """One line of the calculation: quantity x rate x factor = labor-hours."""

    label: str
    quantity: float
    unit: str
    labor_hours_per_unit: float
    factor: float
    source: str

    @property
    def labor_hours(self) -> float:
        """Labor-hours of this line."""
        return self.quantity * self.labor_hours_per_unit * self.factor


@dataclass(frozen=True)
class SectionHours:
    """One plane: labor-hours per square of section and phase up to the shingles, and the hours of its details."""

    section_id: int
    squares: float
    hours_per_square: dict[Phase, float]
    detail_closing_labor_hours: float
    detail_field_labor_hours: float
    lines: dict[Phase, tuple[CalculationLine, ...]]

    def phase_labor_hours(self, phase: Phase) -> float:
        """Labor-hours of a phase of the plane; closing details count with underlayment, the others with field."""
        hours = self.hours_per_square[phase] * self.squares
        if phase is Phase.UNDERLAYMENT:
            return hours + self.detail_closing_labor_hours
        return hours + (self.detail_field_labor_hours if phase is Phase.FIELD else 0.0)

    @property
    def labor_hours(self) -> float:
        """Labor-hours of the plane, all phases and details."""
        return sum(self.phase_labor_hours(phase) for phase in self.hours_per_square)


@dataclass(frozen=True)
class RidgeHours:
    """One ridge or hip line: labor-hours per foot to finish it, and per foot to cover an open slot."""

    edge_id: int
    length_ft: float
    labor_hours_per_ft: float
    cover_labor_hours_per_ft: float
    lines: tuple[CalculationLine, ...]

    @property
    def labor_hours(self) -> float:
        """Labor-hours to finish the line."""
        return self.labor_hours_per_ft * self.length_ft


@dataclass(frozen=True)
class RoofHours:
    """The labor-hours of a whole roof."""

    sections: tuple[SectionHours, ...]
    ridges: tuple[RidgeHours, ...]

    def section(self, section_id: int) -> SectionHours:
        """The hours of one plane; KeyError where there is none."""
        for section in self.sections:
            if section.section_id == section_id:
                return section
        raise KeyError(section_id)

    def phase_labor_hours(self, phase: Phase) -> float:
        """Labor-hours of one phase of the roof."""
        if phase is Phase.RIDGE:
            return sum(ridge.labor_hours for ridge in self.ridges)
        return sum(section.phase_labor_hours(phase) for section in self.sections)

    @property
    def labor_hours(self) -> float:
        """Labor-hours of the roof, without the day's own steps (set-up, clean-up)."""
        return sum(self.phase_labor_hours(phase) for phase in Phase)


def phase_hours(roof: RoofMeasure, rates: RateTable = DEFAULT_RATES) -> RoofHours:
    """Return the labor-hours of each phase, plane, ridge and detail of a roof.

    Raises ValueError for a cut-up word that the rates do not know.
    """
    details = detail_hours(roof, rates)
    return RoofHours(
        tuple(_section_hours(roof, section, details[section.section_id], rates) for section in roof.sections),
        tuple(_ridge_hours(roof, edge_index, rates) for edge_index in _ridge_lines(roof)),
    )


def barrier_squares(roof: RoofMeasure, section: SectionMeasure) -> float:
    """Return the area that the ice barrier of a plane covers [squares], never more than the plane has."""
    if not roof.ice_barrier_required:
        return 0.0
    eave_ft = _edge_ft(roof, section, EdgeKind.EAVE)
    if not any(edge.kind is EdgeKind.EAVE for edge in roof.edges):
        eave_ft = section.eave_ft  # plain quantities without edges
    barrier = ice_barrier(roof.eave_overhang_in, roof.wall_thickness_in, section.pitch_in_12, roof.code_edition)
    return min(section.squares, eave_ft * barrier.covers_in / 12 / SQUARE_FT2)


def work_factor(roof: RoofMeasure, pitch_in_12: float, rates: RateTable) -> float:
    """Return the multiplier of pitch x storeys x cut-up that all work up there carries [-]."""
    return pitch_labor_factor(pitch_in_12) * rates.storey_factor(roof.storeys) * rates.cut_up_factor(roof.cut_up)


def _section_hours(
    roof: RoofMeasure, section: SectionMeasure, details: SectionDetails, rates: RateTable
) -> SectionHours:
    factor = work_factor(roof, section.pitch_in_12, rates)
    drip_edge_ft = _edge_ft(roof, section, EdgeKind.EAVE, EdgeKind.RAKE)
    barrier = barrier_squares(roof, section)
    papered = (section.squares - barrier) * underlayment_layers(section.pitch_in_12)
    carry = rates.debris_carry_factor if roof.debris_carry else 1.0
    sheets = roof.deck_sheets_allowance * section.squares / roof.squares

    def line(label: str, quantity: float, name: str, times: float = 1.0) -> CalculationLine:
        rate = rates.rates[name]
        return CalculationLine(label, quantity, rate.unit, rate.labor_hours, factor * times, rate.source)

    lines = {
        Phase.TEAR_OFF: (
            line("old shingles", section.squares * roof.layers, "tear_off_layer", carry),
            line("old felt", section.squares, "remove_felt", carry),
            line("old drip edge", drip_edge_ft, "remove_drip_edge", carry),
            line("old ridge vent", _vented_ft(roof, section), "remove_ridge_vent", carry),
        ),
        Phase.DECK: (
            line("sweep, re-nail, check", section.squares, "deck_check"),
            line("sheets allowance", sheets, "deck_sheet"),
        ),
        Phase.ICE_BARRIER: (line("ice barrier", barrier, "ice_barrier"),),
        Phase.UNDERLAYMENT: (
            line("underlayment", papered, roof.underlayment.value),
            line("drip edge", drip_edge_ft, "drip_edge"),
        ),
        Phase.FIELD: (line("shingles", section.squares, "field"),),
    }
    per_square = {phase: sum(part.labor_hours for part in parts) / section.squares for phase, parts in lines.items()}
    return SectionHours(
        section.section_id,
        section.squares,
        per_square,
        details.closing_labor_hours * factor,
        details.field_labor_hours * factor,
        lines,
    )


def _ridge_hours(roof: RoofMeasure, index: int, rates: RateTable) -> RidgeHours:
    edge = roof.edges[index]
    pitches = [roof.section(i).pitch_in_12 for i in edge.section_ids] or [s.pitch_in_12 for s in roof.sections]
    factor = work_factor(roof, max(pitches), rates)
    names = ("slot_cut", "ridge_vent", "caps") if edge.vented else ("caps",)
    lines = tuple(
        CalculationLine(
            name.replace("_", " "), edge.length_ft, "ft", rates.hours(name), factor, rates.rates[name].source
        )
        for name in names
    )
    per_ft = sum(rates.hours(name) for name in names) * factor
    return RidgeHours(edge.edge_id, edge.length_ft, per_ft, rates.hours("ridge_cover") * factor, lines)


def _ridge_lines(roof: RoofMeasure) -> list[int]:
    return [i for i, edge in enumerate(roof.edges) if edge.kind in (EdgeKind.RIDGE, EdgeKind.HIP)]


def _edge_ft(roof: RoofMeasure, section: SectionMeasure, *kinds: EdgeKind) -> float:
    """Feet of these edges that a plane pays for; an edge at no plane is shared out by area."""
    total = 0.0
    for edge in roof.edges:
        if edge.kind not in kinds:
            continue
        if not edge.section_ids:
            total += edge.length_ft * section.squares / roof.squares
        elif section.section_id in edge.section_ids:
            total += edge.length_ft / len(edge.section_ids)
    return total


def _vented_ft(roof: RoofMeasure, section: SectionMeasure) -> float:
    """Feet of old ridge vent that come off with a plane: half of each vented ridge that it shares."""
    total = 0.0
    for edge in roof.edges:
        if edge.vented and not edge.section_ids:
            total += edge.length_ft * section.squares / roof.squares
        elif edge.vented and section.section_id in edge.section_ids:
            total += edge.length_ft / len(edge.section_ids)
    return total
