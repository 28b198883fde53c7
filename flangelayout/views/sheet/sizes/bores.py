"""The diameters about the middle of a plate: bore, inside of a ring in parts, raised face."""

from collections.abc import Iterator

from msgspec import Struct

from flangelayout.drawing.model import MeasuredText
from flangelayout.drawing.references import Feature, FeatureRef
from flangelayout.flange import SplitOutline
from flangelayout.flange.plate import Deviations
from flangelayout.views.sheet.look import Look
from flangelayout.views.words.lengths import DIAMETER_SIGN
from flangelayout.views.words.tolerances import deviations_text


class CenterDiameter(Struct, frozen=True):
    """A diameter about the middle of the plate: its size in mm, what is said of it, what it belongs to."""

    diameter: float
    said: MeasuredText
    source: FeatureRef

    @property
    def is_raised(self) -> bool:
        """Whether it is that of a face that stands out."""
        return self.source.feature is Feature.RAISED_FACE


def allowed(look: Look, deviations: Deviations | None) -> str:
    """How far a size may be off, with a space behind it; empty where the job states nothing."""
    return "" if deviations is None else f"{deviations_text(deviations, look.lengths)} "


def allowed_behind(look: Look, deviations: Deviations | None, *, of_radius: bool = False) -> str:
    """How far a diameter, or the radius that is half of it, may be off, with a space before it."""
    if deviations is not None and of_radius:
        deviations = Deviations(deviations.plus / 2, deviations.minus / 2)
    return f" {allowed(look, deviations)}".rstrip()


def center_diameters(look: Look) -> Iterator[CenterDiameter]:
    """Those a plate has, from the inside."""
    flange = look.flange
    inside = flange.outline.inside_diameter if isinstance(flange.outline, SplitOutline) else None
    off = allowed(look, flange.tolerances.bore)
    for diameter, name, feature in (
        (flange.bore, f"{off}BORE{', EXISTING' if flange.bore_cut else ''}", Feature.BORE),
        (inside, f"{off}INSIDE", Feature.INSIDE),
        (flange.raised_face_diameter, "R.F.", Feature.RAISED_FACE),
    ):
        if diameter is not None:
            said = look.lengths.measured(diameter, DIAMETER_SIGN, f" {name}")
            yield CenterDiameter(diameter, said, FeatureRef(feature))
