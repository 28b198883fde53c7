"""What a line is for. A layer fixes width, line type and color; no writer decides any of them.

Widths are the ISO 128-2 narrow and wide lines in the ratio 1:2 (group 0.5: 0.25 and 0.5 mm), which
hold on A4 and Letter. Dash lengths in paper mm follow the ISO 128-2 forms 02.1 and 04.1 shortened to
what reads on a small sheet. Template lines are hairlines, so that a punch finds the crossing.
"""

from enum import Enum
from functools import cached_property

from msgspec import Struct


class Pen(Struct, frozen=True):
    """How a layer is drawn.

    Attributes:
        name: Layer name in DXF and id in SVG; capitals, digits and underscore.
        width_paper: Line width in printed mm.
        dashes_paper: Dash and gap lengths in printed mm; empty for a continuous line.
        line_type: DXF line type name.
        color: DXF color index (1 red, 2 yellow, 3 green, 4 cyan, 5 blue, 7 black on paper, 8 gray).
        gray: Printed darkness, 0 black to 1 white; the same line stays readable in greyscale.
    """

    name: str
    width_paper: float
    dashes_paper: tuple[float, ...] = ()
    line_type: str = "CONTINUOUS"
    color: int = 7
    gray: float = 0.0


_CHAIN = (6.0, 1.0, 0.5, 1.0)


class Layer(Enum):
    """Every layer a drawing can hold; the value is its pen."""

    CUT_HOLES = Pen("CUT_HOLES", 0.25, color=3)
    CUT_BORE = Pen("CUT_BORE", 0.25, color=4)
    CUT_OUTLINE = Pen("CUT_OUTLINE", 0.25, color=7)
    CUT_MARKS = Pen("CUT_MARKS", 0.25, color=1)
    OUTLINE = Pen("OUTLINE", 0.5)
    HIDDEN = Pen("HIDDEN", 0.25, (2.4, 0.8), "DASHED", 8)
    CENTERLINE = Pen("CENTERLINE", 0.25, _CHAIN, "CENTER", 1)
    CUTTING_PLANE = Pen("CUTTING_PLANE", 0.5, color=1)
    HATCH = Pen("HATCH", 0.13, color=8, gray=0.35)
    DIMENSION = Pen("DIMENSION", 0.25, color=5)
    TEXT = Pen("TEXT", 0.25, color=7)
    TABLE = Pen("TABLE", 0.18, color=8)
    CODE = Pen("CODE", 0.13, color=7)
    SHADE = Pen("SHADE", 0.13, color=9, gray=0.9)
    BORDER = Pen("BORDER", 0.5)
    TEMPLATE_HOLES = Pen("TEMPLATE_HOLES", 0.15)
    TEMPLATE_EDGES = Pen("TEMPLATE_EDGES", 0.2)
    TEMPLATE_RAYS = Pen("TEMPLATE_RAYS", 0.1, _CHAIN, "CENTER", 8, 0.3)
    TEMPLATE_MARKS = Pen("TEMPLATE_MARKS", 0.1)
    PAPER_CUT = Pen("PAPER_CUT", 0.35, (4.0, 1.5), "DASHED_WIDE", 7)
    GLUE = Pen("GLUE", 0.3, (0.3, 2.7), "DOTTED_WIDE", 8, 0.45)
    CLEAR = Pen("CLEAR", 0.13, color=9, gray=1.0)
    TILE_NUMBER = Pen("TILE_NUMBER", 0.13, color=9, gray=0.78)
    TRIM = Pen("TRIM", 0.1, (1.5, 1.5), "DASHED_EVEN", 8, 0.3)

    __hash__ = object.__hash__  # there is one of each, and they are keys by the thousand

    @cached_property
    def pen(self) -> Pen:
        """How the layer is drawn."""
        return self.value


CUT_LAYERS = (Layer.CUT_HOLES, Layer.CUT_BORE, Layer.CUT_OUTLINE, Layer.CUT_MARKS)
"""What a table cuts and scribes."""
