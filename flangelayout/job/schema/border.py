"""The keys of a border file and what each may hold; see ``templates/sheets/iso.toml`` for what they mean."""

from typing import Annotated, Literal

from pydantic import Field

from flangelayout.drawing.border import BorderSide, RevisionPlace, Shows, ZoneStart
from flangelayout.job.schema.values import NotNegative, SchemaTable, Size, Text, between

Count = Annotated[int, Field(ge=1, le=24)]
Place = tuple[NotNegative, NotNegative]


class FrameTable(SchemaTable):
    """``[frame]``: from the edges of the paper to the frame."""

    left: Size
    right: Size
    top: Size
    bottom: Size


class ZonesTable(SchemaTable):
    """``zones`` of a paper."""

    long: Count
    short: Count
    pitch: Size | None = None
    strip: Size
    sides: Annotated[list[BorderSide], Field(min_length=1, max_length=4)] = list(BorderSide)
    start: ZoneStart = ZoneStart.UPPER_LEFT


class PaperTable(SchemaTable):
    """``[paper.A4]`` and so on."""

    frame: FrameTable | None = None
    zones: ZonesTable | None = None
    folds: Annotated[list[Size], Field(max_length=8)] = []
    centering: bool = False


class CellTable(SchemaTable):
    """A cell of a row; ``rows`` is how many rows it runs down over."""

    caption: Text = ""
    show: Shows
    width: Size
    rows: Annotated[int, Field(ge=1, le=20)] = 1
    text: Text = ""
    text_height: Annotated[float, between(1.5, 15)] = 2.5


class RowTable(SchemaTable):
    """``[[title_block.row]]``."""

    height: Size
    cells: Annotated[list[CellTable], Field(max_length=20)]


class BlockTable(SchemaTable):
    """``[title_block]``."""

    width: Size
    revisions: RevisionPlace = RevisionPlace.ABOVE_BLOCK
    row: Annotated[list[RowTable], Field(min_length=1, max_length=20)]


class LogoTable(SchemaTable):
    """``[logo]``: lines through points and circles."""

    strokes: Annotated[list[Annotated[list[Place], Field(min_length=2, max_length=400)]], Field(max_length=400)] = []
    circles: Annotated[list[tuple[NotNegative, NotNegative, Size]], Field(max_length=400)] = []


class PapersTable(SchemaTable):
    """``[paper]``: rules by the name of the paper, a key for each :class:`PaperName`."""

    A4: PaperTable | None = None
    A3: PaperTable | None = None
    Letter: PaperTable | None = None
    Tabloid: PaperTable | None = None


class BorderFile(SchemaTable):
    """A whole border file."""

    units: Literal["mm", "in"] = "mm"
    frame: FrameTable
    paper: PapersTable = Field(default_factory=PapersTable.model_construct)
    title_block: BlockTable
    logo: LogoTable | None = None
