"""Pieces of the day sheet's standing content: steps, checks, fasteners, cautions (filled by crews.sheet_steps)."""

from dataclasses import dataclass


@dataclass(frozen=True)
class SourceNote:
    """Where a rule comes from; empty reference: common practice, no source."""

    code: str
    reference: str


@dataclass(frozen=True)
class PhaseSteps:
    """Steps and checks of one phase, as codes that the templates word."""

    phase: str
    steps: tuple[str, ...]
    checks: tuple[str, ...]


@dataclass(frozen=True)
class Fastener:
    """One kind of nail for one phase: length [in], count per piece, which piece."""

    phase: str
    code: str
    length_in: float
    per_piece: int | None
    piece: str
    every_in: float | None
    note: str
    total: int | None


@dataclass(frozen=True)
class Caution:
    """One caution for today's conditions. value and limit as measured or forecast; reference: rule it rests on."""

    code: str
    reference: str
    value: float | None = None
    limit: float | None = None
    unit: str = ""
    text: str = ""
