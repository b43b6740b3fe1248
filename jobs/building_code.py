"""What the residential code asks of an asphalt shingle roof, as far as a takeoff and a crew need it.

Articles are those of the 2018 International Residential Code (IRC), chapter 9, unless said otherwise. Codes are adopted
by edition and amended locally: every finding says so.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from math import ceil
from types import MappingProxyType

from jobs.roof_measure import EdgeKind, RoofMeasure, check_not_negative, check_pitch
from jobs.roof_shape.pitch import pitch_factor

CAUTION = "Check the adopted code; local amendments and the manufacturer's instructions come first."


@dataclass(frozen=True)
class Edition:
    """What differs between editions of the code."""

    ice_36in_rule: bool  # at 8:12 and steeper the ice barrier also covers 36 in along the slope


# The second test of R905.1.2 (36 in along the slope) stands in the 2015 to 2021 editions; the 2024 edition dropped it.
EDITIONS: Mapping[str, Edition] = MappingProxyType(
    {"2015": Edition(True), "2018": Edition(True), "2021": Edition(True), "2024": Edition(False)}
)

SLOPE_MINIMUM_IN_12 = 2.0  # 2018 IRC R905.2.2
DOUBLE_UNDERLAYMENT_BELOW_IN_12 = 4.0  # 2018 IRC R905.2.2, R905.1.1
SPECIAL_ATTACHMENT_OVER_IN_12 = 21.0  # 2018 IRC R905.2.6
ICE_INSIDE_WALL_IN = 24.0  # 2018 IRC R905.1.2
ICE_STEEP_FROM_IN_12 = 8.0  # 2018 IRC R905.1.2
ICE_STEEP_ALONG_SLOPE_IN = 36.0  # 2018 IRC R905.1.2
ICE_COURSE_IN = 36.0  # common roll width
ICE_SIDE_LAP_IN = 4.0  # common practice, no source; the label of the roll wins


@dataclass(frozen=True)
class IceBarrier:
    """The ice barrier at an eave: horizontal need, the same along the slope, courses and what they cover [in]."""

    need_horizontal_in: float
    slope_in: float
    courses: int
    covers_in: float


def ice_barrier(eave_overhang_in: float, wall_thickness_in: float, pitch_in_12: float, edition: str) -> IceBarrier:
    """Return the ice barrier that an eave needs.

    Parameters
    ----------
    eave_overhang_in
        Horizontal, from the outer wall face to the lowest roof edge [in].
    wall_thickness_in
        Added because most offices count from the inside face; 0 gives the literal minimum of the code text [in].
    edition
        A key of EDITIONS; decides on the 36 in rule. The larger of both tests counts, they are not added up.

    Raises ValueError for an unknown edition or lengths and pitch out of range.
    Source: 2018 IRC R905.1.2.
    """
    check_pitch(pitch_in_12)
    need = (
        check_not_negative("eave overhang", eave_overhang_in)
        + check_not_negative("wall thickness", wall_thickness_in)
        + ICE_INSIDE_WALL_IN
    )
    slope = need * pitch_factor(pitch_in_12)
    if edition_of(edition).ice_36in_rule and pitch_in_12 >= ICE_STEEP_FROM_IN_12:
        slope = max(slope, ICE_STEEP_ALONG_SLOPE_IN)
    step = ICE_COURSE_IN - ICE_SIDE_LAP_IN
    courses = 1 + max(0, ceil((slope - ICE_COURSE_IN) / step - 1e-9))
    return IceBarrier(need, slope, courses, ICE_COURSE_IN + (courses - 1) * step)


def edition_of(name: str) -> Edition:
    """Return what an edition asks; ValueError for one that is not known."""
    if name not in EDITIONS:
        raise ValueError(f"“{name}” is not a known code edition; use one of {', '.join(EDITIONS)}.")
    return EDITIONS[name]


def underlayment_layers(pitch_in_12: float) -> int:
    """Return how many layers of underlayment a pitch needs: two below 4:12, else one (2018 IRC R905.1.1)."""
    return 2 if check_pitch(pitch_in_12) < DOUBLE_UNDERLAYMENT_BELOW_IN_12 else 1


class Weight(StrEnum):
    """How heavy a finding is."""

    STOP = "stop"  # the roof may not be built this way
    NEED = "need"  # something must be there
    NOTE = "note"


@dataclass(frozen=True)
class Finding:
    """One thing the code says about this roof; `caution` stands beside it on every page."""

    article: str
    text: str
    weight: Weight = Weight.NEED
    section_id: int | None = None
    caution: str = CAUTION


def findings(roof: RoofMeasure) -> tuple[Finding, ...]:
    """Return what the code says about a roof, the heaviest first."""
    found: list[Finding] = []
    for section in roof.sections:
        found += _slope_findings(section.section_id, section.name, section.pitch_in_12)
    if roof.ice_barrier_required:
        found += _ice_findings(roof)
    found.append(
        Finding(
            "2018 IRC R905.2.8.5",
            "Drip edge at eaves and rakes, laps of at least 2 in; under the underlayment at eaves, over it at rakes.",
        )
    )
    if roof.edges_of(EdgeKind.VALLEY):
        found.append(Finding("2018 IRC R905.2.8.2", "Closed valleys are lined at least 36 in wide under the shingles."))
    if roof.layers >= 2:
        found.append(
            Finding(
                "2018 IRC R908.3",
                f"{roof.layers} layers of covering lie on the roof: tear off to the deck, no shingles over them.",
            )
        )
    order = list(Weight)
    return tuple(sorted(found, key=lambda finding: order.index(finding.weight)))


def _slope_findings(section_id: int, name: str, pitch_in_12: float) -> list[Finding]:
    if pitch_in_12 < SLOPE_MINIMUM_IN_12:
        text = f"“{name}” falls {pitch_in_12:g}:12: asphalt shingles need 2:12 or more; it takes another covering."
        return [Finding("2018 IRC R905.2.2", text, Weight.STOP, section_id)]
    if pitch_in_12 < DOUBLE_UNDERLAYMENT_BELOW_IN_12:
        text = f"“{name}” falls {pitch_in_12:g}:12: below 4:12 the underlayment is doubled."
        return [Finding("2018 IRC R905.1.1", text, Weight.NEED, section_id)]
    if pitch_in_12 > SPECIAL_ATTACHMENT_OVER_IN_12:
        text = f"“{name}” rises {pitch_in_12:g}:12: over 21:12 shingles are attached as their maker says."
        return [Finding("2018 IRC R905.2.6", text, Weight.NEED, section_id)]
    return []


def _ice_findings(roof: RoofMeasure) -> list[Finding]:
    by_pitch: dict[float, list[str]] = {}
    for section in roof.sections:
        by_pitch.setdefault(section.pitch_in_12, []).append(section.name)
    article = "2024 IRC R905.1.2" if roof.code_edition == "2024" else f"{roof.code_edition} IRC R905.1.2"
    found = []
    for pitch, names in sorted(by_pitch.items()):
        barrier = ice_barrier(roof.eave_overhang_in, roof.wall_thickness_in, pitch, roof.code_edition)
        found.append(
            Finding(
                article,
                f"Ice barrier at the eaves of {', '.join(names)}: {barrier.slope_in:.1f} in along the slope, "
                f"{barrier.courses} courses (they cover {barrier.covers_in:.0f} in).",
            )
        )
    return found
