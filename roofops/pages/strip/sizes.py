"""The heights and widths of the strip in each place where it stands."""

from dataclasses import dataclass

MIN_TEXT_PX = 12.0


@dataclass(frozen=True)
class StripSize:
    """One size; everything in CSS px at 1:1, never scaled.

    label_hours: an hour label every so many hours on the strip's own axis. named: areas, sun and gust carry labels.
    """

    name: str
    width: float
    lane: float
    sky: float
    ribbon: float
    band: float
    roof: float
    axis: float
    text_px: float = 12.5
    label_hours: int = 1
    stroke_share: float = 1.0
    named: bool = False

    def __post_init__(self) -> None:
        if self.text_px < MIN_TEXT_PX:
            raise ValueError(f"No text in a strip may be smaller than {MIN_TEXT_PX:g} px.")
        if min(self.width, self.sky, self.band, self.roof) <= 0:
            raise ValueError("A strip needs a width and heights above zero.")

    @property
    def sky_top(self) -> float:
        """Top of the sky [px]."""
        return self.lane

    @property
    def sky_floor(self) -> float:
        """Foot of the sky [px]."""
        return self.lane + self.sky

    @property
    def band_top(self) -> float:
        """Top of the verdict band [px]."""
        return self.sky_floor + self.ribbon

    @property
    def roof_top(self) -> float:
        """The roof line [px]."""
        return self.band_top + self.band

    @property
    def roof_foot(self) -> float:
        """The eave [px]."""
        return self.roof_top + self.roof

    @property
    def height(self) -> float:
        """Height of the whole picture [px]."""
        return self.roof_foot + max(self.axis, 3)


SIZES = {
    size.name: size
    for size in (
        StripSize("first", 742, lane=20, sky=78, ribbon=8, band=16, roof=72, axis=0, named=True),
        StripSize("row", 742, lane=20, sky=54, ribbon=8, band=16, roof=52, axis=0),
        StripSize("tomorrow", 474, lane=20, sky=48, ribbon=8, band=16, roof=36, axis=0),
        StripSize("job", 578, lane=20, sky=62, ribbon=8, band=16, roof=64, axis=18, named=True),
        StripSize("deliveries", 742, lane=20, sky=54, ribbon=8, band=16, roof=36, axis=18),
        StripSize("phone", 318, lane=22, sky=52, ribbon=8, band=17, roof=48, axis=18, label_hours=2, stroke_share=0.5),
        StripSize("sheet", 328, lane=22, sky=46, ribbon=8, band=17, roof=44, axis=18, label_hours=2, stroke_share=0.5),
        StripSize("print", 700, lane=20, sky=60, ribbon=8, band=16, roof=60, axis=18, named=True),
    )
}
