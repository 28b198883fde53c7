"""The two families of drawing rules a sheet can follow, and what each makes of lines and dimensions.

ISO: line widths and types of ISO 128-2 in group 0.5 (narrow 0.25, wide 0.5 mm), dash lengths its multiples
of the width (hidden 12d/3d, chain 24d/3d/0.5d/3d); texts over the dimension line and along it (ISO 129-1).
ASME: thick 0.6 and thin 0.3 mm (ASME Y14.2), dashes 3 and 1 mm, centerlines 20, 1.5, 3, 1.5 mm; texts level
in a gap of the line (ASME Y14.5, unidirectional). Dash lengths of both are from memory.
"""

from enum import Enum
from functools import cache

from flangelayout.drawing.layers import Layer, Pen
from flangelayout.units import Unit
from flangelayout.value import replace


class DimensionStyle(Enum):
    """Where the text of a dimension stands."""

    ALIGNED = "over the line, along it"
    LEVEL = "level, in a gap of the line"

    @property
    def text_height(self) -> float:
        """Height of the capitals in printed mm: a step of ISO 3098; 3 as ASME Y14.2 asks where texts are level."""
        return 2.5 if self is DimensionStyle.ALIGNED else 3.0


class Convention(Enum):
    """The rules a sheet is drawn by."""

    ISO = "ISO"
    ASME = "ASME"

    @property
    def dimension_style(self) -> DimensionStyle:
        """Where dimension texts stand."""
        return DimensionStyle.ALIGNED if self is Convention.ISO else DimensionStyle.LEVEL

    @property
    def letter_height(self) -> float:
        """Height of the smallest capitals of a sheet in printed mm: that of its dimensions."""
        return self.dimension_style.text_height

    @property
    def heading_height(self) -> float:
        """Height of the capitals of headings, of letters of sections and of TOP, in printed mm: the next step."""
        return 3.5 if self is Convention.ISO else 4.0

    @property
    def first_angle(self) -> bool:
        """Whether a view from the left stands on the right (first angle, ISO 5456-2), else third angle."""
        return self is Convention.ISO

    @property
    def border(self) -> str:
        """Name of the border that goes with it."""
        return self.value.lower()

    def pen(self, layer: Layer) -> Pen:
        """How a layer is drawn on a sheet."""
        return _pen(self, layer)


@cache
def _pen(convention: Convention, layer: Layer) -> Pen:
    width, dashes = _LINES[convention].get(layer, (None, None))
    if width is None:
        return layer.pen
    return replace(layer.pen, width_paper=width, dashes_paper=dashes or ())


def usual_convention(unit: Unit) -> Convention:
    """ISO for a job in mm, ASME for one in inches."""
    return Convention.ISO if unit is Unit.MM else Convention.ASME


_Lines = dict[Layer, tuple[float, tuple[float, ...]]]

_LINES: dict[Convention, _Lines] = {
    Convention.ISO: {
        Layer.OUTLINE: (0.5, ()),
        Layer.CUTTING_PLANE: (0.5, ()),
        Layer.BORDER: (0.7, ()),
        Layer.HIDDEN: (0.25, (3.0, 0.75)),
        Layer.CENTERLINE: (0.25, (6.0, 0.75, 0.125, 0.75)),
        Layer.DIMENSION: (0.25, ()),
    },
    Convention.ASME: {
        Layer.OUTLINE: (0.6, ()),
        Layer.CUTTING_PLANE: (0.6, ()),
        Layer.BORDER: (0.6, ()),
        Layer.HIDDEN: (0.3, (3.0, 1.0)),
        Layer.CENTERLINE: (0.3, (20.0, 1.5, 3.0, 1.5)),
        Layer.DIMENSION: (0.3, ()),
    },
}
