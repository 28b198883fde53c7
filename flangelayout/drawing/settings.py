"""How pages are asked for: what a job settles and the views read, with nothing copied between."""

from msgspec import Struct

from flangelayout.drawing.border import Border
from flangelayout.drawing.choices import USUAL_PARTS, SheetPart, TemplateStyle
from flangelayout.drawing.convention import Convention
from flangelayout.drawing.printer import Printer


class TemplateSettings(Struct, frozen=True):
    """How the template is printed.

    Attributes:
        paper: Name of the paper, ``one sheet`` or ``roll``.
        overlap: Strip that neighboring tiles share, in mm.
        margin: Free edge in mm.
        style: The whole plate in tiles, one sector to be stepped round, or strips along the bolt circle.
        roll_width: Width of the roll in mm, where the paper is one.
        printer: Name of the measured printer the pages are corrected for; empty for none.
        flip_tiles: Whether every other tile is printed upside down.
        measured: What that printer does to a length; whoever draws for a printer gives it along.
    """

    paper: str
    overlap: float = 10.0
    margin: float = 12.0
    style: TemplateStyle = TemplateStyle.TILES
    roll_width: float = 610.0
    printer: str = ""
    flip_tiles: bool = False
    measured: Printer | None = None


class SheetSettings(Struct, frozen=True):
    """How the layout sheet is printed.

    Attributes:
        paper: Its name.
        convention: The rules it is drawn by.
        border: Border and title block.
        dual_units: Whether the other unit follows in brackets.
        parts: What stands beside the first sheet.
    """

    paper: str
    convention: Convention
    border: Border
    dual_units: bool = False
    parts: tuple[SheetPart, ...] = USUAL_PARTS
