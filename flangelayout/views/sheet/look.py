"""How a layout view is drawn: the plate, how its lengths are written, by which rules, at what scale."""

from collections.abc import Iterable

from msgspec import Struct

from flangelayout.drawing.convention import Convention, DimensionStyle
from flangelayout.drawing.model import Item
from flangelayout.flange import Flange
from flangelayout.geometry.shapes import Box
from flangelayout.views.page.text_clearance import Ink
from flangelayout.views.words.lengths import Lengths

Option = tuple[Item, ...]
DETAIL_LETTER = "Z"


class Look(Struct, frozen=True):
    """A plate to be drawn.

    Attributes:
        flange: What is shown.
        lengths: How its lengths are written.
        convention: The rules it is drawn by.
        scale: Printed mm for a real mm.
    """

    flange: Flange
    lengths: Lengths
    convention: Convention
    scale: float

    @property
    def box(self) -> Box:
        """What the plate takes up, in mm."""
        return self.flange.box()

    @property
    def section_letter(self) -> str:
        """Of the section: A, or Y where letters name groups of holes."""
        return "Y" if self.flange.group_letter(0) else "A"

    @property
    def style(self) -> DimensionStyle:
        """Where dimension texts stand."""
        return self.convention.dimension_style

    @property
    def letter(self) -> float:
        """Height of the smallest capitals in printed mm."""
        return self.style.text_height

    @property
    def heading(self) -> float:
        """Height of the capitals of names and of letters of planes, in printed mm."""
        return self.convention.heading_height

    def real(self, printed: float) -> float:
        """Real mm of a printed length."""
        return printed / self.scale


def placed(ink: Ink, options: Iterable[Option]) -> Option | None:
    """The first of several ways to draw a thing that crosses no text; taken into the ink. ``None`` if none does."""
    return next((option for option in options if ink.takes(option)), None)
