"""A sheet's border and title block as data: what a shop writes in a file and a view draws. Lengths in printed mm."""

from enum import Enum

from msgspec import Struct

from flangelayout.drawing.model import Paper
from flangelayout.geometry.shapes import Box, Point


class Shows(Enum):
    """What a cell of a title block shows; the value is how a border file names it."""

    OWNER = "owner"
    TITLE = "title"
    CUSTOMER = "customer"
    MATERIAL = "material"
    MASS = "mass"
    QUANTITY = "quantity"
    DOCUMENT_TYPE = "document type"
    STATUS = "status"
    DRAWN_BY = "drawn by"
    APPROVED_BY = "approved by"
    DATE = "date"
    UNITS = "units"
    SCALE = "scale"
    PAPER = "paper"
    PROJECTION = "projection"
    CONVENTION = "convention"
    NUMBER = "number"
    REVISION = "revision"
    DIGEST = "digest"
    PROGRAM = "program"
    SHEET = "sheet"
    CODE = "code"
    LOGO = "logo"
    TEXT = "text"
    BLANK = "blank"


class BorderSide(Enum):
    """A side of the sheet."""

    TOP = "top"
    BOTTOM = "bottom"
    LEFT = "left"
    RIGHT = "right"


class ZoneStart(Enum):
    """The corner from which zones are counted."""

    UPPER_LEFT = "upper left"
    LOWER_RIGHT = "lower right"


class RevisionPlace(Enum):
    """Where the table of revisions stands."""

    ABOVE_BLOCK = "above title block"
    UPPER_RIGHT = "upper right"


class Cell(Struct, frozen=True):
    """A cell of a title block: its room from the block's lower left corner, and what it shows.

    Attributes:
        room: In mm.
        caption: Small words in its upper left corner; may be empty.
        shows: What stands in it.
        text: The words of a ``text`` cell.
        text_height: Of the value, in mm.
    """

    room: Box
    caption: str
    shows: Shows
    text: str = ""
    text_height: float = 2.5


class Logo(Struct, frozen=True):
    """A shop's own sign: lines through points, circles, in mm from the lower left corner of its cell."""

    strokes: tuple[tuple[Point, ...], ...] = ()
    circles: tuple[tuple[Point, float], ...] = ()


class Margins(Struct, frozen=True):
    """From the edges of the paper to the frame."""

    left: float
    right: float
    top: float
    bottom: float


class Zones(Struct, frozen=True):
    """The reference grid round a frame.

    Attributes:
        long: Fields along the long side of the paper.
        short: Fields along the short side.
        pitch: Length of a field, counted from the middle of the side; ``None`` for equal fields.
        strip: Width of the strip outside the frame.
        sides: Sides that carry it.
        start: Where counting begins; letters up and down, numbers across.
    """

    long: int
    short: int
    pitch: float | None
    strip: float
    sides: tuple[BorderSide, ...]
    start: ZoneStart


class PaperRules(Struct, frozen=True):
    """What holds for one paper only.

    Attributes:
        paper: Its name.
        margins: ``None`` for the border's usual ones.
        zones: ``None`` for no reference grid.
        folds: Fold marks across the long side, from the left edge of the paper laid sideways.
        centering: Whether marks stand in the middle of each side.
    """

    paper: str
    margins: Margins | None = None
    zones: Zones | None = None
    folds: tuple[float, ...] = ()
    centering: bool = False


class Border(Struct, frozen=True):
    """A border with its title block.

    Attributes:
        name: What the file is called.
        margins: Of any paper without rules of its own.
        papers: Rules by paper.
        width: Of the title block.
        height: Of the title block.
        cells: Of the title block.
        logo: Drawn in the cells that show it.
        revisions: Where revisions stand.
    """

    name: str
    margins: Margins
    papers: tuple[PaperRules, ...]
    width: float
    height: float
    cells: tuple[Cell, ...]
    logo: Logo | None = None
    revisions: RevisionPlace = RevisionPlace.ABOVE_BLOCK

    def rules(self, page: Paper) -> PaperRules:
        """What holds for a paper; nothing but the usual margins where the file does not name it."""
        return next((rules for rules in self.papers if rules.paper == page.name), PaperRules(page.name))

    def frame(self, page: Paper) -> Box:
        """The frame round everything drawn."""
        margins = self.rules(page).margins or self.margins
        return Box(margins.left, margins.bottom, page.width - margins.right, page.height - margins.top)
